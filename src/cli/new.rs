//! `lineward new`: a blank book, or the whole of a read one in clean form.

use super::output::{self, Output, Over, Wanted};
use super::{Failure, counts, now, planned, tell, told, warn};
use crate::base::{Findings, Shown};
use crate::book::{self, Book, look};
use crate::report::blank_book;
use crate::{check, plan};
use std::path::{Path, PathBuf};

/// Write a blank book with all tables and headings, another book in clean form, or a manifest for files that lie in a folder.
///
/// A path that ends in .xlsx becomes a workbook with a note on each heading and a drop-down where a column takes one of a few
/// words; any other path becomes a folder of CSV files. Nothing that exists is written over. What is wrong with the other
/// book is told: with errors nothing is written and it ends with status 1, unless --with-errors is given.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The workbook (.xlsx) or folder to write
    #[arg(required_unless_present = "manifest")]
    path: Option<PathBuf>,
    /// Look at the files of this folder and write a manifest that fits them, lineward.toml, there
    #[arg(long, value_name = "FOLDER", conflicts_with_all = ["path", "from"])]
    manifest: Option<PathBuf>,
    /// Write the whole of this book, in clean form, instead of a blank one
    #[arg(long, value_name = "BOOK")]
    from: Option<PathBuf>,
    /// Write the other book although it has errors, to mend it there; they are told
    #[arg(long, requires = "from")]
    with_errors: bool,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    match (&args.manifest, &args.path) {
        (Some(folder), _) => manifest(folder),
        (None, Some(path)) => written(path, args),
        (None, None) => Err(Failure::Words("which workbook or folder?".to_owned())),
    }
}

/// Writes a manifest for what lies in a folder.
fn manifest(folder: &Path) -> Result<(), Failure> {
    let path = folder.join("lineward.toml");
    output::mend(&path)?;
    if !is_free(&path) {
        return Err(exists(&path));
    }
    let seen = look::folder(folder)?;
    if seen.iter().all(|one| one.guess.is_none()) {
        let why = if seen.is_empty() {
            "nothing that can hold a table lies there"
        } else {
            "no file there looks like a table"
        };
        return Err(Failure::File(format!("can't write {}: {why}", path.shown())));
    }
    write(folder, &[("lineward.toml".into(), look::manifest(&seen).into_bytes())])?;
    let told = |one: &look::Seen| match &one.sheet {
        Some(sheet) => format!("{} sheet {sheet} {one}\n", one.file),
        None => format!("{} {one}\n", one.file),
    };
    let told: String = seen.iter().map(told).collect();
    tell(&format!("{told}written: {}; look through it, then: lineward check --read {}\n", path.shown(), folder.shown()))
}

fn exists(path: &Path) -> Failure {
    Failure::File(format!("{} exists already; nothing was written", path.shown()))
}

/// Writes a blank book, or another in clean form.
fn written(path: &Path, args: &Args) -> Result<(), Failure> {
    output::mend(path)?;
    if !is_free(path) {
        return Err(exists(path));
    }
    let from = args.from.as_deref().map(planned::open).transpose()?;
    if let Some(book) = from.as_ref().filter(|book| book.findings.any_of(&book::NO_LETTER)) {
        let wrong = book.findings.iter().filter(|finding| finding.kind.name == book::NO_LETTER.name);
        let told: String = wrong.map(|finding| format!("{finding}\n")).collect();
        warn(&format!("{told}{}: nothing was written\n", book.name));
        return Err(Failure::Book);
    }
    let told = from.as_ref().map(|book| judged(book, args.with_errors)).transpose()?;
    let ending = path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("xlsx") => {
            let bytes = blank_book::to_workbook(from.as_ref())
                .map_err(|why| Failure::File(format!("can't make {}: {why}", path.shown())))?;
            let (folder, name) = output::folder_and_name(path)?;
            write(folder, &[(name, bytes)])?;
        }
        Some("xls" | "xlsm" | "xlsb" | "ods") => {
            return Err(Failure::File(format!("can't write {}: only .xlsx and folders are written", path.shown())));
        }
        _ => {
            let texts = blank_book::to_texts(from.as_ref()).map_err(|why| Failure::File(why.to_string()))?;
            let files: Vec<(PathBuf, Vec<u8>)> = texts.into_iter().map(|(name, text)| (name.into(), text)).collect();
            write(path, &files)?;
        }
    }
    tell(&format!("{}written: {}\n", told.unwrap_or_default(), path.shown()))?;
    Ok(())
}

/// What is wrong with a book that is to be written: what could not be read is not in it, or stays as it is.
fn judged(book: &Book, with_errors: bool) -> Result<String, Failure> {
    let (plant, mut findings) = check::plant(book, None, now());
    let more = plan::more_findings(&plant, &findings);
    findings.extend(more);
    findings.sort();
    if !findings.any_error() {
        return Ok(if findings.is_empty() { String::new() } else { summary(book, &findings) });
    }
    warn(&told::errors(&findings));
    if with_errors {
        return Ok(summary(book, &findings));
    }
    let counts = counts(findings.iter());
    warn(&format!("{}: {counts}; nothing was written; --with-errors writes it all the same\n", book.name));
    Err(Failure::Book)
}

fn summary(book: &Book, findings: &Findings) -> String {
    format!("{}: {} ('lineward check' tells them)\n", book.name, counts(findings.iter()))
}

/// Whether nothing stands there, or an empty folder: there is nothing in it that could be written over.
#[expect(clippy::disallowed_methods, reason = "looking at what stands where a book is to go")]
fn is_free(path: &Path) -> bool {
    match path.symlink_metadata() {
        Ok(found) => found.is_dir() && std::fs::read_dir(path).is_ok_and(|mut entries| entries.next().is_none()),
        Err(why) => why.kind() == std::io::ErrorKind::NotFound,
    }
}

/// Writes files where none stand.
fn write(folder: &Path, files: &[(PathBuf, Vec<u8>)]) -> Result<(), Failure> {
    let names = files.iter().map(|(name, _)| name.clone()).collect();
    let mut output = Output::to(Wanted { folder, names, gone: Vec::new(), over: Over::Nothing, read: &[] })?;
    for (name, bytes) in files {
        output.add(name, |out| out.write_all(bytes))?;
    }
    output.finish()
}
