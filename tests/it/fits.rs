//! Words where numbers stand: catches a cell of which a page shows the end alone, for what stands at the right edge of its column loses its
//! beginning where it does not fit.

use super::support::Sheets;
use lineward::report;
use lineward::report::sheet::{Cell, Show, Workbook};
use lineward::report::table::Value;
use std::path::Path;

/// A letter is at most so much wider than the digits in which columns are measured, taken over a few words.
const ROOM: usize = 1;

/// Shown at the right edge, and over one line.
fn at_the_right(show: Show) -> bool {
    matches!(show, Show::Quantity | Show::Whole | Show::Money | Show::Weight | Show::Minutes)
}

fn cut<'w>(workbook: &'w Workbook<'_>) -> impl Iterator<Item = String> + 'w {
    let told = move |sheet: &report::sheet::Sheet<'_>, cell: &Cell<'_>| {
        let Value::Text(words) = &cell.value else { return None };
        let columns = usize::from(cell.column)..usize::from(cell.column + cell.span);
        let width: usize = columns.map(|at| sheet.widths.get(at).copied().map_or(8, usize::from)).sum();
        let is_cut = at_the_right(cell.show) && words.chars().count() > width + ROOM;
        is_cut.then(|| format!("{} {}: {words:?} in {width}", workbook.file, sheet.name))
    };
    let cells = workbook.sheets.iter().flat_map(|sheet| sheet.rows.iter().map(move |row| (sheet, row)));
    cells.flat_map(move |(sheet, row)| row.cells.iter().filter_map(move |cell| told(sheet, cell)))
}

#[test]
fn words_among_numbers_are_not_cut() {
    let mut books = vec![Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen")];
    let examples = ["buyer", "planner", "shops"].map(|name| format!("tests/examples/{name}/book"));
    books.extend(examples.iter().map(|name| Path::new(env!("CARGO_MANIFEST_DIR")).join(name)));
    let mut words = 0;
    for path in books {
        let mut sheets = Sheets::read(&path);
        for without in [None, Some("Stock"), Some("Receipts")] {
            without.map(|table| sheets.0.remove(table));
            let found = sheets.look(None, false, |plan| {
                let workbooks = report::workbooks(plan);
                let text = |cell: &&Cell<'_>| at_the_right(cell.show) && matches!(cell.value, Value::Text(_));
                let rows = workbooks.iter().flat_map(|workbook| &workbook.sheets).flat_map(|sheet| &sheet.rows);
                let all = rows.flat_map(|row| &row.cells).filter(text).count();
                (all, workbooks.iter().flat_map(cut).collect::<Vec<_>>())
            });
            let (all, cut) = found.unwrap_or_else(|told| panic!("{}: {told:?}", path.display()));
            words += all;
            let mut different = cut;
            different.sort();
            different.dedup();
            assert!(different.is_empty(), "{} without {without:?}: {different:#?}", path.display());
        }
    }
    assert!(words > 10, "{words}");
}
