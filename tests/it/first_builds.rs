//! What is built for the first time: catches a part that an earlier unit took already, one that is left out, and something missing that is
//! not said.
//!
//! Rule `first-builds`.

use super::random_books::{Size, random_book};
use super::support::{Sheets, rounds};
use lineward::base::{OwnerId, PartId};
use lineward::first_builds::{FirstBuild, New, first_builds};
use lineward::plan::Plan;
use lineward::report;
use std::collections::BTreeSet;

/// Two floorplans: TEAL is on the line, GULL is not; its first unit U3 enters on Mon 13 Sep 07:00.
fn gull() -> Sheets {
    let mut sheets = Sheets::plant(&["X", "Y"]);
    sheets.add("Floorplans", "GULL");
    sheets.set("Shops", "shop,calendar\nCAB,DAY");
    sheets.set("Parts", "part,uom,source,shop,minutes,supplier,lead days,location,weight,kind");
    sheets.add("Parts", "FRAME,ea,,,,Sallow Steel,5,A-1,40,frame\nHULL,ea,,,,Sallow Steel,30,A-2,60,\nDECK,ea,,,,,,,,");
    sheets.add("Parts", "BED,ea,make,CAB,12,,,,,\nBUNK,ea,make,CAB,,,,,,\nSLAT,ea,,,,Sallow Wood,2,B-1,1,\nPAD,ea,,,,Sallow Wood,2,B-2,1,");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,FRAME,1,X\nTEAL,BED,1,Y\nBED,SLAT,9,\nGULL,FRAME,1,X\nGULL,HULL,1,X\nGULL,DECK,1,Y\nGULL,BUNK,1,Y\nBUNK,SLAT,4,\nBUNK,PAD,1,");
    sheets.set(
        "Sequence",
        "line,seq,unit,floorplan,at,done\nL1,1,U1,TEAL,,yes\nL1,2,U2,TEAL,X,\nL1,3,U3,GULL,,\nL1,4,U4,GULL,,",
    );
    sheets.set("Stock", "part,qty\nDECK,7\nFRAME,9\nSLAT,99\nPAD,1");
    sheets.set("Receipts", "purchase order,part,qty,due\n8001,PAD,5,2027-09-20");
    sheets.set("Content", "kind,floorplan\nframe,TEAL");
    sheets
}

fn look<T>(sheets: &Sheets, look: impl FnOnce(&Plan<'_>, Vec<FirstBuild>) -> T) -> T {
    let found = sheets.look(None, true, |plan| look(plan, first_builds(plan).expect("small quantities")));
    found.unwrap_or_else(|found| panic!("{found:?} {}", sheets.shown()))
}

/// For each part what is missing, in order.
fn told(plan: &Plan<'_>, first: &FirstBuild) -> Vec<(String, String)> {
    first.parts.iter().map(|one| (plan.plant.part(one.part).code.clone(), one.missing.join("; "))).collect()
}

fn pairs(expected: &[(&str, &str)]) -> Vec<(String, String)> {
    expected.iter().map(|(part, missing)| ((*part).to_owned(), (*missing).to_owned())).collect()
}

/// HULL is nowhere and takes 30 days, so it should have been ordered on 14 Aug: it stands first. BUNK has no minutes, DECK nobody to buy it
/// from; PAD is there. FRAME and SLAT were taken by TEAL before.
#[test]
fn a_new_floorplan_says_what_it_lacks() {
    look(&gull(), |plan, all| {
        let [first] = &all[..] else { panic!("{all:?}") };
        assert!(matches!(first.new, New::Floorplan(floorplan) if plan.plant.floorplans[floorplan.at()].code == "GULL"));
        assert_eq!(plan.plant.units[first.first.at()].code, "U3");
        let expected = [
            ("HULL", "nothing in stock or on order; inside lead time"),
            ("BUNK", "no minutes"),
            ("DECK", "no supplier; lead days not known; weight not known; no location"),
            ("PAD", ""),
        ];
        assert_eq!(told(plan, first), pairs(&expected));
        assert_eq!(first.parts[0].order_by.map(|day| day.to_string()), Some("2027-08-14".to_owned()));
        let pad = &first.parts[3];
        assert_eq!((pad.stock.to_string(), pad.receipts.to_string()), ("1".to_owned(), "5".to_owned()));
        // The second pad is U4's.
        assert_eq!(pad.comes.map(|at| at.to_string()), Some("2027-09-20T06:00:00".to_owned()));
        assert_eq!(
            first.not_counted.iter().map(|kind| plan.plant.kinds[*kind as usize].as_str()).collect::<Vec<_>>(),
            ["frame"]
        );
        let [.., workbook] = report::workbooks(plan);
        let sheet = workbook.sheets.iter().find(|sheet| sheet.name == "first builds").expect("the sheet");
        let text = format!("{:?}", sheet.rows);
        for words in [
            "Floorplan GULL: first U3, which enters Mon 13 Sep 07:00",
            "4 new parts, something is missing of 3.",
            "No row of Content says how many pieces it has of: frame",
            "CAB: setup 0 min, 0 min each",
        ] {
            assert!(text.contains(words), "{words}: {text}");
        }
    });
    // With one of them on the line it is no first build, nor with one done.
    for role in ["L1,3,U3,GULL,X,", "L1,3,U3,GULL,,yes"] {
        let mut sheets = gull();
        sheets.set("Sequence", &format!("line,seq,unit,floorplan,at,done\nL1,1,U1,TEAL,,yes\n{role}\nL1,4,U4,GULL,,"));
        look(&sheets, |_, all| assert!(all.is_empty(), "{all:?}"));
    }
}

/// A row of `Content` for all floorplans counts a new one, too: catches it named as not counted.
#[test]
fn what_is_counted_on_all_floorplans_is_counted_on_a_new_one() {
    let mut sheets = gull();
    sheets.set("Content", "kind,floorplan\nframe,");
    look(&sheets, |_, all| assert!(all.len() == 1 && all[0].not_counted.is_empty(), "{all:?}"));
}

/// OFFCUT comes off TEAL's beds, which take none, and off GULL's bunks: GULL is the first to take it. Catches what comes off taken for what goes in.
#[test]
fn who_only_gives_a_part_does_not_take_it() {
    let mut sheets = gull();
    sheets.add("Parts", "OFFCUT,ea,by-product,,,,,,,");
    sheets.add("Bills", "BED,OFFCUT,-1,\nBUNK,OFFCUT,-1,\nGULL,OFFCUT,1,Y");
    look(&sheets, |plan, all| {
        let told = told(plan, &all[0]);
        assert!(told.iter().any(|(part, _)| part == "OFFCUT"), "{told:?}");
    });
}

/// A change that nobody on the line has reached: what its lines bring and is below them, unless it was taken before. The new frame has no
/// kind, so that Content counts it no longer; the rib, of which there are nine, has one.
#[test]
fn a_change_says_what_it_lacks() {
    let mut sheets = gull();
    sheets.set(
        "Sequence",
        "line,seq,unit,floorplan,at,done\nL1,1,U1,TEAL,,yes\nL1,2,U2,TEAL,X,\nL1,3,U3,TEAL,,\nL1,4,U4,TEAL,,",
    );
    sheets.set("Changes", "change,from date,from unit\nC-1,,U4\nC-2,,U2");
    sheets.set("Content", "kind\nframe").add("Parts", "RIB,ea,,,,Sallow Steel,5,A-3,9,frame").add("Stock", "RIB,9");
    sheets.set(
        "Bills",
        "parent,part,qty,station,from change,until change\nTEAL,FRAME,1,X,,C-1\nTEAL,HULL,1,X,C-1,\nTEAL,RIB,1,X,C-1,\nTEAL,BUNK,1,Y,C-1,\nTEAL,SLAT,1,Y,,\nBUNK,SLAT,4,,,\nBUNK,PAD,1,,,\nTEAL,DECK,1,Y,C-2,",
    );
    look(&sheets, |plan, all| {
        let [first] = &all[..] else { panic!("{all:?}") };
        assert!(matches!(first.new, New::Change(change) if plan.plant.changes[change.at()].code == "C-1"));
        let expected = [
            (
                "HULL",
                "nothing in stock or on order; inside lead time; no kind for Content, where FRAME is of the kind frame",
            ),
            ("BUNK", "no minutes; no kind for Content, where FRAME is of the kind frame"),
            ("PAD", ""),
            ("RIB", ""),
        ];
        assert_eq!(told(plan, first), pairs(&expected));
    });
}

/// The demo, `data/TROUBLES.md`: a line of `Bills` leads to each of the new floorplan's own parts from it alone, and there are six; what is
/// missing of four of them. AF3665 enters 6,790 minutes of the line after Tue 14 Sep 06:00, 235 of them on Tue 5 Oct, whose breaks are at 08:30
/// and 11:00: at 10:05, and is at BED six moves on, at 13:35. What is wanted there 60 minutes before (12:35) takes 21 days: by Tue 14 Sep. Its
/// lamps are wanted at TRM 19 moves on and 60 minutes before, 275 minutes into Wed 6 Oct: 10:45; mattresses at SOF 30 minutes before.
#[test]
fn the_demos_new_floorplan_lacks_what_its_troubles_say() {
    let demo = Sheets::read(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"));
    let mut reader = csv::Reader::from_reader(demo.0["Bills"].as_bytes());
    let lines: Vec<(String, String)> =
        reader.records().map(|row| row.expect("a row")).map(|row| (row[0].to_owned(), row[1].to_owned())).collect();
    let mut own = BTreeSet::from(["GODWIT 21".to_owned()]);
    loop {
        let alone = |part: &String| lines.iter().all(|(parent, other)| other != part || own.contains(parent));
        let more: Vec<String> =
            lines.iter().map(|(_, part)| part).filter(|part| !own.contains(*part) && alone(part)).cloned().collect();
        if more.is_empty() {
            break;
        }
        own.extend(more);
    }
    own.remove("GODWIT 21");
    look(&demo, |plan, all| {
        let names: Vec<String> = all
            .iter()
            .map(|first| match first.new {
                New::Floorplan(floorplan) => plan.plant.floorplans[floorplan.at()].code.clone(),
                New::Change(change) => plan.plant.changes[change.at()].code.clone(),
            })
            .collect();
        assert_eq!(names, ["GODWIT 21", "C-2041", "C-2043", "C-2047", "C-2050"]);
        let expected = [
            ("BNF-21-01", "nothing in stock or on order"),
            ("BNG-21-01", "weight not known; no location"),
            ("BUNKS-21", "no minutes"),
            ("BNL-21-01", "no supplier; lead days not known"),
            ("BNP-21-01", ""),
            ("BNM-21-01", ""),
        ];
        let godwit = &all[0];
        assert_eq!(told(plan, godwit), pairs(&expected));
        assert_eq!(expected.map(|(part, _)| part.to_owned()).into_iter().collect::<BTreeSet<_>>(), own);
        let of = |code: &str| {
            let one = godwit.parts.iter().find(|one| plan.plant.part(one.part).code == code).expect("a new part");
            let needed = one.needed.map(|(need, _)| need.short()).unwrap_or_default();
            let on_hand = format!("{} and {}", one.stock, one.receipts);
            (needed, on_hand, one.order_by.map(|day| day.to_string()).unwrap_or_default())
        };
        let row =
            |needed: &str, on_hand: &str, order_by: &str| (needed.to_owned(), on_hand.to_owned(), order_by.to_owned());
        assert_eq!(of("BNF-21-01"), row("Tue 5 Oct 12:35", "0 and 0", "2027-09-14"));
        assert_eq!(of("BNG-21-01"), row("Tue 5 Oct 12:35", "0 and 6", "2027-09-23"));
        assert_eq!(of("BUNKS-21"), row("Tue 5 Oct 12:35", "0 and 0", ""));
        assert_eq!(of("BNL-21-01"), row("Wed 6 Oct 10:45", "6 and 0", ""));
        assert_eq!(of("BNM-21-01"), row("Wed 6 Oct 10:15", "0 and 6", "2027-09-24"));
        assert_eq!(of("BNP-21-01").1, "0 and 12");
        assert_eq!(
            godwit.not_counted.iter().map(|kind| plan.plant.kinds[*kind as usize].as_str()).collect::<Vec<_>>(),
            ["axle"]
        );
        // What the changes bring lacks nothing; the last brings nothing.
        for (change, part) in all[1..4].iter().zip(["SNK-02", "GRG-02", "WLT-02"]) {
            assert_eq!(told(plan, change), pairs(&[(part, "")]));
        }
        assert!(all[4].parts.is_empty());
        let [.., workbook] = report::workbooks(plan);
        let sheet = workbook.sheets.iter().find(|sheet| sheet.name == "first builds").expect("the sheet");
        let text = format!("{:?}", sheet.rows);
        for words in [
            "Floorplan GODWIT 21: first AF3665, which enters Tue 5 Oct 10:05",
            "No row of Content says how many pieces it has of: axle",
            "6 new parts, something is missing of 4.",
            "Water Violet Hardware, 21 days",
            "CABSHOP: setup 4 min, 0 min each",
            "no supplier in the book",
        ] {
            assert!(text.contains(words), "{words}: {text}");
        }
    });
}

/// On random books: no unit before asks for a listed part, and what only a new floorplan's own bill asks for is listed.
#[test]
fn no_earlier_unit_takes_a_new_part() {
    let (mut floorplans, mut changes, mut parts, mut own) = (0, 0, 0, 0);
    for seed in 232_000..232_000 + rounds(120) {
        let size = if seed % 6 == 0 { Size::Large } else { Size::Small };
        let found = Sheets(random_book(seed, size)).look(None, true, |plan| {
            for first in first_builds(plan).expect("small quantities") {
                let unit =
                    |owner: OwnerId| plan.pace.owners[owner.at()].unit.filter(|_| plan.pace.owners[owner.at()].planned);
                let begins = plan
                    .pace
                    .owners
                    .iter()
                    .position(|owner| owner.planned && owner.unit == Some(first.first))
                    .expect("an owner");
                let asks = |part: PartId| {
                    plan.supply(part)
                        .demands
                        .iter()
                        .map(|demand| demand.owner)
                        .filter(|owner| unit(*owner).is_some())
                        .min()
                };
                // Extras ask for what no bill does, and for what is below it.
                let mut by_extra: BTreeSet<PartId> = BTreeSet::new();
                let mut open: Vec<PartId> = plan.plant.extras.iter().map(|extra| extra.part).collect();
                while let Some(part) = open.pop() {
                    if by_extra.insert(part) {
                        open.extend(plan.plant.bills[plan.plant.part(part).bill.clone()].iter().map(|line| line.part));
                    }
                }
                for one in first.parts.iter().filter(|one| !by_extra.contains(&one.part)) {
                    assert!(
                        asks(one.part).is_none_or(|owner| owner.at() >= begins),
                        "seed {seed}: {:?}",
                        plan.plant.part(one.part).code
                    );
                    parts += 1;
                }
                let New::Floorplan(floorplan) = first.new else {
                    changes += 1;
                    continue;
                };
                floorplans += 1;
                let bill = plan.plant.floorplans[floorplan.at()].bill.clone();
                let others =
                    plan.plant.bills.iter().enumerate().filter(|(at, _)| !bill.contains(at)).map(|(_, line)| line.part);
                let others: BTreeSet<PartId> = others.collect();
                for line in plan.plant.bills[bill].iter().filter(|line| !line.gives && !others.contains(&line.part)) {
                    let wanted = asks(line.part).is_some() && !by_extra.contains(&line.part);
                    let listed = first.parts.iter().any(|one| one.part == line.part);
                    assert!(listed || !wanted, "seed {seed}: {}", plan.plant.part(line.part).code);
                    own += usize::from(wanted);
                }
            }
        });
        assert!(found.is_ok(), "seed {seed}");
    }
    assert!(floorplans > 5 && changes > 5 && parts > 50 && own > 5, "{floorplans} {changes} {parts} {own}");
}
