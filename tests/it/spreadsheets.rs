//! One plant as spreadsheet programs save it: catches a kind of file, a hidden sheet or a format that is read differently.

use super::support::{Sheets, table_text};
use lineward::base::{Finding, Moment};
use lineward::report::table::TABLES;
use lineward::{book, check, plan};
use std::path::Path;

/// The plan's tables, and what is noted.
fn planned(path: &str) -> (Vec<String>, Vec<Finding>) {
    let book = book::open(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(path)).expect("a book");
    let (plant, findings) = check::plant(&book, None, Moment::default());
    assert!(!findings.any_error(), "{path}: {:?}", findings.iter().map(ToString::to_string).collect::<Vec<_>>());
    let plan = plan::plan(&plant, &plan::Request::default()).0.expect("a plan");
    (TABLES.iter().map(|table| table_text(table, &plan)).collect(), findings.into_iter().collect())
}

/// The files hold dates and times as such, stock as text, headings merged over two rows, a hidden row of `Bills`, the hidden
/// sheet `Stock`, and blank but formatted rows far below `Parts`.
#[test]
fn all_kinds_of_workbooks_are_read_alike() {
    let (expected, none) = planned("examples/buyer/book");
    assert!(none.is_empty());
    for file in ["plant.xlsx", "plant-office.xlsx", "plant.ods", "plant.xls"] {
        let (tables, noted) = planned(&format!("files/{file}"));
        assert!(tables == expected, "{file}");
        let kinds: Vec<_> = noted.iter().map(|finding| (finding.kind.name, finding.place.sheet.as_deref())).collect();
        assert_eq!(kinds, [("hidden-sheet", Some("Stock"))], "{file}");
    }
}

/// A bill names what a spreadsheet made of the code; the code itself is suggested, and how it happened.
#[test]
fn codes_that_a_spreadsheet_took_for_numbers_or_dates() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Parts", "part,uom\n007731,ea\n3-12,ea\n1E5,ea");
    sheets.set("Bills", "parent,part,qty,station\nTEAL,7731,1,S1\nTEAL,2027-03-12,1,S1\nTEAL,100000,1,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan\nL1,1,U1,TEAL");
    let findings = sheets.findings();
    let near: Vec<_> = findings.iter().map(|f| (f.kind.name, f.nearest.as_deref().expect("a code"))).collect();
    assert_eq!(near, [("unknown-part", "007731"), ("unknown-part", "3-12"), ("unknown-part", "1E5")]);
    let told: Vec<String> = findings.iter().map(ToString::to_string).collect();
    assert!(
        told[0].contains("dropped zeros") && told[1].contains("date") && told[2].contains("power of ten"),
        "{told:?}"
    );
    // Stock that would be missed is a warning of its own; what is merely unknown stays one note.
    sheets.set("Bills", "parent,part,qty,station");
    sheets.set("Stock", "part,qty\n7731,5\nOTHER,1\nMORE,1");
    let findings = sheets.findings();
    let kinds: Vec<_> = findings.iter().map(|finding| (finding.kind.name, finding.place.row)).collect();
    assert_eq!(kinds, [("no-rows", 1), ("misread-code", 2), ("stock-of-unknown-parts", 3)]);
    sheets.set("Parts", "part,uom\n2027-03-12,ea");
    sheets.0.remove("Stock");
    let kinds: Vec<_> = sheets.findings().iter().map(|finding| finding.kind.name).collect();
    assert_eq!(kinds, ["no-rows", "code-is-a-date"]);
}
