//! How long each stage of a plan takes: `cargo bench --bench stages -- PATH [tables]`, once, from opening the book to the workbooks.

use lineward::base::Moment;
use lineward::report::{self, table::TABLES};
use lineward::{book, check, plan};
use std::path::Path;
use std::time::Instant;

#[expect(clippy::disallowed_methods, reason = "a benchmark looks at the clock")]
fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let path = words.first().map_or("data/alder-fen", String::as_str);
    let now = Moment::parse("2027-09-13 06:00").map(|(moment, _)| moment).unwrap_or_default();
    let mut last = Instant::now();
    let mut tell = |stage: &str| {
        println!("{stage:24} {:8.1?}", last.elapsed());
        last = Instant::now();
    };
    let found = book::open(Path::new(path)).unwrap_or_else(|why| panic!("{why}"));
    tell("open");
    let (plant, findings) = check::plant(&found, None, now);
    assert!(!findings.any_error(), "{path} is no sound book");
    drop(found);
    tell("check");
    let (plan, _) = plan::plan(&plant, &plan::Request::default());
    let plan = plan.unwrap_or_else(|| panic!("{path} can't be planned"));
    tell("plan");
    if words.iter().any(|word| word == "tables") {
        for table in &TABLES {
            let mut bytes = Vec::new();
            report::to_parquet(table, &plan, &mut bytes).unwrap_or_else(|why| panic!("{why}"));
            tell(&format!("{}, {} kB", table.name, bytes.len() / 1000));
        }
    }
    for view in report::workbooks(&plan) {
        tell(&format!("model of {}", view.file));
        let bytes = report::to_xlsx(&view).unwrap_or_else(|why| panic!("{why}"));
        tell(&format!("{}, {} kB", view.file, bytes.len() / 1000));
        for sheet in &view.sheets {
            let cells: usize = sheet.rows.iter().map(|row| row.cells.len()).sum();
            println!("    {:30} {:8} rows {:9} cells", sheet.name, sheet.rows.len(), cells);
        }
    }
}
