//! `lineward plan`: the whole plan, as workbooks for people and tables for programs.

use super::output::{Output, Writer};
use super::{Failure, counts, now, parse_date, parse_moment, tell};
use crate::base::{Date, Findings, Level, Moment};
use crate::plan::UnitState;
use crate::report::{self, table::TABLES};
use crate::{book, check, plan};
use clap::ValueEnum;
use itertools::Itertools;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// Plan a book: pull list, shop orders and shortages as workbooks, and the plan's tables.
///
/// Writes pull-list.xlsx, shop-orders.xlsx and shortages.xlsx to the output folder, and one file per table under tables/.
/// Where the book has errors it tells them all, writes nothing and ends with status 1.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    book: PathBuf,
    /// The moment to plan for, such as '2027-09-14 06:00'; by default the book's own, or now
    #[arg(long, value_parser = parse_moment)]
    as_of: Option<Moment>,
    /// The day of the pull list; by default the first whose first run is not being picked yet
    #[arg(long, value_parser = parse_date)]
    day: Option<Date>,
    /// The folder to write to
    #[arg(long, default_value = "reports")]
    out: PathBuf,
    /// How to write the tables
    #[arg(long, value_enum, default_value_t = Tables::Csv)]
    tables: Tables,
    /// Keep units whose order is wrong on the line, without material, instead of stopping
    #[arg(long)]
    set_aside: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Tables {
    Csv,
    Parquet,
    None,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    let book = book::open(&args.book)?;
    let (plant, mut findings) = check::plant(&book, args.as_of, now());
    if findings.any_error() {
        let more = plan::more_findings(&plant, &findings);
        findings.extend(more);
        return Err(refuse(&book.name, findings));
    }
    drop(book);
    let request = plan::Request { day: args.day, set_aside: args.set_aside, ..Default::default() };
    let (plan, more) = plan::plan(&plant, &request);
    findings.extend(more);
    let Some(plan) = plan else { return Err(refuse(&plant.book, findings)) };
    write(&plan, args)?;
    let set_aside = findings.iter().filter(|finding| finding.kind.level == Level::Error);
    let told: String = set_aside.map(|finding| format!("set aside: {finding}\n")).collect();
    tell(&mut std::io::stderr(), &told);
    tell(&mut std::io::stdout(), &summary(&plan, &findings, &args.out));
    Ok(())
}

/// Tells the errors of a book that can't be planned.
pub(super) fn refuse(name: &str, mut findings: Findings) -> Failure {
    findings.sort();
    let mut text = String::new();
    for finding in findings.iter().filter(|finding| finding.kind.level == Level::Error) {
        let _ = writeln!(text, "{finding}");
    }
    let units = findings.iter().all(|f| f.kind.level != Level::Error || f.unit.is_some());
    let hint = if units { "; --set-aside plans without the units whose order is wrong" } else { "" };
    let _ = writeln!(text, "{name}: {}; nothing was written{hint}", counts(findings.iter()));
    tell(&mut std::io::stderr(), &text);
    Failure::Book
}

fn write(plan: &plan::Plan<'_>, args: &Args) -> Result<(), Failure> {
    let mut output = Output::to(&args.out)?;
    let mut files: Vec<(String, Writer<'_>)> = Vec::new();
    // The largest first, so that none is left over at the end.
    for table in TABLES.iter().sorted_by_key(|table| SMALL.contains(&table.name)) {
        let (csv, parquet) = (format!("tables/{}.csv", table.name), format!("tables/{}.parquet", table.name));
        if args.tables != Tables::Csv {
            output.remove(&csv);
        }
        if args.tables != Tables::Parquet {
            output.remove(&parquet);
        }
        match args.tables {
            Tables::Csv => files.push((csv, Box::new(|out| report::to_csv(table, plan, out)))),
            Tables::Parquet => files.push((parquet, Box::new(|out| report::to_parquet(table, plan, out)))),
            Tables::None => {}
        }
    }
    output.add_all(files)?;
    let files =
        report::workbook_files(plan).map_err(|(name, why)| Failure::File(format!("can't make {name}: {why}")))?;
    for (name, bytes) in files {
        output.add(name, |out| out.write_all(&bytes))?;
    }
    output.finish()
}

/// Tables that are small beside the others.
const SMALL: [&str; 4] = ["units", "jobs", "balances", "consequences"];

/// How many units that wait are named.
const FIRST: usize = 3;

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
    let totals = plan::Totals::of(plan, &plan.consequences);
    let _ = writeln!(text, "the line: {totals}");
    let late = plan.jobs.iter().filter(|job| job.available > job.need).count();
    let _ = writeln!(text, "{} jobs, {late} late", plan.jobs.len());
    let today = plan.pulls.iter().filter(|pull| pull.run.leaves.date() == plan.day).count();
    let _ = writeln!(text, "{today} pulls on {}", plan.day.long());
    if !findings.is_empty() {
        let _ = writeln!(text, "the book: {} ('lineward check' tells them)", counts(findings.iter()));
    }
    let _ = writeln!(text, "written to {}", out.display());
    text
}
