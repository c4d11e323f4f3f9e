//! `lineward new`: a blank book, or the whole of a read one in clean form.

use super::output::Output;
use super::{Failure, tell};
use crate::book;
use crate::report::blank_book;
use std::path::{Path, PathBuf};

/// Write a blank book with all tables and headings, or another book in clean form.
///
/// A path that ends in .xlsx becomes a workbook with a note on each heading and a drop-down where a column takes one of a few
/// words; any other path becomes a folder of CSV files. Nothing that exists is written over.
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The workbook (.xlsx) or folder to write
    path: PathBuf,
    /// Write the whole of this book, in clean form, instead of a blank one
    #[arg(long, value_name = "BOOK")]
    from: Option<PathBuf>,
}

/// Runs the command.
pub fn run(args: &Args) -> Result<(), Failure> {
    if args.path.exists() {
        return Err(Failure::File(format!("{} exists already; nothing was written", args.path.display())));
    }
    let from = args.from.as_deref().map(book::open).transpose()?;
    let ending = args.path.extension().map(|ending| ending.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("xlsx") => {
            let bytes = blank_book::to_workbook(from.as_ref()).map_err(|why| Failure::File(why.to_string()))?;
            let folder = args.path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
            let name = args.path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
            let mut output = Output::to(folder)?;
            output.add(&name, |out| out.write_all(&bytes))?;
            output.finish()?;
        }
        Some("xls" | "xlsm" | "xlsb" | "ods") => {
            return Err(Failure::File(format!(
                "can't write {}: only .xlsx and folders are written",
                args.path.display()
            )));
        }
        _ => {
            let texts = blank_book::to_texts(from.as_ref()).map_err(|why| Failure::File(why.to_string()))?;
            let mut output = Output::to(&args.path)?;
            for (name, text) in &texts {
                output.add(name, |out| out.write_all(text))?;
            }
            output.finish()?;
        }
    }
    tell(&mut std::io::stdout(), &format!("written: {}\n", args.path.display()));
    Ok(())
}
