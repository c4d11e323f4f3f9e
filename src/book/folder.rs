//! A folder as a book: a `.csv`, `.tsv` or `.parquet` file for each table.

use super::layout::Ways;
use super::raw::Origin;
use super::{Book, ReadError, Table, extension, file_name, look, parquet, text};
use crate::base::Place;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Opens the folder's files in order of their names.
#[expect(clippy::disallowed_methods, reason = "listing the folder of a book is this file's job")]
pub fn open(folder: &Path, ways: &Ways) -> Result<Book, ReadError> {
    let listing = std::fs::read_dir(folder).map_err(|why| ReadError::new(folder, why))?;
    let (mut paths, mut others) = (Vec::new(), Vec::new());
    for entry in listing {
        let path = entry.map_err(|why| ReadError::new(folder, why))?.path();
        match extension(&path).as_str() {
            "csv" | "tsv" | "parquet" => paths.push(path),
            "txt" | "xlsx" | "xlsm" | "xlsb" | "ods" | "xls" => others.push(path),
            _ => {}
        }
    }
    paths.sort();
    others.sort();
    let mut book = Book::new(file_name(folder));
    let named = |path: &PathBuf| path.file_stem().and_then(|stem| Table::named(&stem.to_string_lossy())).is_some();
    if !paths.iter().any(named) {
        let seen = look::folder(folder)?;
        if !seen.is_empty() {
            book.fail_all(&seen);
            return Ok(book);
        }
    }
    for path in others {
        book.pass_over(&path);
    }
    for path in paths {
        let file = file_name(&path);
        let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        let Some(spec) = book.claim(&stem, &file, None) else {
            if Table::named(&stem).is_none() {
                let seen = look::look(&path).into_iter().find(|seen| seen.guess.is_some());
                seen.into_iter().for_each(|seen| book.hint(&format!("; it {seen}")));
            }
            continue;
        };
        book.files.push(path.clone());
        let rows = match extension(&path).as_str() {
            "parquet" => parquet::rows(&path),
            _ => text::rows(&path, ways.letters, ways.separator_of(&path), spec, &mut book.findings),
        };
        match rows {
            Ok(rows) => book.add_laid_out(spec, Origin { file, sheet: None }, rows, &ways.layout()),
            Err(why) => {
                let place = Place { table: spec.name, file: Arc::clone(&file), ..Place::default() };
                book.fail(spec, place, &why);
            }
        }
    }
    Ok(book)
}
