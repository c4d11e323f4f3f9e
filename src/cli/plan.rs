//! `lineward plan`: the whole plan, as workbooks for people and tables for programs.

use super::given::Given;
use super::output::{Out, Output, Over, Wanted, Writer};
use super::planned::{self, Planning};
use super::progress::{self, Progress};
use super::{Failure, counts, tell, told, warn};
use crate::base::{Date, Findings, Shown};
use crate::book::quiet;
use crate::plan;
use crate::plan::UnitState;
use crate::report::contents::Held;
use crate::report::table::{TABLES, Table};
use crate::report::{self, Form};
use clap::ValueEnum;
use std::fmt::Write;
use std::io::Write as _;
use std::path::{Path, PathBuf};

/// Plan a book: pull list, shop orders and shortages as workbooks, and the plan's tables.
///
/// Writes pull-list.xlsx, shop-orders.xlsx and shortages.xlsx to the output folder, and one file per table under tables/.
/// Where the book has errors it tells them all, writes nothing and ends with status 1.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    book: PathBuf,
    #[command(flatten)]
    planning: Planning,
    /// The day of the pull list; by default the first whose first run is not being picked yet
    #[arg(long, value_parser = Given::take)]
    day: Option<Given>,
    /// The folder to write to
    #[arg(long, default_value = "reports")]
    out: PathBuf,
    /// How to write the tables
    #[arg(long, value_enum, default_value_t = Tables::Csv)]
    tables: Tables,
}

impl Args {
    /// To plan a book into a folder, as where nothing else is said; without tables, which are for programs.
    pub fn of(book: &Path, out: &Path) -> Self {
        let planning = Planning { as_of: None, set_aside: false };
        Self { book: book.to_path_buf(), planning, day: None, out: out.to_path_buf(), tables: Tables::None }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Tables {
    Csv,
    Parquet,
    None,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    let progress = Progress::begin();
    let (book, plant, mut findings) =
        progress.step(progress::READ, || planned::read(&args.book, args.planning.as_of.as_ref()))?;
    let read = planned::files_of(&book, &args.book);
    let day = args.day.as_ref().map(|day| day.date(&book.date_forms())).transpose()?;
    drop(book);
    let pulls = if args.tables == Tables::None { plan::AskedPulls::UpToDay } else { plan::AskedPulls::All };
    let request = plan::Request { day, pulls, ..args.planning.request() };
    let plan = progress.step(progress::PLAN, || planned::plan(&plant, &request, &mut findings))?;
    within(&plan, day)?;
    write(&plan, args, &read, &progress)?;
    drop(progress);
    findings.sort();
    if findings.any_error() {
        warn(&format!("set aside, because their orders are wrong:\n{}", told::errors(&findings)));
    }
    tell(&summary(&plan, &findings, &args.out))?;
    // The program ends here: handing its memory back piece by piece would only take time.
    std::mem::forget(plan);
    std::mem::forget(plant);
    Ok(())
}

/// The day of a pull list is one of the plan's, from the as-of day or the first delivery run to the last one: on any other
/// everything would seem to work.
fn within(plan: &plan::Plan<'_>, day: Option<Date>) -> Result<(), Failure> {
    let runs = plan.runs.all();
    let (Some(day), Some(first), Some(last)) = (day, runs.first(), runs.last()) else { return Ok(()) };
    let (first, last, today) = (first.leaves.date(), last.leaves.date(), plan.plant.as_of.date());
    if (first.min(today)..=last.max(today)).contains(&day) {
        return Ok(());
    }
    Err(Failure::Words(format!(
        "--day {day} is no day of this plan: its delivery runs leave from {first} to {last}; nothing was written"
    )))
}

/// The forms of tables.
const FORMS: [(Tables, Form, &str); 2] = [(Tables::Csv, Form::Csv, "csv"), (Tables::Parquet, Form::Parquet, "parquet")];

/// The file of a table.
fn table_file(table: &Table, ending: &str) -> PathBuf {
    format!("tables/{}.{ending}", table.name).into()
}

/// The names of all tables in all forms.
pub fn tables() -> impl Iterator<Item = PathBuf> {
    FORMS.iter().flat_map(|(_, _, ending)| TABLES.iter().map(|table| table_file(table, ending)))
}

/// What stands beside the tables, for whoever opens one.
const ABOUT: &str = "These tables are for programs, and exact: every text is the book's own, in UTF-8 without a mark at its beginning. A spreadsheet program that opens one as text \
may show other letters for those beyond A to Z, makes dates and powers of ten of codes that look so, drops their zeros, and takes a text that begins with = + - or @ for a \
formula, whoever wrote it. People have the workbooks in the folder above: there a text stays a text.\r\n";

/// Its file.
const ABOUT_FILE: &str = "tables/about.txt";

/// What a plan's folder is to hold.
fn wanted<'w>(plan: &plan::Plan<'_>, args: &'w Args, read: &'w [PathBuf]) -> Wanted<'w> {
    let ending = FORMS.iter().find(|(tables, ..)| *tables == args.tables).map(|(.., ending)| *ending);
    let written = |name: &PathBuf| ending.is_some_and(|ending| name.extension().is_some_and(|own| own == ending));
    let (mut names, mut gone): (Vec<PathBuf>, Vec<PathBuf>) = tables().partition(written);
    if ending.is_some() { &mut names } else { &mut gone }.push(ABOUT_FILE.into());
    names.extend(report::WORKBOOK_FILES.map(PathBuf::from));
    let held = Held { book: plan.plant.book.to_string(), as_of: plan.plant.as_of.to_string(), tried: false };
    Wanted { folder: &args.out, names, gone, over: Over::Listed { by: "plan", plan: Some(held) }, read }
}

fn write(plan: &plan::Plan<'_>, args: &Args, read: &[PathBuf], progress: &Progress) -> Result<(), Failure> {
    let mut output = Output::to(wanted(plan, args, read))?;
    if let Some((_, form, ending)) = FORMS.into_iter().find(|(tables, ..)| *tables == args.tables) {
        // Those that are walked part by part are walked at once, and beside the others.
        let (by_part, others): (Vec<&Table>, Vec<&Table>) = TABLES.iter().partition(|table| table.by_part());
        let groups = [by_part, others].map(|group| {
            let names = group.iter().map(|table| table_file(table, ending)).collect();
            let write = move |outs: &mut [Out]| {
                // The data-frame library gives up where the system gives it no threads.
                let written = quiet(|| report::write_together(form, &group, plan, outs));
                let rows = written.map_err(std::io::Error::other)??;
                outs.iter_mut().zip(rows).for_each(|(out, rows)| out.rows = Some(rows));
                Ok(())
            };
            (names, Box::new(write) as Writer<'_>)
        });
        progress.step(progress::TABLES, || output.add_all(groups.into()))?;
        output.add(Path::new(ABOUT_FILE), |out| out.write_all(ABOUT.as_bytes()))?;
    }
    let files = progress
        .step(progress::WORKBOOKS, || report::workbook_files(plan, output.room()))
        .map_err(|(name, why)| Failure::File(format!("can't make {name}: {why}")))?;
    let files = files.into_iter().map(|(name, bytes)| {
        let write = move |outs: &mut [Out]| outs.iter_mut().try_for_each(|out| out.write_all(&bytes));
        (vec![name.into()], Box::new(write) as Writer<'_>)
    });
    output.add_all(files.collect())?;
    output.finish()
}

/// How many units that wait are named.
const FIRST: usize = 2;

/// What a unit waits for; `None` where it does not.
fn waiting(plan: &plan::Plan<'_>, unit: &plan::UnitPlan) -> Option<String> {
    let code = &plan.plant.units[unit.unit.at()].code;
    let named = |part| {
        let part = plan.plant.part(part);
        format!("{} {}", part.code, part.description)
    };
    match unit.state {
        UnitState::Short(part) => Some(format!("{code} is short of {}", named(part).trim_end())),
        UnitState::Late(part, clear) => {
            Some(format!("{code} waits for {}; clear {}", named(part).trim_end(), clear.short()))
        }
        _ => None,
    }
}

/// What was planned, what is wrong, where the files are: ten lines at most.
fn summary(plan: &plan::Plan<'_>, findings: &Findings, out: &Path) -> String {
    let count = |word: &str| plan.units.iter().filter(|unit| report::unit_status(unit.state) == word).count();
    let mut text = String::new();
    let name = if plan.plant.name.is_empty() { &*plan.plant.book } else { &plan.plant.name };
    let _ = writeln!(text, "{name}, as of {}", plan.plant.as_of.short());
    let _ = write!(text, "{} units: {} clear to build", plan.units.len(), count("clear"));
    for word in ["late", "short", "hold", "set aside"].into_iter().filter(|word| count(word) > 0) {
        let _ = write!(text, ", {} {word}", count(word));
    }
    let _ = writeln!(text);
    for unit in plan.units.iter().filter_map(|unit| waiting(plan, unit)).take(FIRST) {
        let _ = writeln!(text, "  {unit}");
    }
    let _ = writeln!(text, "the line: {}", report::line_words::line(plan));
    if let Some(rests_on) = report::call_words::rests_on(plan) {
        let _ = writeln!(text, "  {rests_on}");
    }
    let _ = writeln!(text, "{} jobs, {} late", plan.jobs.len(), plan.late_jobs());
    let today = plan.pulls.iter().filter(|pull| pull.run.leaves.date() == plan.day).count();
    let _ = writeln!(text, "{today} pulls on {}, which {}", plan.day.long(), report::day_words::verdict(plan).1);
    if !findings.is_empty() {
        let _ = writeln!(text, "the book: {} ('lineward check' tells them)", counts(findings.iter()));
    }
    let _ = writeln!(text, "written to {}", out.shown());
    text
}
