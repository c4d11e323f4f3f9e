//! A manifest as a book: each table from its own file, in that file's own layout.

use super::manifest::{self, Entry};
use super::rows::Rows;
use super::{Book, ReadError, extension, file_name, parquet, text, workbook};
use crate::base::{Findings, StorageKey};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Opens the files that a manifest names.
pub fn open(path: &Path) -> Result<Book, ReadError> {
    let mut book = Book::new(file_name(path));
    let manifest = manifest::read(path, &mut book.findings)?;
    for entry in &manifest.entries {
        let file = newest(&entry.file)?;
        book.files.push(file.clone());
        let (sheet, rows) = rows(entry, &file, &mut book.findings)?;
        book.add_laid_out(entry.spec, file_name(&file), sheet, rows, &entry.layout);
    }
    if let Some(rest) = manifest.rest {
        book.fill_from(super::open_plain(&rest)?);
    }
    Ok(book)
}

/// A file's rows, and its sheet where it has sheets.
fn rows(entry: &Entry, file: &Path, findings: &mut Findings) -> Result<(Option<Arc<str>>, Rows), ReadError> {
    let kind = extension(file);
    if matches!(kind.as_str(), "xlsx" | "xlsm" | "xlsb" | "ods" | "xls") {
        let (sheet, rows) = workbook::sheet(file, entry.sheet.as_deref(), entry.spec, entry.layout.forms.decimal)?;
        return Ok((Some(sheet), rows));
    }
    if kind == "parquet" {
        return Ok((None, parquet::rows(file)?));
    }
    let separator = entry.separator.unwrap_or(if kind == "tsv" { b'\t' } else { b',' });
    let rows = if entry.windows_1252 {
        text::rows_1252(file, separator, entry.spec, findings)?
    } else {
        text::rows(file, separator, entry.spec, findings)?
    };
    Ok((None, rows))
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
        if fits(&name, &candidate) && entry.path().is_file() {
            found.push(candidate);
        }
    }
    let last = found.into_iter().max_by_key(|name| (StorageKey::new(name), name.clone()));
    last.map(|name| folder.join(name)).ok_or_else(|| ReadError::new(pattern, "no file has such a name"))
}

/// Whether a name fits a pattern in which `*` stands for anything.
fn fits(pattern: &str, name: &str) -> bool {
    let mut pieces = pattern.split('*');
    let Some(mut rest) = pieces.next().and_then(|first| name.strip_prefix(first)) else { return false };
    let pieces: Vec<&str> = pieces.collect();
    let Some((last, middle)) = pieces.split_last() else { return rest.is_empty() };
    for piece in middle {
        let Some(at) = rest.find(piece) else { return false };
        rest = &rest[at + piece.len()..];
    }
    rest.ends_with(last)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn patterns_fit_names() {
        assert!(fits("stock-*.csv", "stock-2027-09-14.csv") && fits("*.csv", "x.csv") && fits("a*b*c", "aXbYbZc"));
        assert!(!fits("stock-*.csv", "stock-1.tsv") && !fits("a*b*c", "acb") && !fits("ab*ba", "aba"));
    }
}
