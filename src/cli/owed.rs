//! `lineward owed`: what is owed from the misses of a pull list.

use super::planned;
use super::{Failure, as_json, now, output, tell, told, warn};
use crate::base::{Findings, Shown};
use crate::book::{self, Book};
use crate::check;
use crate::owed::{self, Misses};
use crate::plan::{self, Request};
use crate::report::{line_words, misses};
use crate::trial;
use std::path::{Path, PathBuf};

/// Read what was not there from the sheet 'misses' of a filled-in pull list: the rows of Extras that are owed, the bins whose count
/// is wrong, and what the line loses for it.
///
/// The book is planned as it was for that list; a list of another book or plan is refused. Nothing is changed.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book, as it was when the pull list was written
    book: PathBuf,
    /// The pull list in which misses were entered
    pull_list: PathBuf,
    /// Write the rows and the counts to this new workbook (.xlsx)
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Print all of it as JSON, for programs
    #[arg(long)]
    json: bool,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    args.out.as_deref().map_or(Ok(()), output::may_write)?;
    let list = misses_of(&args.pull_list)?;
    let book = planned::open(&args.book)?;
    let head = &list.head;
    let request = Request { day: head.day, set_aside: head.set_aside, ..Request::default() };
    let (plant, mut findings) = check::plant(&book, Some(head.as_of), now());
    if findings.any_error() {
        return Err(planned::refuse(&book.name, findings));
    }
    let plan = planned::plan(&plant, &request, &mut findings)?;
    let owed = owed::owed(&plan, &book, &list).map_err(|wrong| refused(&args.pull_list, wrong))?;
    let without = line_words::line(&plan);
    let with = if owed.edits.is_empty() { without.clone() } else { with_counts(&book, &owed.edits, head, &request)? };
    let mut text = match args.json {
        true => as_json(&owed::facts(&plan, &owed, [&with, &without]))?,
        false => owed::text(&plan, &owed, [&with, &without]),
    };
    if let Some(out) = &args.out {
        output::write_new(out, &owed::workbook(&plan, &owed, [&with, &without]))?;
        if !args.json {
            text += &format!("written to {}\n", out.shown());
        }
    }
    tell(&text)
}

/// The sheet of misses of a pull list.
fn misses_of(path: &Path) -> Result<Misses, Failure> {
    output::mend(path)?;
    let (_, rows) = book::one_sheet(path, misses::NAME)?;
    let name = path.file_name().map_or_else(|| path.shown(), |name| name.to_string_lossy().into_owned());
    owed::read(&name, &rows).map_err(|wrong| refused(path, wrong))
}

/// What the line loses where the counts are as somebody found them, planned anew.
fn with_counts(book: &Book, edits: &[trial::Edit], head: &owed::Head, request: &Request) -> Result<String, Failure> {
    let (book, changed) = trial::apply(book, edits).map_err(Failure::Words)?;
    let (plant, mut findings) = check::plant(&book, Some(head.as_of), now());
    if findings.any_error() {
        trial::note(&changed, &mut findings);
        return Err(planned::refuse(&book.name, findings));
    }
    let (plan, more) = plan::plan(&plant, request);
    findings.extend(more);
    let plan = plan.ok_or_else(|| planned::refuse(&book.name, findings))?;
    Ok(line_words::line(&plan))
}

/// Tells what is wrong with a list; nothing is owed of such.
fn refused(path: &Path, mut findings: Findings) -> Failure {
    findings.sort();
    warn(&format!("{}{}: nothing is owed before this is right\n", told::errors(&findings), path.shown()));
    Failure::Book
}
