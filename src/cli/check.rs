//! `lineward check`: everything that is wrong with a book, at its cells.

use super::given::{Given, moment_for};
use super::output::{folder_and_name, may_write, write_new};
use super::progress::Progress;
use super::{Failure, now, planned, reading, tell, told};
use crate::base::Findings;
use crate::every_order::{self, Figures};
use crate::{book, check, line, plan, report};
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Tell everything that is wrong with a book, at its cells.
///
/// Ends with status 1 where there is an error: then the book can't be planned. Warnings and notes do not stop a plan.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    #[arg(required_unless_present = "explain")]
    book: Option<PathBuf>,
    /// The moment to check it for, such as '2027-09-14 06:00'; by default the book's own, or now
    #[arg(long, value_parser = Given::take)]
    as_of: Option<Given>,
    /// Print the findings as JSON, for programs
    #[arg(long)]
    json: bool,
    /// Print every finding, however many there are of a kind
    #[arg(long)]
    all: bool,
    /// Tell first how each table was read: file, sheet, rows, the first of them, what is left out and why
    #[arg(long, conflicts_with = "json")]
    read: bool,
    /// Prove the book for every order that could be placed: what no build ever has, what breaks Content with the smallest
    /// order that shows it, and how many builds there are. Not for a book with errors
    #[arg(long)]
    every_order: bool,
    /// Write the findings to this workbook (.xlsx) too, for those who mend the data
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Tell what a kind of finding means and what to do about it; needs no book
    #[arg(long, value_name = "KIND", conflicts_with_all = ["book", "json", "all", "out", "as_of", "read", "every_order"])]
    explain: Option<String>,
}

#[derive(Serialize)]
struct Report<'a> {
    book: &'a str,
    as_of: String,
    held: &'a [check::Held],
    findings: Vec<&'a crate::base::Finding>,
    #[serde(skip_serializing_if = "Option::is_none")]
    every_order: Option<Vec<report::every_order::Facts<'a>>>,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    if let Some(kind) = &args.explain {
        tell(&told::explained(kind).map_err(Failure::Words)?)?;
        return Ok(());
    }
    args.out.as_deref().map_or(Ok(()), may_write)?;
    let Some(path) = &args.book else { return Err(Failure::Words("which book?".to_owned())) };
    let book = planned::open(path)?;
    let (plant, mut findings) = all_of(&book, args.as_of.as_ref())?;
    // A book with errors says so first: of such nothing can be proved.
    let figures = (args.every_order && !findings.any_error()).then(|| {
        let progress = Progress::begin();
        let proof = every_order::prove(&plant, &line::pace(&plant), |done, of| progress.at("proving", done, of));
        findings.extend(proof.findings);
        proof.figures
    });
    findings.sort();
    let held = check::held(&book);
    if let Some(out) = &args.out {
        write(out, &book, &plant, &findings, &held, figures.as_deref())?;
    }
    let text = if args.json {
        as_json(&book.name, &plant, &findings, &held, figures.as_deref())?
    } else {
        let read = if args.read { reading::told(&book) } else { String::new() };
        let proved = figures.as_deref().map(|figures| report::every_order::text(&plant, figures)).unwrap_or_default();
        let not = "not proved for every order: the book has errors\n";
        let not = if args.every_order && figures.is_none() { not } else { "" };
        read + &proved + &told::grouped(&book.name, &findings, &held, args.all) + not
    };
    tell(&text)?;
    if findings.any_error() { Err(Failure::of_book(&findings)) } else { Ok(()) }
}

/// What is wrong with a book, with all that planning would find.
fn all_of(book: &book::Book, as_of: Option<&Given>) -> Result<(check::Plant, Findings), Failure> {
    let (plant, mut findings) = check::plant(book, moment_for(as_of, book)?, now());
    let more = plan::more_findings(&plant, &findings);
    findings.extend(more);
    Ok((plant, findings))
}

/// Writes all that is wrong with a book to a new workbook.
pub fn list(path: &Path, out: &Path) -> Result<(), Failure> {
    may_write(out)?;
    let book = planned::open(path)?;
    let (plant, mut findings) = all_of(&book, None)?;
    findings.sort();
    write(out, &book, &plant, &findings, &check::held(&book), None)
}

fn write(
    out: &Path,
    book: &book::Book,
    plant: &check::Plant,
    findings: &Findings,
    held: &[check::Held],
    figures: Option<&[Figures]>,
) -> Result<(), Failure> {
    let (folder, _) = folder_and_name(out)?;
    let named = |name: &str| book.files.iter().find(|path| path.file_name().is_some_and(|own| own == name));
    let file_of = |name: &str| named(name).and_then(|path| path_from(folder, path));
    let mut workbook = report::findings::workbook(plant, findings, held, file_of);
    workbook.sheets.extend(figures.into_iter().flat_map(|figures| report::every_order::sheets(plant, figures)));
    write_new(out, &workbook)
}

/// The path of a file from a folder, with `/` between its pieces; `None` where there is no way from one to the other.
fn path_from(folder: &Path, file: &Path) -> Option<String> {
    let (folder, file) = (folder.canonicalize().ok()?, file.canonicalize().ok()?);
    let shared = folder.components().zip(file.components()).take_while(|(a, b)| a == b).count();
    let up = folder.components().skip(shared).map(|_| "..".to_owned());
    let down = file.components().skip(shared).map(|piece| piece.as_os_str().to_string_lossy().into_owned());
    (shared > 0).then(|| up.chain(down).collect::<Vec<String>>().join("/"))
}

fn as_json(
    name: &str,
    plant: &check::Plant,
    findings: &Findings,
    held: &[check::Held],
    figures: Option<&[Figures]>,
) -> Result<String, Failure> {
    let facts = |figures: &[Figures]| figures.iter().map(|one| report::every_order::Facts::of(plant, one)).collect();
    let every_order = figures.map(facts);
    let as_of = plant.as_of.to_string();
    let report = Report { book: name, as_of, held, findings: findings.iter().collect(), every_order };
    super::as_json(&report)
}
