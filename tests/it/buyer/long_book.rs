//! A book of several weeks whose receipts just cover what the sequence needs, but for a few of which that is known beforehand.

use super::cells::Written;
use crate::support::Sheets;
use itertools::Itertools;

/// Units: 24 a day, twenty days.
const UNITS: i64 = 480;
/// Units built in a week.
const WEEK: i64 = 120;
/// Bought parts.
const PARTS: i64 = 96;
/// What a unit needs of a part.
fn each(part: i64) -> i64 {
    part % 3 + 1
}

/// What is planted: the kinds of parts repeat every sixteen.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// One receipt more, in the last week, that nobody needs.
    OneMore,
    /// Three pieces too many in the last receipt.
    ThreeLeft,
    /// Five pieces too few in the last receipt.
    FiveShort,
    /// The third week's receipt comes on Thursday.
    Late,
    /// The first receipt is overdue.
    Overdue,
    /// A safety stock of 10, and a receipt of 25 pieces more.
    Safety,
    /// Receipts just cover what is needed.
    Just,
}

/// The kind of a part.
pub fn kind(part: i64) -> Kind {
    match part % 16 {
        0 => Kind::OneMore,
        1 => Kind::ThreeLeft,
        2 => Kind::FiveShort,
        3 => Kind::Late,
        4 => Kind::Overdue,
        5 => Kind::Safety,
        _ => Kind::Just,
    }
}

/// Part numbers.
pub fn parts() -> impl Iterator<Item = i64> {
    0..PARTS
}

/// One line of twelve stations, two floorplans in turn that need the same, a shop whose material is bought, a change halfway.
pub fn long_book() -> Sheets {
    let stations: Vec<String> = (1..=12).map(|i| format!("S{i}")).collect();
    let mut sheets = Sheets::plant(&stations.iter().map(String::as_str).collect::<Vec<_>>());
    sheets.set("Takt", "line,from,minutes\nL1,2027-01-01,20");
    sheets.set("Waves", "wave,time,pick minutes\nfirst,06:00,0\nlater,10:00,30");
    sheets.set("Floorplans", "floorplan\nTEAL\nCURLEW");
    sheets.set("Shops", "shop,calendar,crews,transit\nCAB,DAY,3,10");
    sheets.set("Changes", "change,from unit\nEDGE,U241");
    sheets.set("Parts", "part,uom,source,shop,minutes,lead days,safety stock,cost,supplier");
    sheets.set("Bills", "parent,part,qty,station,from change,until change");
    sheets.set("Receipts", "purchase order,part,qty,due");
    sheets.add("Parts", "BOX,ea,make,CAB,30,,,,\nOLD,ea,,,,5,,2,Kingcup\nNEW,ea,,,,5,,3,Kingcup");
    for plan in ["TEAL", "CURLEW"] {
        sheets.add("Bills", &format!("{plan},BOX,1,S6,,\n{plan},OLD,1,S2,,EDGE\n{plan},NEW,1,S2,EDGE,"));
    }
    // 240 units before the change, 240 from it on; of each part 40 too many.
    sheets.set("Stock", "part,qty\nOLD,280\nNEW,280");
    for part in parts() {
        let safety = if kind(part) == Kind::Safety { "10" } else { "" };
        let cost = if part % 16 == 7 { String::new() } else { format!("{part}.5") };
        sheets.add("Parts", &format!("P{part:02},ea,,,,5,{safety},{cost},Kingcup"));
        // Every eighth part is material of the shop.
        let (parents, station) = if part % 8 == 6 { (&["BOX"][..], "") } else { (&["TEAL", "CURLEW"][..], "x") };
        for parent in parents {
            let station = if station.is_empty() { String::new() } else { format!("S{}", part % 12 + 1) };
            sheets.add("Bills", &format!("{parent},P{part:02},{},{station},,", each(part)));
        }
        receipts(part).into_iter().for_each(|row| _ = sheets.add("Receipts", &row));
    }
    for unit in 1..=UNITS {
        let floorplan = if unit % 2 == 0 { "TEAL" } else { "CURLEW" };
        sheets.add("Sequence", &format!("L1,{unit},U{unit},{floorplan}"));
    }
    sheets
}

/// Four Mondays' receipts, each for a week; the first days of a week's needs come no sooner than its Monday.
fn receipts(part: i64) -> Vec<String> {
    let kind = kind(part);
    let mut rows = Vec::new();
    for week in 0..UNITS / WEEK {
        let date = match (kind, week) {
            (Kind::Overdue, 0) => "2027-09-09".to_owned(),
            (Kind::Late, 2) => "2027-09-30".to_owned(),
            _ => ["2027-09-13", "2027-09-20", "2027-09-27", "2027-10-04"][week as usize].to_owned(),
        };
        let last = week == UNITS / WEEK - 1;
        let more = match kind {
            Kind::ThreeLeft if last => 3,
            Kind::FiveShort if last => -5,
            _ => 0,
        };
        rows.push(format!("PO{part:02}-{week},P{part:02},{},{date}", each(part) * WEEK + more));
    }
    match kind {
        Kind::OneMore => rows.push(format!("PO{part:02}-more,P{part:02},30,2027-10-06")),
        Kind::Safety => rows.push(format!("PO{part:02}-more,P{part:02},25,2027-10-06")),
        _ => {}
    }
    rows
}

/// What was planted stands on the sheets, and nothing else.
pub fn planted(written: &Written) {
    let rows = |sheet: &str, columns: &[&str]| -> Vec<String> {
        let rows = written.table(sheet, columns);
        rows.iter().map(|row| columns.iter().map(|column| row[*column].as_str()).join(" ")).sorted().collect()
    };
    let planted = |wanted: Kind, words: fn(i64) -> String| -> Vec<String> {
        parts().filter(|part| kind(*part) == wanted).map(words).sorted().collect()
    };
    // Six parts of each kind, 0, 16, ... 80: 30 pieces at half a unit more than the number; (0 + 16 + ... + 80 + 3) * 30 = 7290.
    let whole = rows("not needed", &["purchase order", "qty open", "not needed"]);
    assert_eq!(whole, planted(Kind::OneMore, |part| format!("PO{part:02}-more 30 30")));
    // Three of the last receipts; 15 of 25, since 10 fill the safety stock.
    let three = planted(Kind::ThreeLeft, |part| format!("PO{part:02}-3 3"));
    let safety = planted(Kind::Safety, |part| format!("PO{part:02}-more 15"));
    let left = three.into_iter().chain(safety).sorted().collect::<Vec<_>>();
    assert_eq!(rows("left of receipts", &["purchase order", "not needed"]), left);
    // (1 + 17 + ... + 81 + 3) * 3 = 747 and (5 + 21 + ... + 85 + 3) * 15 = 4095.
    let total = "6 whole receipts (7,290.00), and some of 12 more (4,842.00); no reason to cancel";
    assert_eq!(written.fact("at a glance", "not needed here"), total);
    assert_eq!(rows("order", &["part", "order qty"]), planted(Kind::FiveShort, |part| format!("P{part:02} 5")));
    let overdue = planted(Kind::Overdue, |part| format!("PO{part:02}-0 {0} {0}", each(part) * WEEK));
    assert_eq!(rows("chase", &["purchase order", "qty open", "of it needed"]), overdue);
    let late = rows("bring forward", &["purchase order"]).into_iter().dedup().collect::<Vec<_>>();
    assert_eq!(late, planted(Kind::Late, |part| format!("PO{part:02}-2")));
    // OLD goes out, NEW comes in; each for 240 units, with 280 in stock. 40 of OLD cost 80.
    let columns = ["part", "goes out or comes in", "needed", "for units", "cost of what is left"];
    let changes = ["NEW comes in 240 U241 to U480 (240 units) ", "OLD goes out 240 U1 to U240 (240 units) 80"];
    assert_eq!(rows("changes", &columns), changes);
}
