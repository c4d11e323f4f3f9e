//! Values far from any real plant's: catches a step that takes for ever (this test then
//! never ends), or memory that grows with a number in a cell.

use super::support::Sheets;
use std::fmt::Write;

fn plant() -> Sheets {
    let mut sheets = Sheets::plant(&["S1", "S2"]);
    sheets.set("Parts", "part,uom,source,shop,lead days,cover days,minutes\nBOLT,ea,,,,,\nFRAME,ea,make,WELD,,,10");
    sheets.set("Shops", "shop,calendar,crews\nWELD,DAY,1");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,FRAME,1,S2\nFRAME,BOLT,4,");
    sheets.set("Sequence", "line,seq,unit,floorplan,start,gap\nL1,1,U1,TEAL,,\nL1,2,U2,TEAL,,");
    sheets
}

/// Plans it; the kinds of its findings.
fn kinds(sheets: &Sheets) -> Vec<&'static str> {
    sheets.findings().iter().map(|finding| finding.kind.name).collect()
}

/// Takt 1 s, 8 h a working day: the line makes 28 800 moves a day. 2198-12-31 is a Monday, so the unit enters at 06:00 on it.
#[test]
fn a_start_in_a_far_year_at_a_takt_of_one_second() {
    let mut sheets = plant();
    sheets.set("Takt", "line,from,minutes\nL1,2027-01-01,60\nL1,2027-10-01,0.016667");
    sheets.set("Sequence", "line,seq,unit,floorplan,start,gap\nL1,1,U1,TEAL,,\nL1,2,U2,TEAL,2198-12-31,");
    assert_eq!(kinds(&sheets), ["long-wait"]);
    let plan = sheets.plan();
    assert_eq!(plan.column("units", "unit=U2", "enters"), ["2198-12-31T06:00:00"]);
    assert_eq!(plan.column("units", "unit=U2", "leaves"), ["2198-12-31T06:00:02"]);
}

/// As of Monday 06:00, hourly: moves 1 to 8 start on Monday (07:00 to 13:00, then Tuesday 06:00); the takt of half an hour
/// holds for moves that start on Wednesday or later.
#[test]
fn moves_change_their_takt_at_the_first_that_starts_on_its_date() {
    let mut sheets = plant();
    sheets.set("Takt", "line,from,minutes\nL1,2027-01-01,60\nL1,2027-09-15,30\nL1,2027-09-16,90");
    sheets.set("Sequence", "line,seq,unit,floorplan,gap\nL1,1,U1,TEAL,\nL1,2,U2,TEAL,14\nL1,3,U3,TEAL,\nL1,4,U4,TEAL,\nL1,5,U5,TEAL,14\nL1,6,U6,TEAL,\nL1,7,U7,TEAL,");
    let enters = sheets.plan().column("units", "", "enters");
    // Move 0 is Monday 06:00, move 15 Tuesday 13:00, move 16 Wednesday 06:00, 17 at 06:30, 31 at 13:30; 32 is Thursday's
    // first; 33 is 90 minutes later.
    let expected = ["13T06:00", "14T13:00", "15T06:00", "15T06:30", "16T06:00", "16T07:30", "16T09:00"];
    let expected: Vec<String> = expected.iter().map(|time| format!("2027-09-{time}:00")).collect();
    assert_eq!(enters, expected);
}

#[test]
fn gaps_crews_and_days_have_limits_that_are_told_at_their_cells() {
    let mut sheets = plant();
    sheets.set("Sequence", "line,seq,unit,floorplan,gap\nL1,1,U1,TEAL,1000000");
    assert_eq!(kinds(&sheets), ["out-of-range"]);
    sheets.set("Sequence", "line,seq,unit,floorplan,gap\nL1,1,U1,TEAL,100000");
    assert_eq!(kinds(&sheets), ["long-wait"]);
    let mut sheets = plant();
    sheets.set("Shops", "shop,calendar,crews\nWELD,DAY,1000000");
    assert_eq!(kinds(&sheets), ["out-of-range"]);
    sheets.set("Shops", "shop,calendar,crews\nWELD,DAY,10000");
    assert_eq!(kinds(&sheets), Vec::<&str>::new());
    let mut sheets = plant();
    sheets.set("Parts", "part,uom,lead days,cover days\nBOLT,ea,3661,\nFRAME,ea,,100000");
    assert_eq!(kinds(&sheets).iter().filter(|kind| **kind == "out-of-range").count(), 2);
    let mut sheets = plant();
    sheets.set("Stations", "line,station,position\nL1,S1,1\nL1,S2,1000000");
    assert_eq!(kinds(&sheets), ["out-of-range"]);
}

/// A gap of 100 000 moves at the longest takt would lead past the last year that a date can have.
#[test]
fn a_plan_ends_before_the_year_2400() {
    let mut sheets = plant();
    sheets.set("Takt", "line,from,minutes\nL1,2027-01-01,16000000");
    sheets.set("Sequence", "line,seq,unit,floorplan,gap\nL1,1,U1,TEAL,\nL1,2,U2,TEAL,100000\nL1,3,U3,TEAL,100000");
    assert_eq!(kinds(&sheets), ["short-calendar", "long-wait"]);
}

#[test]
fn overdue_receipts_wait_once_for_all() {
    let mut sheets = plant();
    sheets.add("Settings", "overdue receipts,3660");
    let mut receipts = "purchase order,part,qty,due".to_owned();
    (0..20_000).for_each(|i| {
        let _ = write!(receipts, "\nPO{i},BOLT,1,2027-01-01");
    });
    sheets.set("Receipts", &receipts);
    assert_eq!(kinds(&sheets), Vec::<&str>::new());
    sheets.set("Settings", "key,value\nas of,2027-09-13 06:00\noverdue receipts,3661");
    assert_eq!(kinds(&sheets), ["out-of-range"]);
}

#[test]
fn calendars_of_three_centuries() {
    let mut sheets = plant();
    sheets.add("Calendar", "DAY,1900-01-01 to 2199-12-31,06:00,14:00");
    assert_eq!(kinds(&sheets), Vec::<&str>::new());
    let mut many = "calendar,day,start,end\nDAY,Mon-Fri,06:00,14:00".to_owned();
    (0..400).for_each(|_| many.push_str("\nDAY,1900-01-01 to 2199-12-31,06:00,14:00"));
    sheets.set("Calendar", &many);
    assert_eq!(kinds(&sheets), ["out-of-range"]);
    // A plant that closes every single day of thirty years by name.
    let mut days = "calendar,day,start,end\nDAY,Mon-Fri,06:00,14:00".to_owned();
    for day in 0..10_950 {
        let date = lineward::base::Date::parse("2028-01-01").expect("a date").plus(day);
        let _ = write!(days, "\nDAY,{date},,");
    }
    sheets.set("Calendar", &days);
    assert_eq!(kinds(&sheets), Vec::<&str>::new());
}

#[test]
fn extras_in_far_years_and_many_delivery_runs() {
    let mut sheets = plant();
    sheets.set("Extras", "part,qty,to,needed\nBOLT,1,S1,1900-01-02\nBOLT,1,S1,2199-12-31\nFRAME,1,S1,2199-12-30");
    let mut waves = "wave,time".to_owned();
    (0..100).for_each(|i| {
        let _ = write!(waves, "\nW{i},{:02}:{:02}", 6 + i / 15, i % 15 * 4);
    });
    sheets.set("Waves", &waves);
    assert_eq!(kinds(&sheets), Vec::<&str>::new());
    sheets.add("Waves", "W100,13:00");
    assert_eq!(kinds(&sheets), ["out-of-range"]);
}

/// Each level has two lines for the next: 2^n paths, and as many bolts.
#[test]
fn bills_that_double_at_each_level() {
    for (levels, source, shop) in
        [(40, "phantom", ""), (60, "make", "WELD"), (100, "phantom", ""), (100, "make", "WELD")]
    {
        let mut sheets = plant();
        let mut parts = "part,uom,source,shop\nBOLT,ea,,".to_owned();
        let mut bills = "parent,part,qty,station\nTEAL,P0,1,S1".to_owned();
        for level in 0..levels {
            let _ = write!(parts, "\nP{level},ea,{source},{shop}");
            let next = if level + 1 == levels { "BOLT".to_owned() } else { format!("P{}", level + 1) };
            let _ = write!(bills, "\nP{level},{next},1,\nP{level},{next},1,");
        }
        sheets.set("Parts", &parts).set("Bills", &bills);
        let kinds: Vec<&str> = kinds(&sheets).into_iter().filter(|kind| *kind != "bill-line-twice").collect();
        assert_eq!(kinds.len(), 1, "{levels} {source} {kinds:?}");
        assert!(["too-large", "too-deep", "too-many-paths"].contains(&kinds[0]), "{levels} {source} {kinds:?}");
    }
}

#[test]
fn packages_and_rules_by_the_thousand() {
    let mut sheets = plant();
    let (mut options, mut packages, mut rules) =
        ("option".to_owned(), "option,includes".to_owned(), "when,adds".to_owned());
    for i in 0..2000 {
        let _ = write!(options, "\nA{i}\nB{i}");
        let _ = write!(packages, "\nA{i},A{}", i + 1);
        let _ = write!(rules, "\nB{i},B{}", i + 1);
    }
    sheets.set("Options", &format!("{options}\nA2000\nB2000"));
    sheets.set("Packages", &packages).set("Rules", &rules);
    sheets.set("Sequence", "line,seq,unit,floorplan,options\nL1,1,U1,TEAL,A0 B0\nL1,2,U2,TEAL,A0 B1");
    assert_eq!(kinds(&sheets), Vec::<&str>::new());
}

/// What is told of a book, errors only.
fn told(sheets: &Sheets) -> Vec<String> {
    sheets.findings().iter().map(ToString::to_string).collect()
}

/// `n` rows below a heading, each from its number.
fn many(heading: &str, n: usize, row: impl Fn(usize) -> String) -> String {
    (1..=n).fold(heading.to_owned(), |text, i| text + "\n" + &row(i))
}

/// 150 floorplans, six phantoms of nine lines each: below the last 9, then 9 × (1 + 9) = 90, 819, 7 380, 66 429 and 597 870; one
/// more for the line that leads there. The book has 6 kB.
#[test]
fn paths_of_all_floorplans_together_have_a_limit() {
    let mut sheets = plant();
    sheets.set("Floorplans", &many("floorplan", 150, |i| format!("F{i}")));
    sheets.set("Parts", &many("part,uom,source\nNAIL,ea,", 6, |i| format!("P{i},ea,phantom")));
    let mut bills = many("parent,part,qty,station", 150, |i| format!("F{i},P1,1,S1"));
    for (i, next) in ["P2", "P3", "P4", "P5", "P6", "NAIL"].iter().enumerate() {
        bills += &format!("\nP{},{next},1,", i + 1).repeat(9);
    }
    sheets.set("Bills", &bills).set("Sequence", "line,seq,unit,floorplan\nL1,1,U1,F1");
    let expected = "error: too-many-paths: Bills.csv row 2 column parent: 'F1': the bills of all 150 floorplans together have \
                    89680650 lines, each counted wherever it is used, more than 5000000; F1 has the most, 597871, from here on \
                    down";
    let errors: Vec<String> = told(&sheets).into_iter().filter(|told| told.starts_with("error: ")).collect();
    assert_eq!(errors, [expected]);
    // Eight of them have 4 782 968.
    sheets.set("Floorplans", &many("floorplan", 8, |i| format!("F{i}")));
    assert!(!lineward::check::plant(&sheets.book(), None, lineward::base::Moment::default()).1.any_error());
}

#[test]
fn rows_that_multiply_have_limits() {
    let mut sheets = plant();
    sheets.set("Sequence", &many("line,seq,unit,floorplan", 20_001, |i| format!("L1,{i},U{i},TEAL")));
    sheets.set("Stations", &many("line,station,position", 4_999, |i| format!("L1,S{i},{i}")));
    let expected = "error: too-large: Sequence.csv: 20001 units (and others that extras name) times 5000 stations and shops are \
                    more than 100000000";
    assert_eq!(told(&sheets), [expected]);
    let mut sheets = plant();
    sheets.set("Options", &many("option", 20_001, |i| format!("O{i}")));
    sheets.set("Floorplans", &many("floorplan\nTEAL", 4_999, |i| format!("F{i}")));
    let expected = "error: too-large: Floorplans.csv: 5000 floorplans times 20001 options are more than 100000000";
    assert_eq!(told(&sheets), [expected]);
    // 199 999 units with 40 002 names: options, the floorplan and the line.
    let mut sheets = plant();
    sheets.set("Options", &many("option", 40_000, |i| format!("O{i}")));
    sheets.set("Sequence", &many("line,seq,unit,floorplan", 199_999, |i| format!("L1,{i},U{i},TEAL")));
    let expected = "error: too-large: Sequence.csv: 199999 units times 40002 options, floorplans, series and lines are more than \
                    8000000000";
    assert_eq!(told(&sheets), [expected]);
}

/// Ten minutes each for ten million frames are 190 years; for a thousand million they are 19 000.
#[test]
fn a_job_takes_400_years_at_most() {
    let mut sheets = plant();
    sheets.set("Bills", "parent,part,qty,station\nTEAL,FRAME,1000000000,S2\nFRAME,BOLT,0.0001,");
    let expected = "error: too-large: Parts.csv row 3 column part: 'FRAME': a job of it would take more than 400 years";
    let errors: Vec<String> = told(&sheets).into_iter().filter(|told| told.starts_with("error")).collect();
    assert_eq!(errors, [expected]);
}
