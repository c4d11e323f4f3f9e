//! What a driver fetches between two runs, and whose packs are, by hand: catches what is on no page, a word for what it is not, and a first unit
//! that is not the first.

use super::questions::asked::{Told, told_rows};
use super::support::Sheets;

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
