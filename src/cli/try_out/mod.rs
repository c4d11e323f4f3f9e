//! `lineward try`: the plan as it would be with a few cells changed, and what can be run instead of units that stop.

mod crews_less;
mod told;

use super::noticing::Noticing;
use super::output::{Output, Over, Wanted};
use super::planned::{self, Planning};
use super::{Failure, as_json, plan as planning, tell};
use crate::base::{Findings, Moment, Shown, Total};
use crate::book::{self, Book, Forms};
use crate::check::{self, Plant};
use crate::compare::{self, Codes, PlanRows, Side};
use crate::plan::{Plan, Request};
use crate::report::{self, contents::Held, sheet::Workbook};
use crate::trial::{self, Act, Changed, Edit, Instead, Measure, Wish};
use std::path::{Path, PathBuf};
use told::{Before, Report, Standing, WhatIf, told};

/// Try a change before it is made: what the plan would be, and what can be run instead of units that stop the line.
///
/// An edit names a table, a row by its codes, and columns with their values: 'Receipts 8001 due=2027-09-20, qty=4'. A code that
/// holds a space stands in quotes. More than one row of these codes is an error; 'Receipts all 8001 due=...' means all of them,
/// and 'Receipts row 12 due=...' the one with that number. Rows are dropped, then added, then set.
///
/// For each unit that stops the line and has not entered it, other orders are planned whole and the best three told. The
/// book is not changed, and nothing is written but to --out.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    book: PathBuf,
    /// Give cells other values: 'TABLE CODE.. COLUMN=VALUE, COLUMN=VALUE'; as often as needed
    #[arg(long, value_name = "EDIT")]
    set: Vec<String>,
    /// Add a row: 'Calendar calendar=MAIN, day=2027-09-18, start=06:00, end=14:00'
    #[arg(long, value_name = "ROW")]
    add: Vec<String>,
    /// Leave a row out: 'Receipts 8001 WN-20'
    #[arg(long, value_name = "ROW")]
    drop: Vec<String>,
    /// One crew less in a shop on a date, or from a moment on to the end of its date: 'CABSHOP 2027-09-14', 'CABSHOP 2027-09-14 09:00'
    #[arg(long, value_name = "SHOP DATE")]
    crew_less: Vec<String>,
    /// A file with an edit a line, made before the others; 'add' or 'drop' before the table, '#' before a comment
    #[arg(long, value_name = "FILE")]
    set_from: Option<PathBuf>,
    /// So many of the next units of each line stay as they are
    #[arg(long, value_name = "N", default_value_t = 0)]
    fixed: usize,
    /// Try at most so many orders
    #[arg(long, value_name = "N", default_value_t = 1000)]
    trials: usize,
    #[command(flatten)]
    noticing: Noticing,
    #[command(flatten)]
    planning: Planning,
    /// The folder to write workbooks to; by default nothing is written
    #[arg(long)]
    out: Option<PathBuf>,
    /// Print all of it as JSON, for programs
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    let edits = edits(args)?;
    let book = planned::open(&args.book)?;
    let read = planned::files_of(&book, &args.book).into_iter().chain(args.set_from.clone()).collect::<Vec<_>>();
    if edits.is_empty() && args.crew_less.is_empty() {
        return as_it_is(args, &book, &read);
    }
    let forms = book.date_forms();
    let (changed_book, changed) = trial::apply(&book, &edits).map_err(Failure::Words)?;
    one_moment(args, &book, &changed_book)?;
    let was = planned::if_it_can(&book, &args.planning, |plan| {
        let plan = match plan {
            Ok(plan) => plan,
            Err(why) => return Ok(Err(why)),
        };
        let last = trial::last_entries(plan);
        Ok::<_, Failure>(Ok((Planned::of(args, plan, &last)?, last)))
    })?;
    drop(book);
    let (mut plant, mut findings) = tried(changed_book, &changed, args)?;
    plant.crews_less = crews_less::of(&args.crew_less, &plant, &forms)?;
    let plan = planned::plan_tried(&plant, &request(args), &mut findings, &changed)?;
    let last = was.as_ref().map_or_else(|_| trial::last_entries(&plan), |(_, last)| last.clone());
    let is = Planned::of(args, &plan, &last)?;
    what_if((args, &forms), (was.map(|(was, _)| was), is), &plan, changed, &read)
}

/// An edit of the book's own moment would do nothing beside `--as-of`, which counts before it.
fn one_moment(args: &Args, book: &Book, changed: &Book) -> Result<(), Failure> {
    let own = |book: &Book| check::plant(book, None, super::now()).0.as_of;
    if args.planning.as_of.is_some() && own(book) != own(changed) {
        let why = "an edit changes the book's 'as of', and --as-of counts before it: leave one of the two out";
        return Err(Failure::Words(why.to_owned()));
    }
    Ok(())
}

/// What can be run instead of the plan as it is.
fn as_it_is(args: &Args, book: &Book, read: &[PathBuf]) -> Result<(), Failure> {
    let (plant, mut findings) = planned::checked(book, args.planning.as_of.as_ref())?;
    let plan = planned::plan(&plant, &request(args), &mut findings)?;
    let was = Planned::of(args, &plan, &trial::last_entries(&plan))?;
    let instead = trial::instead(&plan, &was.rows, &wish(args, &plant, &book.date_forms())?);
    if let Some(out) = &args.out {
        write(out, &plan, read, vec![report::shortages_with(&plan, Some(sheet(&instead, args)))])?;
    }
    finish(args, Report { as_it_is: Before::Planned(Box::new(was.standing)), what_if: None, instead })
}

/// The notice against the plan as it is, and what can be run instead of the plan as it would be.
fn what_if(
    (args, forms): (&Args, &Forms),
    (was, mut is): (Result<Planned, String>, Planned),
    plan: &Plan<'_>,
    changed: Vec<Changed>,
    read: &[PathBuf],
) -> Result<(), Failure> {
    let wish = wish(args, plan.plant, forms)?;
    let notice = was.as_ref().ok().map(|was| compare::notice(&was.rows, &is.rows, &wish.asked));
    is.standing.measure.carts(notice.as_ref().and_then(|notice| notice.walk.as_ref()));
    let instead = trial::instead(plan, &is.rows, &wish);
    let before = match was {
        Ok(was) => Before::Planned(Box::new(was.standing)),
        Err(cannot_be_planned) => {
            let plan = Side { name: args.book.shown(), as_of: Some(plan.plant.as_of) };
            Before::Not { plan, cannot_be_planned }
        }
    };
    if let Some(out) = &args.out {
        let [pull_list, shop_orders, _] = report::workbooks(plan);
        let shortages = report::shortages_with(plan, Some(sheet(&instead, args)));
        let workbooks = [pull_list, shop_orders, shortages].map(marked);
        let sides = [before.plan(), &is.standing.plan];
        let notice = notice.as_ref().map(|notice| compare::workbook(notice, sides, &wish.asked));
        write(out, plan, read, workbooks.into_iter().chain(notice).collect())?;
    }
    let crews_less = crews_less::words(plan.plant);
    let what_if = Some(WhatIf { changed, crews_less, would_be: is.standing, notice });
    finish(args, Report { as_it_is: before, what_if, instead })
}

/// Nobody should pick by the workbook of a plan that is not made.
fn marked(mut workbook: Workbook<'_>) -> Workbook<'_> {
    workbook.title += " (only tried, not the plan)";
    workbook
}

fn sheet<'i>(instead: &'i Instead, args: &Args) -> report::sheet::Sheet<'i> {
    trial::instead_sheet(instead, args.noticing.picked_through.is_some())
}

fn edits(args: &Args) -> Result<Vec<Edit>, Failure> {
    let mut edits = match &args.set_from {
        Some(path) => {
            let told = |why: String| Failure::Words(format!("{}: {why}", path.shown()));
            trial::from_file(&read(path)?).map_err(told)?
        }
        None => Vec::new(),
    };
    for (act, words) in [(Act::Drop, &args.drop), (Act::Add, &args.add), (Act::Set, &args.set)] {
        for text in words {
            edits.push(trial::parse(act, text).map_err(Failure::Words)?);
        }
    }
    Ok(edits)
}

fn read(path: &Path) -> Result<String, Failure> {
    let not_text = |_| Failure::File(format!("can't read {}: it is not in UTF-8", path.shown()));
    String::from_utf8(book::regular_file(path)?).map_err(not_text)
}

/// The changed book, whose name says so wherever it stands.
fn tried(mut book: Book, changed: &[Changed], args: &Args) -> Result<(Plant, Findings), Failure> {
    let cells = changed.len() + args.crew_less.len();
    book.name = format!("{} with {cells} {} tried", book.name, if cells == 1 { "change" } else { "changes" }).into();
    planned::tried(&book, args.planning.as_of.as_ref(), changed)
}

fn request(args: &Args) -> Request {
    args.planning.request()
}

fn wish(args: &Args, plant: &Plant, forms: &Forms) -> Result<Wish, Failure> {
    let asked = args.noticing.asked(Some(plant.as_of), forms)?;
    Ok(Wish { request: request(args), asked, fixed: args.fixed, most: args.trials })
}

/// A plan's rows, and how it stands.
struct Planned {
    rows: PlanRows,
    standing: Standing,
}

impl Planned {
    fn of(args: &Args, plan: &Plan<'_>, last: &[Option<Moment>]) -> Result<Self, Failure> {
        let wrong =
            |wrong: compare::Wrong| Failure::File(format!("column {}: expected {}", wrong.column, wrong.expected));
        let rows = PlanRows::of_plan(plan, &mut Codes::default()).map_err(wrong)?;
        let name = if plan.plant.book.ends_with(" tried") { plan.plant.book.to_string() } else { args.book.shown() };
        let the_line = report::line_words::line(plan);
        let plan_side = Side { name, as_of: Some(plan.plant.as_of) };
        let measure = Measure::of(plan, last, Total::ZERO);
        Ok(Self {
            rows,
            standing: Standing { plan: plan_side, units: report::line_words::units(plan), the_line, measure },
        })
    }
}

/// What is tried never goes where a plan stands: beside its tables it would be taken for it.
fn write(out: &Path, plan: &Plan<'_>, read: &[PathBuf], workbooks: Vec<Workbook<'_>>) -> Result<(), Failure> {
    let names: Vec<PathBuf> = workbooks.iter().map(|workbook| workbook.file.into()).collect();
    let others = report::WORKBOOK_FILES.map(PathBuf::from).into_iter().filter(|name| !names.contains(name));
    let gone = planning::tables().chain(others).collect();
    let held = Held { book: plan.plant.book.to_string(), as_of: plan.plant.as_of.to_string(), tried: true };
    let over = Over::Listed { by: "try", plan: Some(held) };
    let mut output = Output::to(Wanted { folder: out, names, gone, over, read })?;
    for workbook in &workbooks {
        output.add_workbook(workbook)?;
    }
    output.finish()
}

fn finish(args: &Args, report: Report) -> Result<(), Failure> {
    let text = if args.json { as_json(&report)? } else { told(args, &report) };
    tell(&text)?;
    Ok(())
}
