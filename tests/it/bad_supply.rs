//! Plans of which nearly everything is missing: catches a sheet, a list or a cell that grows with what is wrong, a list that does
//! not say how many more there are, and a plan that can't be written at all.

use super::support::{Sheets, consequences};
use lineward::base::Moment;
use lineward::plan::{Plan, Request, plan};
use lineward::report::sheet::{Sheet, Workbook};
use lineward::report::table::Value;
use lineward::{check, report};
use std::fmt::Write;

/// A cell of a spreadsheet holds so many letters: its makers' published limit.
const LETTERS: usize = 32_767;

/// Shows the plan of a book as it stands.
fn with_plan(sheets: &Sheets, look: impl FnOnce(&Plan<'_>)) {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    assert!(!findings.any_error(), "{findings:?}");
    let (plan, findings) = plan(&plant, &Request { set_aside: true, ..Default::default() });
    look(&plan.unwrap_or_else(|| panic!("{findings:?}")));
}

/// The texts of a sheet.
fn texts<'s>(sheet: &'s Sheet<'_>) -> impl Iterator<Item = &'s str> {
    sheet.rows.iter().flat_map(|row| &row.cells).filter_map(|cell| match &cell.value {
        Value::Text(text) => Some(&**text),
        _ => None,
    })
}

fn sheet<'w, 'p>(workbooks: &'w [Workbook<'p>], file: &str, name: &str) -> &'w Sheet<'p> {
    let workbook = workbooks.iter().find(|workbook| workbook.file == file).expect("a workbook");
    workbook.sheets.iter().find(|sheet| sheet.name == name).unwrap_or_else(|| panic!("no sheet {name}"))
}

/// `and 400 more: see …` on a sheet.
fn more(sheet: &Sheet<'_>) -> usize {
    let told = texts(sheet).find_map(|text| text.strip_prefix("and ")?.split_once(" more: see"));
    told.map_or(0, |(number, _)| number.parse().expect("a number"))
}

/// All workbooks can be written, and none of their cells is longer than a spreadsheet takes.
fn writes(plan: &Plan<'_>) {
    for workbook in report::workbooks(plan) {
        let longest = workbook.sheets.iter().flat_map(texts).map(|text| text.chars().count()).max();
        assert!(longest < Some(LETTERS / 4), "{}: a cell of {longest:?} letters", workbook.file);
        assert!(report::to_xlsx(&workbook).is_ok(), "{}", workbook.file);
    }
}

/// A unit at one station needs 700 parts with long names, and none of them is there: each is short, and each stops the line.
fn a_kit_of_700_parts() -> Sheets {
    let mut sheets = Sheets::plant(&["S1"]);
    let (mut parts, mut bills) = (String::from("part,uom,description"), String::from("parent,part,qty,station"));
    for i in 0..700 {
        let _ = write!(parts, "\nPANEL-WITH-A-LONG-CODE-{i},ea,Panel with a description of some length number {i}");
        let _ = write!(bills, "\nTEAL,PANEL-WITH-A-LONG-CODE-{i},1,S1");
    }
    sheets.set("Parts", &parts).set("Bills", &bills).add("Sequence", "L1,1,U1,TEAL\nL1,2,U2,TEAL");
    sheets
}

#[test]
fn lists_of_what_is_wrong_end_and_say_how_many_more() {
    with_plan(&a_kit_of_700_parts(), |plan| {
        writes(plan);
        let workbooks = report::workbooks(plan);
        assert_eq!(consequences(plan).len(), 1_400);
        // A title and what the sheet is, the heading, 300 rows, and how many more there are.
        let line = sheet(&workbooks, "shortages.xlsx", "the line");
        assert_eq!(more(line), 1_100);
        assert!(line.rows.len() < 310, "{}", line.rows.len());
        let waits = sheet(&workbooks, "shortages.xlsx", "who waits");
        assert_eq!(more(waits), 1_100);
        let short = sheet(&workbooks, "shortages.xlsx", "shortages");
        assert_eq!(more(short), 400);
        // The day's pulls: both units need all their parts by then.
        let not_pulled = sheet(&workbooks, "pull-list.xlsx", "not pulled");
        assert_eq!(more(not_pulled), 1_100);
        for (file, name) in
            [("pull-list.xlsx", "front"), ("shop-orders.xlsx", "all shops"), ("shortages.xlsx", "at a glance")]
        {
            let first = sheet(&workbooks, file, name);
            assert!(first.rows.len() < 70, "{file}: {} rows on the first sheet", first.rows.len());
        }
    });
}

#[test]
fn a_need_with_hundreds_of_receipts_is_told_in_a_cell() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.add("Parts", "BOLT,ea").add("Bills", "TEAL,BOLT,1,S1").add("Sequence", "L1,1,U1,TEAL");
    sheets.set("Extras", "part,qty,to,unit,reason\nBOLT,700,S1,U1,counted wrong");
    let mut receipts = String::from("purchase order,part,qty,due");
    (0..700).for_each(|i| _ = write!(receipts, "\nORDER-WITH-A-LONG-NUMBER-{i},BOLT,1,2027-10-01"));
    sheets.set("Receipts", &receipts);
    with_plan(&sheets, writes);
}

#[test]
fn a_run_for_thousands_of_units_is_told_in_a_cell() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Takt", "line,from,minutes\nL1,2027-01-01,0.05");
    sheets.add("Parts", "BOLT,ea").add("Bills", "TEAL,BOLT,1,S1");
    (1..=3_000).for_each(|i| _ = sheets.add("Sequence", &format!("L1,{i},UNIT-WITH-A-LONG-NAME-{i},TEAL")));
    sheets.set("Stock", "part,qty,location\nBOLT,3000,A-1");
    with_plan(&sheets, writes);
}
