//! Figures that were found wrong on random books, by hand: what is on no page, a word for what it is not, a first unit that is not the first, more than
//! the shop builds, a zone that hides another.

use crate::questions::asked::{Told, text, told_rows};
use crate::support::Sheets;

/// The rows below a heading of a sheet of the pull list.
fn told(sheets: &Sheets, sheet: &str, heading: &str) -> Vec<Told> {
    let look = |plan: &lineward::plan::Plan<'_>| {
        let workbooks = lineward::report::workbooks(plan);
        let found = workbooks.iter().flat_map(|workbook| &workbook.sheets).find(|known| known.name == sheet);
        told_rows(&found.unwrap_or_else(|| panic!("no sheet '{sheet}'")).rows, heading)
    };
    sheets.look(None, false, look).unwrap_or_else(|_| panic!("{}", sheets.shown()))
}

/// As of Monday 13:00; moves are then, Tuesday 06:00, 07:00 and so on.
fn monday(stations: &[&str]) -> Sheets {
    let mut sheets = Sheets::plant(stations);
    sheets.set("Settings", "key,value\nas of,2027-09-13 13:00\nreceipts at,06:00");
    sheets
}

const BESIDE: [&str; 6] = ["at the last", "from", "there", "what, for whom and where to", "needed", "note"];

/// U1 arrives now and needs its box now; it takes 120 min and 30 for the way: begun now, done Tuesday 07:00, there 07:30. It should have left on
/// Monday at 12:30. The driver fetches it on Tuesday, so that it stands on Tuesday's page; on the way at 07:00, before the run of 10:00.
#[test]
fn what_should_have_left_before_is_on_the_page_of_when_it_comes() {
    let mut sheets = monday(&["S1"]);
    sheets.set("Shops", "shop,calendar,transit\nCAB,DAY,30");
    sheets.set("Parts", "part,uom,source,shop,minutes\nBOX,ea,make,CAB,120\nBOLT,ea,,,");
    sheets.add("Bills", "TEAL,BOX,1,S1\nTEAL,BOLT,1,S1").set("Stock", "part,qty\nBOLT,2");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,\nL1,2,U2,TEAL,2027-09-16");
    sheets.set("Waves", "wave,time,pick minutes\na,06:00,0\nb,10:00,0");
    let rows = told(&sheets, "driver 06.00", "at the last");
    let rows: Vec<_> = rows.iter().map(|row| BESIDE.map(|heading| &*row[heading])).collect();
    // U2's box is due on Thursday.
    let expected =
        ["2027-09-13T12:30:00", "collect at CAB", "2027-09-14T07:30:00", "BOX for U1 at S1", "Mon 13:00", "late"];
    assert_eq!(rows, [expected]);
    assert!(told(&sheets, "driver 10.00", "at the last").is_empty());
}

/// U2 arrives on Tuesday at 07:00. Its bolt comes at 06:55: in time for the need, but 10 min of handing over make the line wait. Its box must leave
/// the shop at 06:55, 5 min after the bolt's last moment, 06:50.
#[test]
fn a_piece_in_time_for_its_need_is_not_called_late() {
    let mut sheets = monday(&["S1"]);
    sheets.set("Shops", "shop,calendar,transit\nCAB,DAY,5");
    sheets.set("Parts", "part,uom,source,shop,minutes\nBOLT,ea,,,\nBOX,ea,make,CAB,10");
    sheets.add("Bills", "TEAL,BOLT,1,S1\nTEAL,BOX,1,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14\nL1,2,U2,TEAL,");
    sheets.set("Stock", "part,qty\nBOLT,1").set("Receipts", "purchase order,part,qty,due\n7,BOLT,1,2027-09-14 06:55");
    let rows = told(&sheets, "driver 06.00", "at the last");
    let rows: Vec<_> = rows.iter().map(|row| [&*row["at the last"], &*row["from"], &*row["note"]]).collect();
    let expected = [
        ["2027-09-13T13:55:00", "collect at CAB", ""],
        ["2027-09-14T06:50:00", "special run from the dock", "after the last moment"],
        ["2027-09-14T06:55:00", "collect at CAB", "less than 10 min after"],
    ];
    // U1's box must leave on Monday and is done then: that is no trip of Tuesday.
    assert_eq!(rows, expected[1..]);
}

/// At S2 U1 arrives at 07:00 and U2 at 08:00; U2 is owed screws there by 06:30, so that the pack goes for U2 first.
#[test]
fn packs_are_told_with_the_unit_that_needs_them_first() {
    let mut sheets = monday(&["S1", "S2"]);
    sheets.set("Parts", "part,uom,issue,pack quantity\nSCREW,ea,bulk,100").add("Bills", "TEAL,SCREW,4,S2");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14\nL1,2,U2,TEAL,");
    sheets.set("Extras", "part,qty,to,needed,unit,reason\nSCREW,1,S2,2027-09-14 06:30,U2,owed");
    sheets.set("Stock", "part,qty\nSCREW,500");
    let rows = told(&sheets, "bulk", "packs");
    let rows: Vec<_> =
        rows.iter().map(|row| ["run", "to", "first unit", "needed", "packs"].map(|at| &*row[at])).collect();
    assert_eq!(rows, [["06:00", "S2", "U2", "06:30", "1"]]);
}

/// Of three boxes one lies in the stores: two leave the shop.
#[test]
fn what_leaves_a_shop_is_what_it_builds() {
    let mut sheets = monday(&["S1"]);
    sheets.set("Shops", "shop,calendar\nCAB,DAY").set("Stock", "part,qty\nBOX,1");
    sheets.set("Parts", "part,uom,source,shop,minutes\nBOX,ea,make,CAB,10").add("Bills", "TEAL,BOX,3,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14");
    let rows = told(&sheets, "CAB out", "leaves by");
    let rows: Vec<_> = rows.iter().map(|row| ["leaves by", "unit", "what", "qty", "set"].map(|at| &*row[at])).collect();
    assert_eq!(rows, [["06:00", "U1", "BOX", "2", "alone"]]);
}

/// A-1 and a-2 are one zone to whoever walks there, and to one walk: two stops for one kit, of unknown weight.
#[test]
fn small_letters_make_no_other_zone() {
    let mut sheets = monday(&["S1"]);
    sheets.set("Parts", "part,uom,location\nBOLT,ea,A-1\nNUT,ea,a-2").set("Stock", "part,qty\nBOLT,9\nNUT,9");
    sheets.add("Bills", "TEAL,BOLT,1,S1\nTEAL,NUT,1,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14");
    let rows = told(&sheets, "the day's work", "zone");
    let rows: Vec<_> = rows.iter().filter_map(|row| Some([&**row.get("zone")?, &*row["the 06:00 run"]])).collect();
    assert_eq!(rows, [["A", "2 / 1 / not known"]]);
}

/// As of Monday 13:00. Two bolts lie there; one is overdue for U1, wanted at 12:00, the other goes with Monday's run of 13:30, which is not on
/// Tuesday's list. Neither what is overdue nor Tuesday leaves the bin empty; Tuesday's nut does its own.
#[test]
fn a_bin_that_runs_before_the_day_empty_is_not_on_its_list() {
    let mut sheets = monday(&["S1"]);
    sheets.set("Waves", "wave,time,pick minutes\na,06:00,0\nb,13:30,0");
    sheets
        .set("Parts", "part,uom\nBOLT,ea\nNUT,ea")
        .add("Bills", "TEAL,NUT,1,S1")
        .set("Stock", "part,qty\nBOLT,2\nNUT,1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14");
    sheets.set("Extras", "part,qty,to,needed,unit\nBOLT,1,S1,2027-09-13 12:00,U1\nBOLT,1,S1,2027-09-13 13:45,U1");
    let rows = told(&sheets, "the day's work", "empty after");
    let rows: Vec<_> = rows.iter().map(|row| [&*row["part"], &*row["empty after"]]).collect();
    assert_eq!(rows, [["NUT", "the 06:00 run"]]);
    let left = told(&sheets, "stops overdue", "bin before");
    assert_eq!(left.iter().map(|row| [&*row["part"], &*row["left"]]).collect::<Vec<_>>(), [["BOLT", "1"]]);
}

/// U1 leaves S1 on Tuesday at 07:00, and a cut-out comes off it there. Another comes off its box, which is done at 07:50, when the frame that takes a
/// cut-out must begin to be at S3 at 08:00. The frame has the first: it comes from no shop.
#[test]
fn what_comes_off_at_a_station_is_from_no_shop() {
    let mut sheets = monday(&["S1", "S2", "S3", "S4"]);
    sheets.set("Shops", "shop,calendar\nCAB,DAY\nSLD,DAY");
    sheets.set(
        "Parts",
        "part,uom,source,shop,minutes\nCUT,ea,by-product,,\nBOX,ea,make,CAB,30\nFRAME,ea,make,SLD,10\nBOLT,ea,,,",
    );
    sheets.add("Bills", "TEAL,CUT,-1,S1\nTEAL,FRAME,1,S3\nTEAL,BOX,1,S4\nBOX,CUT,-1,\nFRAME,CUT,1,\nTEAL,BOLT,1,S1");
    sheets.set("Stock", "part,qty\nBOLT,9");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14");
    let cells = |plan: &lineward::plan::Plan<'_>| {
        let workbooks = lineward::report::workbooks(plan);
        let found = workbooks.iter().flat_map(|workbook| &workbook.sheets).find(|known| known.name == "SLD order");
        let cells = found.expect("a sheet").rows.iter().flat_map(|row| &row.cells).map(|cell| text(&cell.value));
        cells.collect::<Vec<_>>().join(" ")
    };
    let told = sheets.look(None, false, cells).unwrap_or_else(|_| panic!("{}", sheets.shown()));
    assert!(told.contains("by 07:50") && told.contains("CUT: here 07:00, at the last 07:50"), "{told}");
}

/// Two frames of U1, for S1 and S2, take a box each. As of Monday 13:00 each box takes 120 min of the one crew: the first is done Tuesday 07:00, the second
/// at 09:00, and 10 min later its frame. U1 comes to S1 now and to S2 on Tuesday at 06:00. The first frame is handed over at 07:20: 60 min of Monday and
/// 80 of Tuesday. The second at 09:20: 200 min by itself, 120 of them behind the first. Neither box costs what is built of the other.
#[test]
fn a_job_costs_what_is_built_of_its_own_piece() {
    let mut sheets = monday(&["S1", "S2"]);
    sheets.set("Shops", "shop,calendar\nCAB,DAY\nSLD,DAY").set("Stock", "part,qty\nBOLT,9");
    sheets.set(
        "Parts",
        "part,uom,source,shop,minutes\nBOX,ea,make,CAB,120\nONE,ea,make,SLD,10\nTWO,ea,make,SLD,10\nBOLT,ea,,,",
    );
    sheets.add("Bills", "TEAL,ONE,1,S1\nTEAL,TWO,1,S2\nONE,BOX,1,\nTWO,BOX,1,\nTEAL,BOLT,1,S2");
    sheets.add("Sequence", "L1,1,U1,TEAL");
    let rows = told(&sheets, "CAB", "costs the line");
    let mut rows: Vec<_> = rows.iter().map(|row| [&*row["what"], &*row["needed"], &*row["costs the line"]]).collect();
    rows.sort();
    let expected =
        [["U1 BOX", "2027-09-13T13:00:00", "140 min"], ["U1 BOX 2", "2027-09-13T13:50:00", "120 min; 200 by itself"]];
    assert_eq!(rows, expected);
}
