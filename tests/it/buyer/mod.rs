//! What the buyer acts on, worked out again from the plan's tables and the book by plain sums: catches a receipt that is given
//! back and needed, an order that is not placed, a sheet that takes some of a long plan for all of it.
//!
//! The meaning of each sheet is in its own words and in README.md; nothing of the reports is used here. A short plan and one that
//! keeps next to nothing in memory must both pass.

mod balance;
mod by_supplier;
mod cells;
mod changes;
mod chase;
mod facts;
mod forward;
mod left;
mod long_book;
mod order;
mod totals;

pub use long_book::long_book;

use crate::random_books::{Size, random_book};
use crate::support::{Sheets, Tables, rounds, table_text};
use cells::Written;
use facts::Facts;
use lineward::base::Moment;
use lineward::plan::{Plan, Request, plan};
use lineward::report::{self, table::TABLES};
use std::collections::BTreeMap;
use std::path::Path;

/// A plan keeps all of its demands in memory, or next to none.
const ALL: Option<usize> = Some(usize::MAX);
const FEW: Option<usize> = Some(50);

/// How many rows of each kind were compared, so that no test passes on empty sheets.
type Counts = BTreeMap<&'static str, usize>;

/// What differs from what a sheet should say: the sheet's, then ours.
#[derive(Default)]
struct Findings {
    counts: Counts,
    wrong: Vec<String>,
    /// How many rows the sheets leave out that may end before all is told.
    left_out: Counts,
}

/// The sheets that end before all is told, each with its longest list: see the README.
const ENDING: [(&str, usize); 3] = [("bring forward", 300), ("chase", 300), ("order", 1_000)];

impl Findings {
    /// Compares rows as wholes, whatever their order.
    fn rows(&mut self, what: &'static str, mut found: Vec<Vec<String>>, mut expected: Vec<Vec<String>>) {
        *self.counts.entry(what).or_default() += expected.len();
        found.sort();
        expected.sort();
        let lacks = |of: &[Vec<String>], row: &Vec<String>| of.binary_search(row).is_err();
        let more =
            found.iter().filter(|row| lacks(&expected, row)).map(|row| format!("{what}: told  {}", row.join(" | ")));
        let less =
            expected.iter().filter(|row| lacks(&found, row)).map(|row| format!("{what}: right {}", row.join(" | ")));
        let longest = ENDING.iter().find(|(sheet, _)| *sheet == what).map(|(_, longest)| *longest);
        if Some(found.len()) == longest && expected.len() > found.len() {
            self.left_out.insert(what, expected.len() - found.len());
            self.wrong.extend(more);
            return;
        }
        let differ = more.chain(less).collect::<Vec<_>>();
        if differ.is_empty() && found.len() != expected.len() {
            self.wrong.push(format!("{what}: {} rows told, {} right", found.len(), expected.len()));
        }
        self.wrong.extend(differ);
    }

    /// Each sheet says how many rows it leaves out, and no other says so.
    fn endings(&mut self, written: &Written) {
        for (sheet, _) in ENDING {
            let left_out = self.left_out.get(sheet).map(|rows| format!("{rows} more"));
            let told = written.behind(sheet, "and ").and_then(|words| Some(words.split_once(": see")?.0.to_owned()));
            if told != left_out {
                self.wrong.push(format!("{sheet}: told  {told:?} are left out\n{sheet}: right {left_out:?}"));
            }
        }
    }

    /// Compares one text.
    fn one(&mut self, what: &'static str, found: &str, expected: &str) {
        *self.counts.entry(what).or_default() += 1;
        if found != expected {
            self.wrong.push(format!("{what}: told  {found}\n{what}: right {expected}"));
        }
    }
}

/// The cells of some columns of rows.
fn columns(rows: &[cells::Row], headings: &[&str]) -> Vec<Vec<String>> {
    rows.iter().map(|row| headings.iter().map(|heading| row[*heading].clone()).collect()).collect()
}

/// Compares the buyer's workbook of a book with what its tables and the book say; none where the book can't be planned.
fn findings(sheets: &Sheets, keep: Option<usize>) -> Option<Findings> {
    let (plant, _) = lineward::check::plant(&sheets.book(), None, Moment::default());
    let plan = plan(&plant, &Request { set_aside: true, most_held: keep, ..Default::default() }).0?;
    let tables = Tables(TABLES.iter().map(|table| (table.name, table_text(table, &plan))).collect());
    let written = written(&plan);
    let facts = Facts::of(&sheets.0, &tables);
    let mut found = Findings::default();
    left::check(&facts, &written, &mut found);
    order::check(&facts, &written, &mut found);
    chase::check(&facts, &written, &mut found);
    forward::check(&facts, &written, &mut found);
    by_supplier::check(&facts, &written, &mut found);
    changes::check(&facts, &sheets.0, &written, &mut found);
    balance::check(&facts, &written, &mut found);
    totals::check(&facts, &written, &mut found);
    found.endings(&written);
    Some(found)
}

/// Checks books; how many rows of each kind were compared in all.
fn check(books: impl Iterator<Item = (String, Sheets)>, keep: Option<usize>) -> Counts {
    let (mut counts, mut wrong) = (Counts::new(), Vec::new());
    for (name, sheets) in books {
        let Some(found) = findings(&sheets, keep) else { continue };
        wrong.extend(found.wrong.into_iter().map(|words| format!("{name}: {words}")));
        found.counts.into_iter().for_each(|(what, number)| *counts.entry(what).or_default() += number);
    }
    assert!(wrong.is_empty(), "{} differ\n{}", wrong.len(), wrong[..wrong.len().min(60)].join("\n"));
    counts
}

/// The kinds of rows that are compared.
const KINDS: usize = 24;

/// Every kind of row was there so many times.
fn each_came_up(counts: &Counts, least: usize) {
    assert!(counts.values().all(|count| *count >= least), "{counts:#?}");
    assert_eq!(counts.len(), KINDS, "{counts:#?}");
}

fn demo(keep: Option<usize>) {
    let sheets = Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"));
    each_came_up(&check([("the demo".to_owned(), sheets)].into_iter(), keep), 1);
}

fn random(keep: Option<usize>) {
    let books = (400_000..400_000 + rounds(60)).map(|seed| {
        let size = if seed % 4 == 0 { Size::Large } else { Size::Small };
        (format!("seed {seed} {size:?}"), Sheets(random_book(seed, size)))
    });
    each_came_up(&check(books, keep), 20);
}

fn long(keep: Option<usize>) {
    check([("the long book".to_owned(), long_book())].into_iter(), keep);
    long_book::planted(&buyers_workbook(&long_book(), keep));
}

/// The buyer's workbook of a book that can be planned.
fn buyers_workbook(sheets: &Sheets, keep: Option<usize>) -> Written {
    let (plant, _) = lineward::check::plant(&sheets.book(), None, Moment::default());
    let plan = plan(&plant, &Request { set_aside: true, most_held: keep, ..Default::default() }).0.expect("a plan");
    written(&plan)
}

fn written(plan: &Plan<'_>) -> Written {
    let workbooks = report::workbooks(plan);
    let workbook = workbooks.iter().find(|workbook| workbook.file == "shortages.xlsx").expect("the buyer's workbook");
    Written::of(report::to_xlsx(workbook).expect("its bytes"))
}

#[test]
fn the_demo_says_what_its_tables_say() {
    demo(ALL);
}

#[test]
fn the_demo_says_what_its_tables_say_however_little_is_kept() {
    demo(FEW);
}

#[test]
fn random_books_say_what_their_tables_say() {
    random(ALL);
}

#[test]
fn random_books_say_what_their_tables_say_however_little_is_kept() {
    random(FEW);
}

#[test]
fn a_long_book_says_what_its_tables_say() {
    long(ALL);
}

#[test]
fn a_long_book_says_what_its_tables_say_however_little_is_kept() {
    long(FEW);
}

/// Compares one small book.
fn as_told(sheets: &Sheets) {
    let found = findings(sheets, ALL).expect("a plan");
    assert!(found.wrong.is_empty(), "{}", found.wrong.join("\n"));
}

/// RAIL is bought, so that its bill counts for nothing: EDGE takes nothing out of what is built.
#[test]
fn the_sheet_of_changes_leaves_out_bills_that_are_ignored() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Changes", "change,from date\nEDGE,2027-09-14");
    sheets.add("Parts", "RAIL,ea\nSCREW,ea").set("Bills", "parent,part,qty,station,until change\nTEAL,RAIL,1,S1,");
    sheets.add("Bills", "RAIL,SCREW,4,,EDGE").add("Sequence", "L1,1,U1,TEAL");
    as_told(&sheets);
}

/// The run of 07:00 takes two hours to pick, from 13:00 of the day before: U2's bolt is picked before U1's. Of the receipt one is
/// to be there by then, and two by 06:00.
#[test]
fn how_many_by_when_holds_where_a_later_run_is_picked_first() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.set("Waves", "wave,time,pick minutes\nearly,06:00,0\nlate,07:00,120");
    sheets.add("Parts", "BOLT,ea").add("Bills", "TEAL,BOLT,1,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-15\nL1,2,U2,TEAL,");
    sheets.set("Receipts", "purchase order,part,qty,due\n8,BOLT,2,2027-09-17");
    as_told(&sheets);
}

/// One cart costs 900 million, two are ordered.
#[test]
fn what_is_dear_is_added_up_like_all_else() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets
        .set("Parts", "part,uom,cost\nCART,ea,900000000")
        .add("Bills", "TEAL,CART,2,S1")
        .add("Sequence", "L1,1,U1,TEAL");
    as_told(&sheets);
}

/// Two orders of one part are one part whose price is not known.
#[test]
fn a_part_without_a_price_counts_once() {
    let mut sheets = Sheets::plant(&["S1"]);
    sheets.add("Parts", "BOLT,ea").add("Bills", "TEAL,BOLT,2,S1");
    sheets.set("Sequence", "line,seq,unit,floorplan,start\nL1,1,U1,TEAL,2027-09-14\nL1,2,U2,TEAL,2027-09-16");
    as_told(&sheets);
}
