//! Every figure of the three workbooks: a list of all headings and facts, each worked out anew from the plan's tables and the book, or held
//! by another test that is named, or with the reason why it can be trusted. Catches a heading that nobody checks, and a figure that is
//! right on the demo alone.

mod ahead;
mod build_order;
mod by_hand;
mod day_work;
mod dock;
mod driver;
mod in_order;
mod jobs;
mod labels;
mod less;
mod made;
mod missed;
mod notes;
mod pull_list;
mod shop_orders;
mod shortages;
mod stores;
mod takes;
mod walks;
mod whole_plan;

use super::buyer::long_book;
use super::questions::asked::{Asked, Tables, text};
use super::random_books::{Size, further_book};
use super::support::{Sheets, rounds};
use lineward::report::sheet::{Look, Sheet, Show};
use lineward::report::table::{TABLES, Value};
use std::collections::BTreeSet;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::rc::Rc;

/// Works the figures of a sheet out anew; gives how many rows it compared.
pub type Check = fn(&Asked<'_>, &str) -> usize;

/// Why figures can be trusted.
pub enum How {
    /// They are worked out anew here, on all books.
    Anew(Check),
    /// Other tests work them out, on books of their own.
    By(&'static [&'static str]),
    /// The reason.
    For(&'static str),
}

/// Headings of sheets of one kind, divided by bars, and why they can be trusted.
pub type Figures = (&'static str, &'static str, How);

/// A code, a name or a text that the book has for what the row is about.
pub const OF_THE_BOOK: How = How::For("the book's own text for the row's code");
/// Room to write.
pub const ROOM: How = How::For("empty: room to write or a box to tick");

/// What a sheet is, without the name of its shop or its run.
fn kind(workbook: &str, name: &str) -> String {
    let ends = match workbook {
        "shop-orders.xlsx" => &[
            " order",
            " out",
            " by-products",
            " crew time",
            " all jobs",
            " sets",
            " later pieces",
            " by run",
            " from shops",
            " material",
            " by due",
        ][..],
        _ => &[],
    };
    if let Some(end) = ends.iter().find(|end| name.ends_with(**end)) {
        return end.trim().to_owned();
    }
    match workbook {
        "shop-orders.xlsx" if name != "all shops" => "a shop".to_owned(),
        "pull-list.xlsx" => {
            let runs = ["walks", "labels", "cards", "driver", "stops"];
            let run = runs.iter().find(|run| name.starts_with(&format!("{run} ")));
            run.map_or(name, |run| *run).to_owned()
        }
        _ => name.to_owned(),
    }
}

/// A heading without what is of the plan: a day, a crew's number, a run.
fn plain(heading: &str) -> String {
    let days = ["Mon ", "Tue ", "Wed ", "Thu ", "Fri ", "Sat ", "Sun "];
    match heading {
        "overdue" => "a run".to_owned(),
        _ if days.iter().any(|day| heading.starts_with(day)) => "a day".to_owned(),
        _ if heading.starts_with("crew ") && heading[5..].parse::<u32>().is_ok() => "crew".to_owned(),
        _ if heading.starts_with("the ") && heading.ends_with(" run") => "a run".to_owned(),
        _ => heading.to_owned(),
    }
}

/// The headings and the labels of facts on a sheet.
fn headings(sheet: &Sheet<'_>) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for row in &sheet.rows {
        let told: Vec<_> = row.cells.iter().filter(|cell| cell.value != Value::Blank).collect();
        let heading = |cell: &&lineward::report::sheet::Cell<'_>| {
            cell.look == Look::Heading && matches!(cell.value, Value::Text(_))
        };
        if told.len() > 1 && told.iter().all(heading) {
            found.extend(told.iter().map(|cell| plain(&text(&cell.value))));
        }
        if let [label, value] = row.cells.as_slice()
            && !label.ruled
            && !value.ruled
            && label.column == 0
            && value.column == label.span
            && label.show == Show::Text
            && sheet.name != "labels"
        {
            found.insert(text(&label.value));
        }
    }
    found
}

/// All tests of this folder's neighbours, by name.
fn tests() -> BTreeSet<String> {
    fn sources(folder: &Path, found: &mut BTreeSet<String>) {
        for entry in std::fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                sources(&path, found);
            } else if let Ok(source) = std::fs::read_to_string(&path) {
                let lines: Vec<&str> = source.lines().collect();
                let names = lines.windows(2).filter(|pair| pair[0].trim() == "#[test]").map(|pair| pair[1]);
                found.extend(
                    names.filter_map(|line| Some(line.trim().strip_prefix("fn ")?.split('(').next()?.to_owned())),
                );
            }
        }
    }
    let mut found = BTreeSet::new();
    sources(&Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/it"), &mut found);
    found
}

fn lists() -> [(&'static str, &'static [Figures]); 3] {
    [("pull-list.xlsx", pull_list::LIST), ("shop-orders.xlsx", shop_orders::LIST), ("shortages.xlsx", shortages::LIST)]
}

#[test]
fn tests_that_are_named_exist() {
    let known = tests();
    for (_, list) in lists() {
        for (sheet, headings, how) in list {
            match how {
                How::By(names) => {
                    let missing: Vec<_> = names.iter().filter(|name| !known.contains(**name)).collect();
                    assert!(!names.is_empty() && missing.is_empty(), "{sheet}: {headings}: no tests {missing:?}");
                }
                How::For(reason) => assert!(reason.len() > 20, "{sheet}: {headings}: no reason"),
                How::Anew(_) => {}
            }
        }
    }
}

/// Looks at all sheets of a book's plan; gives what is wrong, and adds up how many rows each check compared.
fn look(name: &str, sheets: &Sheets, rows: &mut [Vec<usize>; 3]) -> Vec<String> {
    let of_plan = |plan: &lineward::plan::Plan<'_>| {
        let tables = Rc::new(Tables::of(plan, sheets.clone()));
        let mut wrong = Vec::new();
        let workbooks = lineward::report::workbooks(plan);
        for (at, ((file, list), workbook)) in lists().into_iter().zip(&workbooks).enumerate() {
            let asked = Asked::of(workbook, Rc::clone(&tables));
            rows[at].resize(list.len(), 0);
            for sheet in &workbook.sheets {
                let own = kind(file, &sheet.name);
                let of_kind = || list.iter().enumerate().filter(|(_, (kind, ..))| *kind == own);
                let listed: BTreeSet<&str> = of_kind().flat_map(|(_, (_, headings, _))| headings.split('|')).collect();
                let currency = format!(", {}", plan.plant.currency);
                let unlisted = headings(sheet).into_iter().map(|heading| {
                    heading
                        .strip_suffix(&currency)
                        .filter(|_| currency.len() > 2)
                        .map_or(heading.clone(), str::to_owned)
                });
                let unlisted: Vec<String> = unlisted.filter(|heading| !listed.contains(heading.as_str())).collect();
                wrong.extend(
                    (!unlisted.is_empty()).then(|| format!("{name}: {file}: '{own}': nobody checks {unlisted:?}")),
                );
                for (number, (_, headings, how)) in of_kind() {
                    let How::Anew(check) = how else { continue };
                    match catch_unwind(AssertUnwindSafe(|| check(&asked, &sheet.name))) {
                        Ok(compared) => rows[at][number] += compared,
                        Err(_) => wrong.push(format!("{name}: {file}: '{}': {headings}", sheet.name)),
                    }
                }
                // A table that a text sends somebody to must be there.
                for row in sheet.rows.iter().flat_map(|row| &row.cells) {
                    for behind in text(&row.value).split("tables/").skip(1) {
                        let table: String = behind.chars().take_while(|sign| sign.is_alphanumeric()).collect();
                        let known = TABLES.iter().any(|known| known.name == table);
                        wrong.extend((!known).then(|| format!("{name}: '{}': no table '{table}'", sheet.name)));
                    }
                }
            }
        }
        wrong
    };
    sheets.look(None, true, of_plan).unwrap_or_default()
}

/// Looks at books; every check that works figures out anew has compared so many rows at least.
fn all(books: impl Iterator<Item = (String, Sheets)>, least: usize) {
    let (mut rows, mut wrong) = ([const { Vec::new() }; 3], Vec::new());
    for (name, sheets) in books {
        wrong.extend(look(&name, &sheets, &mut rows));
    }
    assert!(wrong.is_empty(), "{} are wrong, see above:\n{}", wrong.len(), wrong[..wrong.len().min(40)].join("\n"));
    for ((file, list), rows) in lists().into_iter().zip(&rows) {
        for ((sheet, headings, how), rows) in list.iter().zip(rows) {
            assert!(!matches!(how, How::Anew(_)) || *rows >= least, "{file}: '{sheet}': {headings}: {rows} rows");
        }
    }
}

#[test]
fn every_figure_of_the_demo() {
    let mut sheets = Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"));
    sheets.add("Settings", "seconds a stop,20\ncurrency,EUR");
    all([("the demo".to_owned(), sheets)].into_iter(), 1);
}

#[test]
fn every_figure_of_random_books() {
    let books = (510_000..510_000 + rounds(40)).map(|seed| {
        let size = if seed % 8 == 0 { Size::Large } else { Size::Small };
        (format!("seed {seed} {size:?}"), Sheets(further_book(seed, size)))
    });
    all(books, 20);
}

#[test]
fn every_figure_of_a_long_book() {
    let (mut rows, sheets) = ([const { Vec::new() }; 3], long_book());
    let wrong = look("the long book", &sheets, &mut rows);
    assert!(wrong.is_empty(), "{} are wrong, see above:\n{}", wrong.len(), wrong[..wrong.len().min(40)].join("\n"));
}
