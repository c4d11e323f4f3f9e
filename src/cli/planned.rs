//! A book read and planned for the commands that need a plan; what stands in the way is told as one.

use super::given::{Given, moment_for};
use super::{Failure, counts, now, output, told, warn};
use crate::base::{Findings, Level};
use crate::book::{self, Book};
use crate::check::{self, Plant};
use crate::plan::{self, Plan, Request};
use crate::trial::{self, Changed};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// How a book is to be planned.
#[derive(Debug, clap::Args)]
pub struct Planning {
    /// The moment to plan for, such as '2027-09-14 06:00'; by default the book's own, or now
    #[arg(long, value_parser = Given::take)]
    pub as_of: Option<Given>,
    /// Keep units whose order is wrong on the line, without material, instead of stopping
    #[arg(long)]
    pub set_aside: bool,
}

impl Planning {
    /// The request for a plan.
    pub fn request(&self) -> Request {
        Request { set_aside: self.set_aside, ..Request::default() }
    }
}

/// Opens a book; what a run that was cut off left there is mended first.
pub fn open(path: &Path) -> Result<Book, Failure> {
    output::mend(path)?;
    Ok(book::open(path)?)
}

/// The files that a book was read from.
pub fn files_of(book: &Book, path: &Path) -> Vec<PathBuf> {
    book.files.iter().cloned().chain([path.to_path_buf(), path.join("lineward.toml")]).collect()
}

/// Reads a book; what is wrong with it is told, with all that planning would find.
pub fn read(path: &Path, as_of: Option<&Given>) -> Result<(Book, Plant, Findings), Failure> {
    let book = open(path)?;
    let (plant, findings) = checked(&book, as_of)?;
    Ok((book, plant, findings))
}

/// Checks a book that is open already, in the same way.
pub fn checked(book: &Book, as_of: Option<&Given>) -> Result<(Plant, Findings), Failure> {
    tried(book, as_of, &[])
}

/// Checks a book of which some cells were changed; what is wrong with those says so.
pub fn tried(book: &Book, as_of: Option<&Given>, changed: &[Changed]) -> Result<(Plant, Findings), Failure> {
    let (plant, mut findings) = check::plant(book, moment_for(as_of, book)?, now());
    if findings.any_error() {
        let more = plan::more_findings(&plant, &findings);
        findings.extend(more);
        trial::note(changed, &mut findings);
        return Err(refuse(&book.name, findings));
    }
    Ok((plant, findings))
}

/// Checks and plans a book for a command that can do without its plan, and shows the plan, or else what stands in the way:
/// `2 errors`.
pub fn if_it_can<R>(
    book: &Book,
    planning: &Planning,
    show: impl FnOnce(Result<&Plan<'_>, String>) -> Result<R, Failure>,
) -> Result<R, Failure> {
    let (plant, mut findings) = check::plant(book, moment_for(planning.as_of.as_ref(), book)?, now());
    if findings.any_error() {
        let more = plan::more_findings(&plant, &findings);
        findings.extend(more);
        return show(Err(errors(&findings)));
    }
    let (plan, more) = plan::plan(&plant, &planning.request());
    show(plan.as_ref().ok_or_else(|| errors(&more)))
}

fn errors(findings: &Findings) -> String {
    counts(findings.iter().filter(|finding| finding.kind.level == Level::Error))
}

/// Plans it; the findings of planning join those of reading.
pub fn plan<'p>(plant: &'p Plant, request: &Request, findings: &mut Findings) -> Result<Plan<'p>, Failure> {
    plan_tried(plant, request, findings, &[])
}

/// Plans a book of which some cells were changed.
pub fn plan_tried<'p>(
    plant: &'p Plant,
    request: &Request,
    findings: &mut Findings,
    changed: &[Changed],
) -> Result<Plan<'p>, Failure> {
    let (plan, more) = plan::plan(plant, request);
    findings.extend(more);
    trial::note(changed, findings);
    plan.ok_or_else(|| refuse(&plant.book, std::mem::take(findings)))
}

/// Tells the errors of a book that can't be planned.
pub fn refuse(name: &str, mut findings: Findings) -> Failure {
    findings.sort();
    let mut text = told::errors(&findings);
    let units = findings.iter().all(|f| f.kind.level != Level::Error || f.unit.is_some());
    let hint = if units { "; --set-aside plans without the units whose order is wrong" } else { "" };
    let _ = writeln!(text, "{name}: {}; nothing was written{hint}", counts(findings.iter()));
    warn(&text);
    Failure::of_book(&findings)
}
