//! What missing pieces do to the line: catches a wrong word, a wrong moment of hand-over, minutes that are not the line's.

use super::support::Sheets;
use std::path::Path;

/// A worked example's book.
fn example(name: &str) -> Sheets {
    Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/examples").join(name).join("book"))
}

/// The table's rows of a unit: part, place, word, minutes, handed over at.
fn rows(sheets: &Sheets, unit: &str) -> Vec<String> {
    let rows = sheets.plan().rows("consequences", &format!("unit={unit}"), "part to word stop_minutes hand_over_at");
    rows.iter().map(|row| row.join(" ")).collect()
}

/// The planner's morning. U6 stands at CH at W 180, Tue 09:00; its axles are there at 09:30, handed over at 09:40: 40 minutes.
/// The microwave is there at 10:00 and the unit at CB at 11:30. U5 arrives at FN on Tue 13:30; RA-13 is handed over on Thu
/// 09:40: 60 minutes of Tuesday, 480 of Wednesday and 06:00 to 09:40, 220, of Thursday.
#[test]
fn the_planners_morning() {
    let sheets = example("planner");
    assert_eq!(rows(&sheets, "U6"), ["AX-35 CH stops the line 40 CH", "MW-07 CB special run  CB"]);
    assert_eq!(rows(&sheets, "U5"), ["RA-13 FN stops the line 760 FN"]);
}

/// With 30 minutes to hand over, U6's axles come at 10:00: 60 line minutes after 09:00, as the break begins then.
#[test]
fn the_time_to_hand_over_is_the_plants_own() {
    let mut sheets = example("planner");
    sheets.add("Settings", "hand over minutes,30");
    assert_eq!(rows(&sheets, "U6"), ["AX-35 CH stops the line 60 CH", "MW-07 CB special run  CB"]);
}

/// A piece that can be fitted later is handed over where the unit then stands: at 09:40 U6 is at CH, from 10:30 (W 240) at
/// FL. (For axles licensed practice decides: here they stand in for any part of which the book says so.)
#[test]
fn what_may_be_fitted_later_can_follow() {
    let mut sheets = example("planner");
    let parts = sheets.0["Parts"].lines().map(|line| match line {
        head if head.starts_with("part,") => format!("{head},fit by"),
        axle if axle.starts_with("AX-35,") => format!("{axle},FL"),
        other => format!("{other},"),
    });
    let parts = parts.collect::<Vec<_>>().join("\n");
    sheets.set("Parts", &parts);
    assert_eq!(rows(&sheets, "U6"), ["AX-35 CH can follow  CH", "MW-07 CB special run  CB"]);
    sheets.add("Settings", "hand over minutes,70");
    // 10:40 is 10 working minutes after 10:30, when U6 arrives at FL; the microwave, at 11:10, is still in time.
    assert_eq!(rows(&sheets, "U6"), ["AX-35 CH stops the line 10 FL", "MW-07 CB special run  CB"]);
}

/// Without the receipt nothing says when: the line stops, for how long is not known.
#[test]
fn what_nothing_brings_stops_the_line_with_no_time_known() {
    let mut sheets = example("planner");
    let receipts = sheets.0["Receipts"].lines().filter(|line| !line.contains("AX-35")).collect::<Vec<_>>().join("\n");
    sheets.set("Receipts", &receipts);
    let tables = sheets.plan();
    let axles = tables.rows("consequences", "part=AX-35", "unit word there_at stop_minutes hand_over_at");
    assert_eq!(axles, [["U6", "stops the line", "", "", ""]]);
}
