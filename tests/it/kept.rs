//! A plan that keeps next to nothing in memory and one that keeps all, side by side: every cell of all workbooks, every answer of
//! `why` and `uses`, the change notice and the trials. Catches a sheet or an answer that takes what is kept for the whole.

use super::buyer::long_book;
use super::random_books::{Size, random_book};
use super::support::{Sheets, rounds};
use calamine::{Reader, Xlsx};
use lineward::base::{Moment, PartId, UnitId};
use lineward::check::Plant;
use lineward::compare::{self, Codes, CompareTerms, PlanRows, Side};
use lineward::plan::{Plan, Request, plan};
use lineward::report::{self, sheet::Workbook};
use lineward::trial::{self, Wish};
use lineward::{check, uses, why};
use std::collections::BTreeMap;
use std::io::Cursor;
use std::path::Path;

/// So many demands the small plan keeps.
const FEW: usize = 50;
/// So many units and parts are asked about, spread over all of them.
const ASKED: usize = 12;
/// So many other orders are tried.
const TRIALS: usize = 4;

/// Lines of cells or text, by where they stand.
type Told = BTreeMap<String, Vec<String>>;

/// Everything that is told of a book's plan; nothing where it can't be planned.
fn told(sheets: &Sheets, keep: usize) -> Option<Told> {
    let request = Request { set_aside: true, most_held: Some(keep), ..Default::default() };
    let book = sheets.book();
    let (plant, findings) = check::plant(&book, None, Moment::default());
    if findings.any_error() {
        return None;
    }
    let plan = plan(&plant, &request).0?;
    let mut told = Told::new();
    report::workbooks(&plan).iter().for_each(|workbook| cells(workbook, &mut told));
    answers(&plan, &book, &mut told);
    let rows = rows(&plan);
    let other = tables_of_another(sheets, &request);
    if let Some(other) = &other {
        for (name, old, new) in [("to another", &rows, other), ("from another", other, &rows)] {
            notice(name, old, new, &plan, &mut told);
        }
    }
    tried(&plan, &rows, &request, &mut told);
    Some(told)
}

/// Every cell of every sheet, a row a line.
fn cells(workbook: &Workbook<'_>, told: &mut Told) {
    let bytes = report::to_xlsx(workbook).expect("its bytes");
    let mut xlsx: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).expect("a workbook");
    for (sheet, range) in xlsx.worksheets() {
        let start = range.start().unwrap_or_default();
        let row = |cells: &[calamine::Data]| {
            let there = cells.iter().enumerate().filter(|(_, cell)| **cell != calamine::Data::Empty);
            there.map(|(i, cell)| format!("{}={cell:?}", start.1 as usize + i)).collect::<Vec<_>>().join(" | ")
        };
        let rows = range.rows().map(row).collect();
        told.insert(format!("{} '{sheet}'", workbook.file), rows);
    }
}

/// Some of a number of things, from the first to the last.
fn some_of(number: usize) -> impl Iterator<Item = usize> {
    (0..ASKED.min(number)).map(move |i| i * number / ASKED.min(number))
}

fn json(facts: &impl serde::Serialize) -> Vec<String> {
    serde_json::to_string_pretty(facts).expect("JSON").lines().map(str::to_owned).collect()
}

/// What `why` and `uses` answer, in facts and in words.
fn answers(plan: &Plan<'_>, book: &lineward::book::Book, told: &mut Told) {
    let plant = plan.plant;
    for part in some_of(plant.parts.len()).map(PartId::of) {
        let facts = uses::uses(plan, book, part);
        let code = &plant.part(part).code;
        told.insert(format!("uses {code}"), [json(&facts), vec![report::uses::text(&facts)]].concat());
    }
    for (i, unit) in some_of(plant.units.len()).map(UnitId::of).enumerate() {
        let code = &plant.units[unit.at()].code;
        let facts = why::unit(plan, book, unit);
        told.insert(format!("why {code}"), [json(&facts), vec![report::why::unit_text(&facts)]].concat());
        // Other parts for each unit, so that many of them are asked about.
        for part in some_of(plant.parts.len()).map(|part| (part + i) % plant.parts.len()).map(PartId::of) {
            let facts = why::why(plan, book, unit, part);
            let name = format!("why {code} {}", plant.part(part).code);
            told.insert(name, [json(&facts), vec![report::why::text(&facts)]].concat());
        }
    }
}

fn rows(plan: &Plan<'_>) -> PlanRows {
    PlanRows::of_plan(plan, &mut Codes::default()).expect("the plan's own tables")
}

/// The rows of the plan of the same book half a day later, and with every third receipt lost.
fn tables_of_another(sheets: &Sheets, request: &Request) -> Option<PlanRows> {
    let mut other = sheets.clone();
    if let Some(receipts) = other.0.get_mut("Receipts") {
        let kept = receipts.lines().enumerate().filter(|(i, _)| i % 3 != 1).map(|(_, line)| line);
        *receipts = kept.collect::<Vec<_>>().join("\n");
    }
    let book = other.book();
    let (plant, _) = check::plant(&book, None, Moment::default());
    let later = plant.as_of.plus(12 * 3600);
    let (plant, findings): (Plant, _) = check::plant(&book, Some(later), Moment::default());
    if findings.any_error() {
        return None;
    }
    plan(&plant, request).0.as_ref().map(rows)
}

/// The change notice as facts, as text and as a workbook, the first run of the plan's day being on the carts.
fn notice(name: &str, old: &PlanRows, new: &PlanRows, plan: &Plan<'_>, told: &mut Told) {
    let picked = plan.runs.on(plan.day).next().map(|run| run.leaves);
    let asked = CompareTerms { jobs_moved: 0, picked_through: picked, as_of: Some(plan.plant.as_of) };
    let notice = compare::notice(old, new, &asked);
    told.insert(format!("notice {name}"), [json(&notice), vec![compare::text(&notice, usize::MAX)]].concat());
    let side = |name: &str| Side { name: name.to_owned(), as_of: None };
    let mut sheets = Told::new();
    cells(&compare::workbook(&notice, [&side("one"), &side("other")], &asked), &mut sheets);
    told.extend(sheets.into_iter().map(|(sheet, rows)| (format!("{name}: {sheet}"), rows)));
}

/// What `try` tells: what can be run instead, and the buyer's workbook with it.
fn tried(plan: &Plan<'_>, rows: &PlanRows, request: &Request, told: &mut Told) {
    let asked = CompareTerms { jobs_moved: 0, picked_through: None, as_of: Some(plan.plant.as_of) };
    let instead = trial::instead(plan, rows, &Wish { request: *request, asked, fixed: 0, most: TRIALS });
    let text = trial::instead_text(&instead, false, usize::MAX);
    told.insert("try".to_owned(), [json(&instead), vec![text]].concat());
    let workbook = report::shortages_with(plan, Some(trial::instead_sheet(&instead, false)));
    let mut sheets = Told::new();
    cells(&workbook, &mut sheets);
    told.extend(sheets.into_iter().map(|(sheet, rows)| (format!("try: {sheet}"), rows)));
}

/// What one says that the other does not.
fn differ(all: &Told, few: &Told) -> Vec<String> {
    let mut wrong = Vec::new();
    let names = |told: &Told| told.keys().cloned().collect::<Vec<_>>();
    if names(all) != names(few) {
        wrong.push(format!("{:?} / {:?}", names(all), names(few)));
    }
    for (name, all) in all {
        let Some(few) = few.get(name) else { continue };
        let lines = all.iter().zip(few).enumerate();
        let first = lines.filter(|(_, (one, other))| one != other);
        let mut first = first.map(|(i, (all, few))| format!("{name}, line {}:\n  all {all}\n  few {few}", i + 1));
        if let Some(line) = first.next() {
            wrong.push(format!("{line}\n  and {} lines more", first.count()));
        } else if all.len() != few.len() {
            wrong.push(format!("{name}: {} lines if all is kept, {} if little is", all.len(), few.len()));
        }
    }
    wrong
}

/// Compares both plans of books; how many there were.
fn compare(books: impl Iterator<Item = (String, Sheets)>) -> usize {
    let (mut compared, mut wrong) = (0, Vec::new());
    for (name, sheets) in books {
        let (Some(all), Some(few)) = (told(&sheets, usize::MAX), told(&sheets, FEW)) else { continue };
        compared += 1;
        wrong.extend(differ(&all, &few).into_iter().map(|line| format!("{name}: {line}")));
    }
    assert!(wrong.is_empty(), "{} sheets or answers differ\n{}", wrong.len(), wrong[..wrong.len().min(30)].join("\n"));
    compared
}

fn random(first: u64, count: u64) -> usize {
    let books = (first..first + rounds(count)).map(|seed| {
        let size = if seed % 5 == 0 { Size::Large } else { Size::Small };
        (format!("seed {seed} {size:?}"), Sheets(random_book(seed, size)))
    });
    compare(books)
}

/// The same plan twice: what is compared does not depend on anything else.
#[test]
fn two_plans_that_keep_the_same_tell_the_same() {
    let book = Sheets(random_book(500_000, Size::Small));
    let [one, other] = [(); 2].map(|()| told(&book, FEW).expect("a plan"));
    assert_eq!(differ(&one, &other), [""; 0]);
    assert!(one.len() > 100 && one.values().map(Vec::len).sum::<usize>() > 10_000);
}

#[test]
fn random_books_tell_the_same_however_little_is_kept() {
    assert!(random(500_000, 40) as u64 > rounds(20));
}

#[test]
fn the_demo_tells_the_same_however_little_is_kept() {
    let sheets = Sheets::read(&Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"));
    assert_eq!(compare([("the demo".to_owned(), sheets)].into_iter()), 1);
}

#[test]
fn a_long_book_tells_the_same_however_little_is_kept() {
    assert_eq!(compare([("the long book".to_owned(), long_book())].into_iter()), 1);
}
