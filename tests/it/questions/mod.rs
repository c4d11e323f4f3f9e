//! The questions of `tests/QUESTIONS.md`: each is found on its sheet by its heading, and the answer is worked out again from the
//! plan's tables and the book's own. Catches a heading that is gone, and two sheets that tell one number differently.
//!
//! The day is the demo's, with two things more in its book: what a stop takes, and a receipt whose moment was denied.

pub mod asked;
mod new_floorplan;
mod pull_list;
mod shop_orders;
mod shop_out;
mod shop_time;
mod shortages;
mod shortages_lists;

use super::support::Sheets;
use asked::{Asked, Tables};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::rc::Rc;

/// How a question is answered again.
type Check = fn(&Asked<'_>);

/// The demo's book, with `seconds a stop`, and `confirmed` said of one receipt.
fn book() -> Sheets {
    let mut book = Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"));
    book.add("Settings", "seconds a stop,20");
    let receipts = book.0["Receipts"].lines().enumerate().map(|(at, row)| match at {
        0 => format!("{row},confirmed"),
        _ if row.starts_with("52187,F19-01,") => format!("{row},no"),
        _ => format!("{row},"),
    });
    let receipts = receipts.collect::<Vec<_>>().join("\n");
    book.set("Receipts", &receipts);
    book
}

/// The sheets and headings that the list names for a workbook.
fn listed(list: &str, workbook: &str) -> Vec<(String, String)> {
    let own = list.split(&format!("## {workbook}\n")).nth(1).and_then(|list| list.split("\n## ").next());
    let rows = own.expect("the workbook's questions").lines();
    rows.filter(|line| line.starts_with("| ") && !line.starts_with("| who |"))
        .map(|line| {
            let cells: Vec<&str> = line.split('|').map(str::trim).collect();
            (cells[3].to_owned(), cells[4].to_owned())
        })
        .collect()
}

#[test]
fn each_question_is_answered_where_the_list_says() {
    let list = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/QUESTIONS.md");
    let list = std::fs::read_to_string(list).expect("the list");
    let book = book();
    let mut wrong = Vec::new();
    let looked = book.look(None, false, |plan| {
        let tables = Rc::new(Tables::of(plan, book.clone()));
        let checks = [&pull_list::CHECKS[..], &shop_orders::CHECKS[..], &shortages::CHECKS[..]];
        for (workbook, checks) in lineward::report::workbooks(plan).iter().zip(checks) {
            let checked = checks.iter().map(|(sheet, heading, _)| ((*sheet).to_owned(), (*heading).to_owned()));
            assert_eq!(listed(&list, workbook.file), checked.collect::<Vec<_>>(), "{}", workbook.file);
            assert!(checks.len() >= 11, "{}", workbook.file);
            let asked = Asked::of(workbook, Rc::clone(&tables));
            let day = shortages::verdict(&asked);
            assert!(asked.texts(&workbook.sheets[0].name).contains(&day), "{}: {day}", workbook.file);
            for (sheet, heading, check) in checks {
                let answered = catch_unwind(AssertUnwindSafe(|| check(&asked)));
                wrong.extend(answered.is_err().then(|| format!("{}: {sheet}: {heading}", workbook.file)));
            }
        }
    });
    looked.unwrap_or_else(|findings| panic!("{findings:?}"));
    assert!(wrong.is_empty(), "answered otherwise, see above: {wrong:#?}");
}
