//! A book of ten thousand units: every view answers, and no page grows with the plan. Not timed.

use super::client::Server;
use super::walk::walk;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::path::Path;

/// A plant of two positions and a shop, whose every unit takes a box made of boards, a bolt in packs, and a wheel that often comes late.
fn book(folder: &Path, units: usize) {
    let mut files: BTreeMap<&str, String> = BTreeMap::from([
        ("Settings", "key,value\nplant,Ten Thousand\nas of,2027-09-13 05:00\nstores calendar,DAY\n".to_owned()),
        ("Calendar", "calendar,day,start,end\nDAY,Mon-Sun,06:00,14:00\n".to_owned()),
        ("Lines", "line,calendar\nL1,DAY\n".to_owned()),
        ("Takt", "line,from,minutes\nL1,2027-01-01,10\n".to_owned()),
        ("Stations", "line,station,position\nL1,S1,1\nL1,S2,2\n".to_owned()),
        ("Shops", "shop,calendar,crews\nBOXES,DAY,4\n".to_owned()),
        ("Floorplans", "floorplan\nWREN 9\n".to_owned()),
        ("Options", "option\nBELL\n".to_owned()),
        ("Offers", "floorplan,option,offer\nWREN 9,BELL,optional\n".to_owned()),
        (
            "Parts",
            "part,uom,source,shop,minutes,issue,pack quantity,supplier,lead days,location,weight\n\
             BOX,ea,make,BOXES,20,kit,,,,,\nBOARD,ea,buy,,,kit,,Sundew,5,A-1,2\nBOLT,ea,buy,,,bulk,500,Sundew,5,A-2,0.01\n\
             WHEEL,ea,buy,,,kit,,Reedmace,9,B-1,30\nBELL-1,ea,buy,,,kit,,Reedmace,9,B-2,1\n"
                .to_owned(),
        ),
        (
            "Bills",
            "parent,part,qty,station,when\nWREN 9,BOX,1,S1,\nBOX,BOARD,3,,\nWREN 9,BOLT,12,S1,\nWREN 9,WHEEL,2,S2,\nWREN 9,BELL-1,1,S2,BELL\n"
                .to_owned(),
        ),
        ("Stock", "part,qty,location\nBOARD,40000,A-1\nBOLT,150000,A-2\nWHEEL,50,B-1\nBELL-1,20,B-2\n".to_owned()),
        ("Waves", "wave,time,pick minutes\n1,06:00,30\n2,10:00,30\n".to_owned()),
    ]);
    let mut sequence = "line,seq,unit,floorplan,options\n".to_owned();
    for unit in 0..units {
        let options = if unit % 7 == 0 { "BELL" } else { "" };
        writeln!(sequence, "L1,{unit},W{unit:05},WREN 9,{options}").expect("a row");
    }
    files.insert("Sequence", sequence);
    // A delivery of wheels for each day's 48 units, each a day late; those of every fifth day are not ordered.
    let mut receipts = "purchase order,part,qty,due\n".to_owned();
    for day in (0..units / 48).filter(|day| day % 5 != 4) {
        let due = lineward::base::Date::parse("2027-09-14").expect("a date").plus(i32::try_from(day).expect("a day"));
        writeln!(receipts, "P{day},WHEEL,96,{due}").expect("a row");
    }
    files.insert("Receipts", receipts);
    for (name, text) in files {
        std::fs::write(folder.join(format!("{name}.csv")), text).expect("a file");
    }
}

/// A page of lists holds at most so many bytes: several of three hundred lines.
const MOST_OF_LISTS: usize = 400_000;
/// A sheet's stretch of fifteen hundred rows.
const MOST_OF_A_SHEET: usize = 900_000;

#[test]
fn no_page_grows_with_the_plan() {
    let folder = tempfile::tempdir().expect("a folder");
    book(folder.path(), 10_000);
    let server = Server::of(folder.path(), &[]);
    server.until("/", |page| page.status == 200);
    let walked = walk(&server, 260, |address, page| {
        let most = if address.starts_with("/sheet?") { MOST_OF_A_SHEET } else { MOST_OF_LISTS };
        assert!(page.body.len() < most, "{address}: {} bytes", page.body.len());
    });
    for kind in ["/", "/run", "/shop", "/unit", "/part", "/why", "/supplier", "/sheet", "/order", "/try"] {
        assert!(walked.opened.contains_key(kind), "{kind}: {:?}", walked.opened.keys());
    }
    // What a list leaves out is told.
    let of = |address: &str, caption: &str| {
        server.page(address).of(caption).unwrap_or_else(|| panic!("{address}: {caption}"))
    };
    assert!(of("/part?part=WHEEL", "Pieces, those that are late or short") >= 10_000);
    assert_eq!(of("/cell?table=Sequence", "Rows of Sequence"), 10_000);
    assert!(server.page("/find?words=W0").text().contains("(the first 20 of 10000)"));
    // And there is a way to it: all runs of all days, by the link below each list of them; each of two a day.
    let (mut address, mut runs) = ("/run".to_owned(), BTreeSet::new());
    loop {
        let page = server.page(&address);
        let links = page.links();
        runs.extend(links.iter().filter(|link| link.starts_with("/run?leaves=")).cloned());
        let Some(next) = links.into_iter().find(|link| link.starts_with("/run?from=")) else { break };
        assert!(next > address, "{address} leads back to {next}");
        address = next;
    }
    // The last unit arrives at its second station 10,000 moves of ten minutes after the first: 209 days of eight hours.
    assert!((416..=420).contains(&runs.len()), "{} runs", runs.len());
    // The last move, and a shop's last day, by their forms.
    let first = server.page("/");
    let last = first.body.split_once("type=\"range\"").and_then(|(_, rest)| rest.split_once("max=\""));
    let last = last.and_then(|(_, rest)| rest.split_once('"')).expect("a slider").0;
    let page = server.page(&format!("/?line=L1&move={last}"));
    assert!(page.links().contains(&"/unit?unit=W09999".to_owned()), "{}", page.text());
    let shop = server.page("/shop?shop=BOXES").text();
    let days = shop.split_once(" days more up to ").expect("days that are left out").0;
    let days: usize = days.rsplit(' ').next().and_then(|days| days.parse().ok()).expect("how many");
    assert!((180..=195).contains(&days), "{days}");
    let late = server.page("/shop?shop=BOXES&day=2028-03-01");
    assert!(late.table("Jobs of").len() > 40, "{}", late.text());
    // A trial of it.
    let told = server.trial(&["Receipts P3 qty=0"]);
    assert!(told.body.len() < MOST_OF_LISTS && told.text().contains("Tried, not the plan"), "{}", told.text());
}
