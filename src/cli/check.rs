//! `lineward check`: everything that is wrong with a book, at its cells.

use super::{Failure, counts, now, parse_moment, tell};
use crate::base::{Findings, Moment};
use crate::{book, check, plan};
use serde::Serialize;
use std::fmt::Write;
use std::path::PathBuf;

/// Tell everything that is wrong with a book, at its cells.
///
/// Ends with status 1 where there is an error: then the book can't be planned. Warnings and notes do not stop a plan.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The book: a workbook, or a folder with a file for each table
    book: PathBuf,
    /// The moment to check it for, such as '2027-09-14 06:00'; by default the book's own, or now
    #[arg(long, value_parser = parse_moment)]
    as_of: Option<Moment>,
    /// Print the findings as JSON, for programs
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Report<'a> {
    book: &'a str,
    as_of: String,
    findings: Vec<&'a crate::base::Finding>,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    let book = book::open(&args.book)?;
    let (plant, mut findings) = check::plant(&book, args.as_of, now());
    let more = plan::more_findings(&plant, &findings);
    findings.extend(more);
    findings.sort();
    let text = if args.json { as_json(&book.name, &plant, &findings)? } else { as_text(&book.name, &findings) };
    tell(&mut std::io::stdout(), &text);
    if findings.any_error() { Err(Failure::Book) } else { Ok(()) }
}

fn as_text(name: &str, findings: &Findings) -> String {
    let mut text = String::new();
    for finding in findings.iter() {
        // Writing to a string can't fail.
        let _ = writeln!(text, "{finding}");
    }
    let _ = writeln!(text, "{name}: {}", counts(findings.iter()));
    text
}

fn as_json(name: &str, plant: &check::Plant, findings: &Findings) -> Result<String, Failure> {
    let report = Report { book: name, as_of: plant.as_of.to_string(), findings: findings.iter().collect() };
    let json = serde_json::to_string_pretty(&report).map_err(|why| Failure::File(why.to_string()))?;
    Ok(json + "\n")
}
