//! Small books by hand: what is left of one period for the next, what is ordered by when, what is made, what has changed.
//!
//! Rules `past-the-sequence`, `sample`.

use super::super::support::Sheets;
use lineward::report;

/// Four units of TEAL on one line, of which the last is entered on Mon 13 Sep; each takes two frames and, with AC, a roof unit.
fn plant() -> Sheets {
    let mut sheets = Sheets::plant(&["FRAME", "ROOF"]);
    sheets.set("Options", "option\nAC");
    sheets.set("Parts", "part,uom,source,shop,lead days,minimum buy,buy multiple,safety stock,cost,supplier");
    sheets.add("Parts", "FRM,ea,,,10,,,,20,Sallow Steel\nRAC,ea,,,63,5,5,,300,Sallow Air");
    sheets.set("Bills", "parent,part,qty,station,when\nTEAL,FRM,2,FRAME,\nTEAL,RAC,1,ROOF,AC");
    sheets.set("Sequence", "line,seq,unit,floorplan,options,done,hold\nL1,1,U1,TEAL,AC,yes,\nL1,2,U2,TEAL,,,\nL1,3,U3,TEAL,AC,,\nL1,4,U4,TEAL,,,");
    sheets.set("Stock", "part,qty\nFRM,10\nRAC,3");
    sheets.set("Forecast", "floorplan,from,to,units\nTEAL,2027-09-14,2027-09-30,2\nTEAL,2027-10-01,2027-10-31,10");
    sheets
}

fn outlook(sheets: &Sheets) -> Vec<Vec<String>> {
    sheets.plan().rows("outlook", "", "part from mean half nearly_all left to_order order_by")
}

/// Frames: 10 in stock, 3 × 2 taken by the sequence (U1 is done), 4 left; two units take 4, and ten take 20: 4 − 4 − 20, so 20 are
/// ordered, 10 days before 1 Oct. Roof units: 3 in stock, one taken by U3, 2 left. Of four units two have AC: of two units none, one
/// or both with .25, .5, .25: half 1, nearly all 2; of ten half 5 and nearly all 8 (.9453 for 7, .9893 for 8: binomial tables, common
/// to textbooks of statistics). What is left for the second period is 2 − 2; 8 are lacking, 10 are ordered, whole fives, 63 days before
/// 1 Oct.
#[test]
fn what_one_period_takes_is_not_there_for_the_next() {
    let expected = [
        ["FRM", "2027-09-14", "4", "4", "4", "4", "0", ""],
        ["FRM", "2027-10-01", "20", "20", "20", "0", "20", "2027-09-21"],
        ["RAC", "2027-09-14", "1", "1", "2", "2", "0", ""],
        ["RAC", "2027-10-01", "5", "5", "8", "0", "10", "2027-07-30"],
    ];
    assert_eq!(outlook(&plant()), expected);
    // A safety stock is kept besides: the balance of the sequence does not fall below it (10 - 6 = 4), so 3 more are lacking.
    let mut safe = plant();
    let parts = safe.0["Parts"].replace("FRM,ea,,,10,,,,", "FRM,ea,,,10,,,3,");
    let rows = outlook(safe.set("Parts", &parts));
    assert_eq!(rows[0][5..], ["4", "3", "2027-09-04"]);
    assert_eq!(rows[1][5..], ["0", "20", "2027-09-21"]);
}

/// What is ordered beyond a lack, because an order has a least size, is there for the periods behind.
#[test]
fn an_order_that_is_larger_than_its_period_serves_the_next() {
    let mut sheets = plant();
    sheets.set("Stock", "part,qty\nFRM,6");
    let parts = sheets.0["Parts"].replace("FRM,ea,,,10,,,,", "FRM,ea,,,10,15,,,");
    let rows = outlook(sheets.set("Parts", &parts));
    // Nothing is left; 4 are lacking, 15 are ordered; of the 24 of both periods 9 more are lacking, so 15 again.
    assert_eq!(rows[0], ["FRM", "2027-09-14", "4", "4", "4", "0", "15", "2027-09-04"]);
    assert_eq!(rows[1], ["FRM", "2027-10-01", "20", "20", "20", "-4", "15", "2027-09-21"]);
}

/// The last units count, done ones among them, a unit on hold with the next behind it; a unit whose order is wrong does not.
#[test]
fn the_last_units_are_the_sample() {
    let mean = |sample: &str, sequence: &str| {
        let mut sheets = plant();
        let settings = format!("{}\nsample units,{sample}", sheets.0["Settings"]);
        sheets.set("Settings", &settings);
        sheets.set("Sequence", &format!("line,seq,unit,floorplan,options,done,hold\n{sequence}"));
        sheets.set("Forecast", "floorplan,from,to,units\nTEAL,2027-09-20,2027-09-30,60");
        let tables = lineward_tables(&sheets);
        tables.column("outlook", "part=RAC", "mean")
    };
    let four = "L1,1,U1,TEAL,AC,yes,\nL1,2,U2,TEAL,AC,yes,\nL1,3,U3,TEAL,,,\nL1,4,U4,TEAL,,,";
    assert_eq!(mean("4", four), ["30"]);
    assert_eq!(mean("3", four), ["20"]);
    assert_eq!(mean("2", four), Vec::<String>::new());
    let held = "L1,1,U1,TEAL,,,\nL1,2,U2,TEAL,AC,,no wheels\nL1,3,U3,TEAL,,,\nL1,4,U4,TEAL,,,";
    assert_eq!(mean("3", held), ["20"]);
    assert_eq!(mean("2", held), Vec::<String>::new());
    // U4 asks for what there is not: three units are left, of which U1 has AC.
    let wrong = "L1,1,U1,TEAL,AC,,\nL1,2,U2,TEAL,,,\nL1,3,U3,TEAL,,,\nL1,4,U4,TEAL,OVEN,,";
    assert_eq!(mean("4", wrong), ["20"]);
}

/// The tables with wrong units set aside.
fn lineward_tables(sheets: &Sheets) -> super::super::support::Tables {
    super::super::support::Tables(sheets.plan_as(None, true).unwrap_or_else(|found| panic!("{found:?}")))
}

/// Make parts are followed down through their shops, whatever is in stock of them; what comes off is not counted.
#[test]
fn what_is_made_is_followed_down_to_what_is_bought() {
    let mut sheets = Sheets::plant(&["X", "Y"]);
    sheets.set("Shops", "shop,calendar\nCAB,DAY\nDRAW,DAY");
    sheets.set("Parts", "part,uom,source,shop\nBED,ea,make,CAB\nDRAWER,ea,make,DRAW\nSLAT,ea,,\nKNOB,ea,,\nTRIM,ft,by-product,\nSET,ea,phantom,");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,SET,1,X\nSET,BED,2,\nBED,SLAT,9,\nBED,DRAWER,2,\nDRAWER,KNOB,1,\nDRAWER,TRIM,-1,");
    sheets.add("Sequence", "L1,1,U1,TEAL");
    sheets.set("Stock", "part,qty\nBED,100");
    sheets.set("Forecast", "floorplan,from,to,units\nTEAL,2027-10-01,2027-10-31,5");
    let rows = sheets.plan().rows("outlook", "", "part mean nearly_all to_order");
    assert_eq!(rows, [["KNOB", "20", "20", "20"], ["SLAT", "90", "90", "90"]]);
}

/// A change that the sequence reaches by a unit holds for all behind it, also where the sample was built before; one by date from the
/// period on that begins no earlier.
#[test]
fn changes_hold_as_in_the_period() {
    let mut sheets = plant();
    sheets.set("Parts", "part,uom\nOLD,ea\nNEW,ea\nGONE,ea");
    sheets.set("Bills", "parent,part,qty,station,from change,until change\nTEAL,OLD,1,FRAME,,C-1\nTEAL,NEW,1,FRAME,C-1,\nTEAL,GONE,1,ROOF,,C-2");
    sheets.set("Stock", "part,qty");
    sheets.set("Changes", "change,from date,from unit\nC-1,,U4\nC-2,2027-10-05,");
    sheets.set("Forecast", "floorplan,from,to,units\nTEAL,2027-09-20,2027-09-30,7\nTEAL,2027-10-01,2027-10-31,3\nTEAL,2027-11-01,2027-11-30,2");
    let rows = sheets.plan().rows("outlook", "", "part from mean");
    let expected = [
        ["GONE", "2027-09-20", "7"],
        ["GONE", "2027-10-01", "3"],
        ["NEW", "2027-09-20", "7"],
        ["NEW", "2027-10-01", "3"],
        ["NEW", "2027-11-01", "2"],
    ];
    assert_eq!(rows, expected);
    let told = sheet_text(&sheets);
    assert!(told.contains("C-2 (Fri 1 Oct to Sun 31 Oct)"), "{told}");
    // On the last day of a period it is within it still, on the first not: the whole period is behind it.
    for (date, within) in [("2027-10-01", false), ("2027-10-02", true), ("2027-10-31", true), ("2027-11-01", false)] {
        sheets.set("Changes", &format!("change,from date,from unit\nC-1,,U4\nC-2,{date},"));
        assert_eq!(sheet_text(&sheets).contains("C-2 ("), within, "{date}");
    }
}

/// The words and numbers of the sheet, line by line.
fn sheet_text(sheets: &Sheets) -> String {
    let text = |plan: &lineward::plan::Plan<'_>| {
        let [.., workbook] = report::workbooks(plan);
        let sheet = workbook.sheets.iter().find(|sheet| sheet.name == "past the sequence").expect("the sheet");
        let words = |cell: &report::sheet::Cell<'_>| match &cell.value {
            report::table::Value::Text(text) => text.to_string(),
            report::table::Value::Quantity(number) => number.to_string(),
            report::table::Value::Total(number) => number.to_string(),
            report::table::Value::Date(date) => date.short(),
            _ => String::new(),
        };
        let row = |row: &report::sheet::Row<'_>| row.cells.iter().map(words).collect::<Vec<_>>().join("|");
        sheet.rows.iter().map(row).collect::<Vec<_>>().join("\n")
    };
    sheets.look(None, true, text).unwrap_or_else(|found| panic!("{found:?}"))
}

/// The sheet says from which units it is taken, what that assumes, what it says nothing of, and what to order first.
#[test]
fn the_sheet_says_what_it_rests_on() {
    let mut sheets = plant();
    sheets.add("Floorplans", "GULL");
    sheets.add("Forecast", "GULL,2027-10-01,2027-10-31,6");
    let told = sheet_text(&sheets);
    for words in [
        "a forecast, not a plan",
        "independently of all others",
        "TEAL: 12 units forecast, by 4 units from U1 to U4",
        "GULL: 6 units forecast, and the sequence has no unit of it to take anything from: NOTHING of what they need",
        "2 orders, 1 inside lead time, 3,400.00 in all",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    // What should have been ordered on Fri 30 Jul is to be ordered first; on its day, since that is past.
    let first = told.lines().position(|line| line.contains("|RAC|")).expect("a line");
    let second = told.lines().position(|line| line.contains("|FRM|")).expect("a line");
    assert!(first < second && told.contains("inside lead time, 63 days"), "{told}");
    // Without a forecast there is no sheet, and the table has no rows.
    let mut without = plant();
    without.0.remove("Forecast");
    let names = without.look(None, false, |plan| {
        let [.., workbook] = report::workbooks(plan);
        workbook.sheets.iter().map(|sheet| sheet.name.clone()).collect::<Vec<_>>()
    });
    assert!(!names.unwrap_or_else(|found| panic!("{found:?}")).contains(&"past the sequence".to_owned()));
    assert_eq!(outlook(&without), Vec::<Vec<String>>::new());
}

/// A period that begins while units of the sequence enter counts whole, which the sheet says.
#[test]
fn a_period_within_the_sequence_is_said() {
    let mut sheets = plant();
    sheets.set("Forecast", "floorplan,from,to,units\nTEAL,2027-09-13,2027-09-30,2");
    let told = sheet_text(&sheets);
    assert!(
        told.contains("TEAL, Mon 13 Sep to Thu 30 Sep: counted whole, though U4 of the sequence enters on Mon 13 Sep"),
        "{told}"
    );
    assert_eq!(outlook(&sheets)[0][2], "4");
}

/// Of what leaves the range of a quantity there is no row, and the sheet names it: 10^9 of each of 1,000 units.
#[test]
fn what_no_quantity_holds_is_named() {
    let mut sheets = plant();
    sheets.set("Bills", "parent,part,qty,station,when\nTEAL,FRM,2,FRAME,\nTEAL,RAC,999999999,ROOF,AC");
    sheets.set("Sequence", "line,seq,unit,floorplan,options,done\nL1,1,U1,TEAL,AC,yes\nL1,2,U2,TEAL,,");
    sheets.set("Forecast", "floorplan,from,to,units\nTEAL,2027-09-14,2027-09-30,1001");
    assert_eq!(outlook(&sheets).len(), 1);
    assert!(sheet_text(&sheets).contains("Too much to be told would be taken of RAC"));
}
