//! What missing pieces do to the line: catches a wrong word, a wrong moment of hand-over, minutes that are not the line's.

use super::oracle;
use super::support::Sheets;
use lineward::base::{Moment, PartId, UnitId};
use lineward::report::why::text;
use lineward::{check, plan, why};
use std::path::Path;

/// A worked example's book.
fn example(name: &str) -> Sheets {
    Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/examples").join(name).join("book"))
}

/// The table's rows of a unit: part, place, word, minutes, handed over at; alike by both implementations.
fn rows(sheets: &Sheets, unit: &str) -> Vec<String> {
    let tables = sheets.plan();
    let expected = oracle::plan(&sheets.0, None, false).expect("a plan").consequences;
    assert_eq!(tables.0["consequences"].replace("\r\n", "\n"), expected);
    let rows = tables.rows("consequences", &format!("unit={unit}"), "part to word stop_minutes hand_over_at");
    rows.iter().map(|row| row.join(" ")).collect()
}

/// What `examples` tells of the program, of the second implementation.
#[test]
fn the_examples_come_out_alike() {
    for name in ["planner", "shops", "buyer"] {
        let path = super::examples::folder(name).join("expected/consequences.csv");
        let expected = std::fs::read_to_string(path).expect("a table").replace("\r\n", "\n");
        let found = oracle::plan(&example(name).0, None, false).expect("a plan").consequences;
        assert_eq!(found, expected, "{name}");
    }
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

/// A line of CH, then CA and CB at one position, then FN; a unit arrives at 06:00, 07:00 and 08:00 and all runs are picked at 06:00.
fn plant() -> Sheets {
    let mut sheets = Sheets::plant(&[]);
    sheets.add("Stations", "L1,CH,1\nL1,CB,2\nL1,CA,2\nL1,FN,3");
    sheets.set("Shops", "shop,calendar\nFRAMES,DAY\nINSERTS,DAY");
    sheets.set("Parts", "part,uom,source,shop,minutes,fit by");
    sheets.set("Receipts", "purchase order,part,qty,due");
    sheets.add("Sequence", "L1,1,U1,TEAL");
    sheets
}

/// A frame takes 30 minutes, so its insert is needed at 07:30; that takes 20, so its hinges are needed at 07:10. They are there at
/// 07:40: the insert is done at 08:00, the frame at 08:30, handed over at 08:40.
#[test]
fn what_a_shop_makes_for_another_is_material_too() {
    let mut sheets = plant();
    sheets.add("Parts", "FRAME,ea,make,FRAMES,30,\nINSERT,ea,make,INSERTS,20,\nHINGE,ea,buy,,,");
    sheets.add("Bills", "TEAL,FRAME,1,FN\nFRAME,INSERT,1,\nINSERT,HINGE,2,");
    sheets.add("Receipts", "77,HINGE,2,2027-09-13 07:40");
    let tables = sheets.plan();
    let rows =
        tables.rows("consequences", "arrives=2027-09-13T08:00:00", "part to there_at word stop_minutes hand_over_at");
    let rows: Vec<String> = rows.iter().map(|row| row.join(" ").replace("2027-09-13T", "")).collect();
    assert_eq!(
        rows,
        [
            "FRAME FN 08:30:00 stops the line 40 FN",
            "INSERT FRAMES 08:00:00 stops the line 40 FN",
            "HINGE INSERTS 07:40:00 stops the line 40 FN",
        ]
    );
}

/// Frames take 20 minutes and leave an offcut for CB, so they begin at 06:40. The board is there at 07:00: the frame, done at
/// 07:20, is still in time for FN, but the offcut is handed over at 07:30.
fn frames_with_offcuts() -> Sheets {
    let mut sheets = plant();
    sheets.add("Parts", "FRAME,ea,make,FRAMES,20,\nOFFCUT,ea,by-product,,,\nBOARD,ea,buy,,,");
    sheets.add("Bills", "TEAL,FRAME,1,FN\nTEAL,OFFCUT,1,CB\nFRAME,OFFCUT,-1,\nFRAME,BOARD,1,");
    sheets
}

#[test]
fn a_by_product_waits_with_the_job_that_it_comes_with() {
    let mut sheets = frames_with_offcuts();
    sheets.add("Receipts", "77,BOARD,1,2027-09-13 07:00");
    assert_eq!(rows(&sheets, "U1"), ["OFFCUT CB stops the line 30 CB", "BOARD FRAMES stops the line 30 CB"]);
}

/// Without a board neither the frame nor the offcut comes, and the unit arrives at CB first.
#[test]
fn of_what_is_equally_bad_the_first_to_arrive_is_told() {
    let tables = frames_with_offcuts().plan();
    let found = tables.rows("consequences", "unit=U1", "part to arrives word stop_minutes");
    let found: Vec<String> = found.iter().map(|row| row.join(" ")).collect();
    assert_eq!(
        found,
        [
            "OFFCUT CB 2027-09-13T07:00:00 stops the line ",
            "BOARD FRAMES 2027-09-13T07:00:00 stops the line ",
            "FRAME FN 2027-09-13T08:00:00 stops the line ",
        ]
    );
}

/// An insert in the frame is made from the frame's own offcut: neither is ever begun.
#[test]
fn a_job_that_waits_for_itself_is_never_done() {
    let mut sheets = frames_with_offcuts();
    sheets.add("Parts", "INSERT,ea,make,INSERTS,10,");
    sheets.add("Stock", "part,qty\nBOARD,1");
    sheets.set(
        "Bills",
        "parent,part,qty,station\nTEAL,FRAME,1,FN\nFRAME,OFFCUT,-1,\nFRAME,BOARD,1,\nFRAME,INSERT,1,\nINSERT,OFFCUT,1,",
    );
    let found = rows(&sheets, "U1");
    assert_eq!(
        found,
        ["FRAME FN stops the line  ", "INSERT FRAMES stops the line  ", "OFFCUT INSERTS stops the line  "]
    );
}

/// The frame for CB is done at 07:00, when the unit arrives: in time, so the hinges, there at 06:15 for 06:30, need no more than
/// a run of their own, and the frame goes to CB however long it takes to hand over what is late.
#[test]
fn material_that_is_in_time_goes_where_its_piece_goes() {
    let mut sheets = plant();
    sheets.add("Settings", "hand over minutes,120");
    sheets.add("Parts", "FRAME,ea,make,FRAMES,30,FN\nHINGE,ea,buy,,,");
    sheets.add("Bills", "TEAL,FRAME,1,CB\nFRAME,HINGE,2,");
    sheets.add("Receipts", "77,HINGE,2,2027-09-13 06:15");
    assert_eq!(rows(&sheets, "U1"), ["HINGE FRAMES special run  CB"]);
}

/// What a hinge does that is needed at a station, can be fitted up to another, and is there at a time of day.
fn hinge(station: &str, fit_by: &str, there: &str) -> String {
    let mut sheets = plant();
    sheets.add("Parts", &format!("HINGE,ea,buy,,,{fit_by}"));
    sheets.add("Bills", &format!("TEAL,HINGE,2,{station}"));
    sheets.add("Receipts", &format!("77,HINGE,2,2027-09-13 {there}"));
    rows(&sheets, "U1").join(", ")
}

/// It takes 10 minutes to hand over.
#[test]
fn each_word_up_to_its_last_second() {
    assert_eq!(hinge("CB", "", "06:50:00"), "HINGE CB special run  CB");
    assert_eq!(hinge("CB", "", "06:50:01"), "HINGE CB stops the line 1 CB");
    assert_eq!(hinge("CB", "FN", "06:50:01"), "HINGE CB can follow  CB");
    assert_eq!(hinge("CB", "FN", "07:50:00"), "HINGE CB can follow  FN");
    assert_eq!(hinge("CB", "FN", "07:50:01"), "HINGE CB stops the line 1 FN");
    assert_eq!(hinge("CB", "FN", "07:51:01"), "HINGE CB stops the line 2 FN");
}

/// Of two stations at a position: the one where it is needed, or may be fitted last, before the first by code.
#[test]
fn it_is_handed_over_where_the_unit_then_stands() {
    assert_eq!(hinge("CB", "FN", "07:05"), "HINGE CB can follow  CB");
    assert_eq!(hinge("CH", "CB", "06:50"), "HINGE CH can follow  CB");
    assert_eq!(hinge("CH", "FN", "06:49:59"), "HINGE CH can follow  CH");
    assert_eq!(hinge("CH", "FN", "06:50"), "HINGE CH can follow  CA");
}

/// From 07:00 to 08:00 the unit stands where there is no station: what comes then goes to the one before.
#[test]
fn where_there_is_no_station_it_is_handed_over_at_the_one_before() {
    let mut sheets = plant();
    sheets.set("Stations", "line,station,position\nL1,CH,1\nL1,FN,3\nL1,EN,5");
    sheets.add("Parts", "HINGE,ea,buy,,,FN").add("Bills", "TEAL,HINGE,2,CH");
    sheets.add("Receipts", "77,HINGE,2,2027-09-13 07:05");
    assert_eq!(rows(&sheets, "U1"), ["HINGE CH can follow  CH"]);
    let mut sheets = owed();
    sheets.set("Stations", "line,station,position\nL1,CH,1\nL1,CB,2\nL1,FN,3\nL1,EN,5");
    sheets.add("Parts", "HINGE,ea,buy,,,").add("Receipts", "77,HINGE,2,2027-09-13 09:05");
    assert_eq!(rows(&sheets, "U1"), ["HINGE CB can follow  FN"]);
}

/// A station before its own or at the same position is no later one.
#[test]
fn only_a_station_behind_its_own_lets_it_follow() {
    assert_eq!(hinge("CB", "CH", "06:55"), "HINGE CB stops the line 5 CB");
    assert_eq!(hinge("CB", "CA", "06:55"), "HINGE CB stops the line 5 CB");
}

/// A line of CH, CB, FN; U1 stands at FN since 08:00, entered at 06:00 and leaves at 09:00. It is 08:30, and two hinges are still
/// owed to it at CB, where it arrived at 07:00.
fn owed() -> Sheets {
    let mut sheets = Sheets::plant(&["CH", "CB", "FN"]);
    sheets.set("Settings", "key,value\nas of,2027-09-13 08:30");
    sheets.set("Lines", "line,calendar,last move\nL1,DAY,2027-09-13 08:00");
    sheets.set("Shops", "shop,calendar\nFRAMES,DAY");
    sheets.set("Parts", "part,uom,source,shop,minutes,fit by");
    sheets.set("Sequence", "line,seq,unit,floorplan,at\nL1,1,U1,TEAL,FN");
    sheets.set("Receipts", "purchase order,part,qty,due");
    sheets.set("Extras", "part,qty,to,unit\nHINGE,2,CB,U1");
    sheets
}

/// What the hinges do, that can be fitted up to a station and are there at a time of day.
fn owed_hinge(fit_by: &str, there: &str) -> String {
    let mut sheets = owed();
    sheets.add("Parts", &format!("HINGE,ea,buy,,,{fit_by}"));
    if !there.is_empty() {
        sheets.add("Receipts", &format!("77,HINGE,2,2027-09-13 {there}"));
    }
    rows(&sheets, "U1").join(", ")
}

/// The unit has left CB: nothing waits. It takes 10 minutes to hand over, and from 09:00 on the unit is off the line.
#[test]
fn at_a_station_that_the_unit_has_left_nothing_stops_the_line() {
    assert_eq!(owed_hinge("", "08:35"), "HINGE CB can follow  FN");
    assert_eq!(owed_hinge("", "08:49:59"), "HINGE CB can follow  FN");
    assert_eq!(owed_hinge("", "08:50"), "HINGE CB can follow  ");
    assert_eq!(owed_hinge("", ""), "HINGE CB can follow  ");
    assert_eq!(owed_hinge("CB", "08:35"), "HINGE CB can follow  FN");
}

/// It stands at FN still, where it arrived at 08:00: handed over at 08:45 the hinges stop it 45 minutes.
#[test]
fn where_it_can_still_be_fitted_the_line_waits() {
    assert_eq!(owed_hinge("FN", "08:35"), "HINGE CB stops the line 45 FN");
    assert_eq!(owed_hinge("FN", ""), "HINGE CB stops the line  ");
}

/// The unit leaves CB at 08:00. Until then, as of 07:59, the hinges stop it: handed over at 08:15, 75 minutes after 07:00.
#[test]
fn it_has_left_from_the_moment_at_which_it_leaves() {
    let at = |as_of: &str, last_move: &str, station: &str| {
        let mut sheets = owed();
        sheets.set("Settings", &format!("key,value\nas of,2027-09-13 {as_of}"));
        sheets.set("Lines", &format!("line,calendar,last move\nL1,DAY,2027-09-13 {last_move}"));
        sheets.set("Sequence", &format!("line,seq,unit,floorplan,at\nL1,1,U1,TEAL,{station}"));
        sheets.add("Parts", "HINGE,ea,buy,,,").add("Receipts", "77,HINGE,2,2027-09-13 08:05");
        rows(&sheets, "U1").join(", ")
    };
    assert_eq!(at("07:59", "07:00", "CB"), "HINGE CB stops the line 75 CB");
    assert_eq!(at("08:00", "08:00", "FN"), "HINGE CB can follow  FN");
}

/// A frame owed at CB takes 30 minutes from 08:40 on, when its hinges are there: at 09:10, handed over at 09:20. By then the unit
/// is off the line, or at EN, if the line goes on; without hinges nothing says when.
#[test]
fn material_of_what_is_owed_behind_the_unit_can_follow_too() {
    let mut sheets = owed();
    sheets.set("Extras", "part,qty,to,unit\nFRAME,1,CB,U1");
    sheets.add("Parts", "FRAME,ea,make,FRAMES,30,\nHINGE,ea,buy,,,").add("Bills", "FRAME,HINGE,2,");
    assert_eq!(rows(&sheets, "U1"), ["FRAME CB can follow  ", "HINGE FRAMES can follow  "]);
    sheets.add("Receipts", "77,HINGE,2,2027-09-13 08:40");
    assert_eq!(rows(&sheets, "U1"), ["FRAME CB can follow  ", "HINGE FRAMES can follow  "]);
    let there = sheets.plan().column("consequences", "unit=U1", "there_at");
    assert_eq!(there, ["2027-09-13T09:10:00", "2027-09-13T08:40:00"]);
    sheets.add("Stations", "L1,EN,4");
    assert_eq!(rows(&sheets, "U1"), ["FRAME CB can follow  EN", "HINGE FRAMES can follow  EN"]);
}

#[test]
fn why_says_that_the_unit_has_left() {
    let mut sheets = owed();
    sheets.add("Parts", "HINGE,ea,buy,,,");
    let told = |sheets: &Sheets| {
        let book = sheets.book();
        let (plant, _) = check::plant(&book, None, Moment::default());
        let plan = plan::plan(&plant, &plan::Request::default()).0.expect("a plan");
        let told = text(&why::why(&plan, &book, UnitId(0), PartId(0)));
        told.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let left = "can follow, as the unit has left CB, the last station where it could be fitted: the unit arrives Mon 13 Sep 07:00";
    let short = told(&sheets);
    assert!(short.contains(&format!("2 ea for CB, with nothing to say when it comes, {left}.")), "{short}");
    sheets.add("Receipts", "77,HINGE,1,2027-09-13 08:35\n78,HINGE,1,2027-09-13 08:50");
    let late = told(&sheets);
    assert!(late.contains(&format!("1 ea for CB, there Mon 13 Sep 08:35, {left}; it is handed over at FN.")), "{late}");
    let off =
        format!("1 ea for CB, there Mon 13 Sep 08:50, {left}; it is off the line before this can be handed over.");
    assert!(late.contains(&off), "{late}");
}
