//! Whether the plan's day works, in a sentence: small books by hand. Catches a stop told on another day than its own, a line that still
//! stands since the day before and is told to work, and a day on which not all is there told as if it were.
//!
//! Rule `of-the-day`.

use super::support::Sheets;
use lineward::base::{Date, Moment};
use lineward::report::day_words::verdict;
use lineward::{check, plan};

/// What is said of a day of a book.
fn told(sheets: &Sheets, day: &str) -> String {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    assert!(!findings.any_error(), "{}", sheets.shown());
    let request = plan::Request { day: Date::parse(day), ..Default::default() };
    let plan = plan::plan(&plant, &request).0.expect("a plan");
    let (works, words) = verdict(&plan);
    assert_eq!(works, words.starts_with("works: "), "{words}");
    words
}

/// A line of three stations; U1 enters on Mon 06:00 and comes to the next station each hour. One clip is needed at S2.
fn clip(receipt: &str) -> Sheets {
    let mut sheets = Sheets::plant(&["S1", "S2", "S3"]);
    sheets.set("Parts", "part,uom,fit by\nCLIP,ea,").add("Bills", "TEAL,CLIP,1,S2").add("Sequence", "L1,1,U1,TEAL");
    sheets.set("Receipts", &format!("purchase order,part,qty,due\n{receipt}"));
    sheets
}

#[test]
fn a_day_on_which_all_is_there_works() {
    let told = told(&clip("1,CLIP,1,2027-09-13 06:00"), "2027-09-13");
    assert_eq!(told, "works: everything is there when its run is picked, and no job is late");
}

/// U1 comes to S2 at 07:00; the only run is picked at 06:00. There at 06:50 and handed over in ten minutes the clip stops nothing, at 06:51 it
/// stops the line for a minute.
#[test]
fn a_minute_decides() {
    let at = |time: &str| told(&clip(&format!("1,CLIP,1,2027-09-13 {time}")), "2027-09-13");
    assert_eq!(at("06:50"), "works: the line does not stop on it; 1 special run");
    assert_eq!(
        at("06:51"),
        "does not work as it stands: 1 unit stops; first 07:00, U1 at S2; the line loses 1 min on it"
    );
}

/// Nothing comes: the line stops when U1 comes to S2, or, where the book says that the clip can be fitted at S3, an hour later there.
#[test]
fn the_line_stops_where_the_piece_can_be_fitted_last() {
    let mut sheets = clip("");
    assert_eq!(
        told(&sheets, "2027-09-13"),
        "does not work as it stands: 1 unit stops; first 07:00, U1 at S2; with no known end"
    );
    sheets.set("Parts", "part,uom,fit by\nCLIP,ea,S3");
    assert_eq!(
        told(&sheets, "2027-09-13"),
        "does not work as it stands: 1 unit stops; first 08:00, U1 at S3; with no known end"
    );
}

/// U1 enters with the last move of Monday, at 13:00, and comes to S2 with the first of Tuesday. Monday is not the day on which the line stops,
/// though the run of that day should have brought the clip.
#[test]
fn a_stop_is_told_on_its_own_day() {
    let mut sheets = clip("1,CLIP,1,2027-09-14 07:00");
    sheets.set("Sequence", "line,seq,unit,floorplan,gap\nL1,1,U1,TEAL,7");
    sheets.set("Stations", "line,station,position,deliver ahead\nL1,S1,1,\nL1,S2,2,60\nL1,S3,3,");
    assert_eq!(
        told(&sheets, "2027-09-13"),
        "works: the line does not stop on it, though not all is there when its run is picked"
    );
    assert_eq!(
        told(&sheets, "2027-09-14"),
        "does not work as it stands: 1 unit stops; first 06:00, U1 at S2; the line loses 70 min on it"
    );
}

/// The clip for Monday 07:00 comes on Tuesday at 08:00: the line stands until Tuesday 08:10, 130 minutes of that day.
#[test]
fn a_line_that_stands_since_the_day_before_does_not_work() {
    let sheets = clip("1,CLIP,1,2027-09-14 08:00");
    assert_eq!(
        told(&sheets, "2027-09-14"),
        "does not work as it stands: the line still stands for a unit of an earlier day; the line loses 130 min on it"
    );
}

/// Two lines: U1 waits at S2 from 07:00 to 07:30, V1 on the other from 06:00, when it enters, to 07:30.
#[test]
fn each_line_is_named() {
    let mut sheets = clip("1,CLIP,2,2027-09-13 07:20");
    sheets.add("Lines", "L2,DAY").add("Takt", "L2,2027-01-01,60").add("Stations", "L2,T1,1");
    sheets.add("Floorplans", "PLOVER").add("Bills", "PLOVER,CLIP,1,T1").add("Sequence", "L2,1,V1,PLOVER");
    assert_eq!(
        told(&sheets, "2027-09-13"),
        "does not work as it stands: 2 units stop; first 06:00, V1 at T1; the line loses 30 min on line L1 and 90 min on line L2 on it"
    );
}

/// An order that is wrong keeps its place and gets nothing.
#[test]
fn a_unit_set_aside_is_no_day_that_works() {
    let mut sheets = clip("1,CLIP,2,2027-09-13 06:00");
    sheets.add("Sequence", "L1,2,U2,KNOT");
    let look = |plan: &plan::Plan<'_>| verdict(plan);
    let (works, words) = sheets.look(None, true, look).expect("a plan");
    assert!(!works);
    assert_eq!(words, "does not work as it stands: 1 unit is set aside for a wrong order");
}

/// The welder needs U1's bar at 06:30 for a frame of 30 minutes that is needed at S2 at 07:00; the bar comes at 06:20, after the only run was picked at
/// 06:00. What comes with a run of its own to a shop is no special run to the line; catches it counted as one.
#[test]
fn what_a_shop_waits_for_is_no_special_run_of_a_unit() {
    let mut sheets = clip("1,BAR,1,2027-09-13 06:20");
    sheets.set("Shops", "shop,calendar\nWELD,DAY");
    sheets.set("Parts", "part,uom,source,shop,minutes\nBAR,ea,,,\nFRAME,ea,make,WELD,30");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,FRAME,1,S2\nFRAME,BAR,1,");
    assert_eq!(sheets.plan().rows("consequences", "", "part to word"), [["BAR", "WELD", "special run"]]);
    let works = "works: the line does not stop on it, though not all is there when its run is picked";
    assert_eq!(told(&sheets, "2027-09-13"), works);
}
