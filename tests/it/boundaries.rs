//! Where a stage's comparison turns, by hand: found by changing one comparison, sign or order of a stage at a time (see DEVELOPERS.md) and looking
//! which change no test noticed. Each test says the change that it catches.

use super::support::Sheets;
use lineward::report::table::Value;

/// Waves at 07:00; a need at 06:00 of Monday goes with the run of Friday, however far ahead a calendar's first date of its own lies. Catches
/// a search for that run which begins at that date.
#[test]
fn a_need_before_the_first_run_goes_with_the_last_one_of_the_week_before() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Calendar", "calendar,day,start,end\nDAY,Mon-Fri,06:00,14:00\nDAY,2027-12-24,,");
    sheets.set("Waves", "wave,time\nA,07:00").add("Parts", "BOLT,ea").add("Bills", "TEAL,BOLT,1,S1");
    sheets.add("Sequence", "L1,1,U1,TEAL");
    assert_eq!(sheets.plan().column("pulls", "part=BOLT", "wave"), ["2027-09-10T07:00:00"]);
}

/// Two rows of one order and one of another, all there at one moment: two pegs. Catches an order looked up at the wrong receipt.
#[test]
fn rows_of_one_order_are_one_peg_and_another_order_is_another() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.add("Parts", "BOLT,ea").add("Bills", "TEAL,BOLT,3,S1").add("Sequence", "L1,1,U1,TEAL");
    sheets
        .set("Receipts", "purchase order,part,qty,due\n7,BOLT,1,2027-09-14\n7,BOLT,1,2027-09-14\n8,BOLT,1,2027-09-14");
    assert_eq!(sheets.plan().rows("pegs", "part=BOLT", "source qty"), [["7", "2"], ["8", "1"]]);
}

/// The welder begins the frame at midnight, an hour before it is needed at 01:00, and needs its box then: that is no need of the day before.
/// Catches a day that reaches to the first moment of the next.
#[test]
fn a_need_at_midnight_is_one_of_the_next_day() {
    let box_needed = |start: &str| {
        let mut sheets = Sheets::plant(&["S1", "S2"]);
        sheets.set("Calendar", "calendar,day,start,end\nDAY,Mon-Sun,00:00,00:00");
        sheets.set("Shops", "shop,calendar\nWELD,DAY\nCAB,DAY");
        sheets.set("Parts", "part,uom,source,shop,minutes\nFRAME,ea,make,WELD,60\nBOX,ea,make,CAB,10");
        sheets.add("Bills", "TEAL,FRAME,1,S2\nFRAME,BOX,1,");
        sheets.set("Sequence", &format!("line,seq,unit,floorplan,start\nL1,1,U1,TEAL,{start}"));
        let looked = sheets.look(None, false, |plan| {
            let workbooks = lineward::report::workbooks(plan);
            let sheets = workbooks.iter().flat_map(|workbook| &workbook.sheets);
            let from_shops = sheets.filter(|sheet| sheet.name.ends_with("from shops"));
            let mut cells = from_shops.flat_map(|sheet| &sheet.rows).flat_map(|row| &row.cells);
            (plan.day.to_string(), cells.any(|cell| matches!(&cell.value, Value::Text(text) if text == "BOX")))
        });
        looked.unwrap_or_else(|findings| panic!("{findings:?}"))
    };
    // The plan's day is the first whose run, at midnight, is still to come.
    assert_eq!(box_needed("2027-09-15"), ("2027-09-14".to_owned(), false));
    assert_eq!(box_needed("2027-09-14"), ("2027-09-14".to_owned(), true));
}
