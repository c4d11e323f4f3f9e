//! A manifest as a book: each table from its own file, in that file's own layout.

use super::layout::fits;
use super::manifest::{self, Entry};
use super::raw::Origin;
use super::rows::Rows;
use super::{Book, ReadError, extension, file_name, parquet, text, workbook};
use crate::base::{Findings, StorageKey};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Opens the files that a manifest names.
pub fn open(path: &Path) -> Result<Book, ReadError> {
    let mut book = Book::new(file_name(path));
    let manifest = manifest::read(path, &mut book.findings)?;
    book.forms = manifest.ways.forms.clone();
    for entry in &manifest.entries {
        match read(entry, &mut book) {
            Ok((origin, rows)) => book.add_laid_out(entry.spec, origin, rows, &entry.layout),
            Err(why) => book.fail(entry.spec, entry.place.clone(), &why),
        }
    }
    if let Some((rest, place)) = manifest.rest {
        match super::open_plain(&rest, &manifest.ways) {
            Ok(rest) => book.fill_from(rest),
            Err(why) => book.fail_rest(place, &why),
        }
    }
    Ok(book)
}

/// A table's rows, and where they come from.
fn read(entry: &Entry, book: &mut Book) -> Result<(Origin, Rows), ReadError> {
    let file = newest(&entry.file)?;
    book.files.push(file.clone());
    let (sheet, rows) = rows(entry, &file, &mut book.findings)?;
    Ok((Origin { file: file_name(&file), sheet }, rows))
}

/// A file's rows, and its sheet where it has sheets.
fn rows(entry: &Entry, file: &Path, findings: &mut Findings) -> Result<(Option<Arc<str>>, Rows), ReadError> {
    let kind = extension(file);
    if matches!(kind.as_str(), "xlsx" | "xlsm" | "xlsb" | "ods" | "xls") {
        let (sheet, rows) = workbook::sheet(file, entry.sheet.as_deref(), entry.spec, entry.layout.numbers())?;
        return Ok((Some(sheet), rows));
    }
    if kind == "parquet" {
        return Ok((None, parquet::rows(file)?));
    }
    let separator = entry.separator.unwrap_or(if kind == "tsv" { b'\t' } else { b',' });
    Ok((None, text::rows(file, entry.letters, separator, entry.spec, findings)?))
}

/// The file of a pattern that is last by name, numbers in names as numbers.
#[expect(clippy::disallowed_methods, reason = "finding the files of a manifest is this file's job")]
fn newest(pattern: &Path) -> Result<PathBuf, ReadError> {
    let name = pattern.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    if !name.contains('*') {
        return Ok(pattern.to_path_buf());
    }
    let folder = pattern.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut found: Vec<String> = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(|why| ReadError::new(folder, why))? {
        let entry = entry.map_err(|why| ReadError::new(folder, why))?;
        let candidate = entry.file_name().to_string_lossy().into_owned();
        // Spreadsheet programs put a file of their own beside a workbook that is open.
        let lock = candidate.starts_with("~$") || candidate.starts_with(".~lock.");
        if fits(&name.to_lowercase(), &candidate.to_lowercase()) && !lock && entry.path().is_file() {
            found.push(candidate);
        }
    }
    let last = found.into_iter().max_by_key(|name| (StorageKey::new(name), name.clone()));
    last.map(|name| folder.join(name)).ok_or_else(|| ReadError::new(pattern, "no file has such a name"))
}
