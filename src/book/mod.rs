//! Opening a book: a workbook or a folder of files becomes one raw table of text cells for each table of the book.

mod cells;
mod clean;
mod folder;
mod forms;
mod layout;
pub mod look;
mod manifest;
mod marks;
mod from_manifest;
mod guard;
mod headings;
mod indented;
mod keys;
pub(crate) mod kinds;
mod ods_cells;
mod parquet;
mod raw;
mod rows;
mod signs;
mod spec;
mod text;
mod sheet_rows;
mod shield;
mod whole;
mod words;
mod workbook;
mod written;
mod xls_cells;

pub use cells::{BookColumn, Cells};
pub use clean::Clean;
pub use forms::Forms;
pub use kinds::{NO_LETTER, NO_ROWS, OUT_OF_RANGE, UNREADABLE_FILE};
pub use layout::LeftOut;
pub use raw::{Origin, RawTable, Reading, Shape};
pub use rows::{Row, Rows};
pub(crate) use rows::{all_letters, is_letter};
pub(crate) use shield::quiet;
pub use spec::{ColumnSpec, Holds, SETTINGS, Table, TableSpec, plain_name};
pub use whole::Book;

use crate::base::{Shown, reason};
use layout::Ways;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use text::Letters;

/// A file that could not be opened or understood at all.
#[derive(Debug)]
pub struct ReadError {
    /// Which file.
    pub path: PathBuf,
    /// Why, in the words of whoever knows.
    pub why: String,
}

impl ReadError {
    /// Why a path can't be read.
    pub(crate) fn new(path: &Path, why: impl ToString) -> Self {
        Self { path: path.to_path_buf(), why: reason(why) }
    }
}

impl std::fmt::Display for ReadError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "can't read {}: {}", self.path.shown(), self.why)
    }
}

impl std::error::Error for ReadError {}

/// Opens a book: a workbook file, a folder with a file for each table, or a manifest that says where each table is.
///
/// # Errors
/// Where the path or one of its files can't be read or is not of the kind its name says.
pub fn open(path: &Path) -> Result<Book, ReadError> {
    let inside = path.join("lineward.toml");
    let manifest = if path.is_dir() { inside.as_path() } else { path };
    // Whatever stands there is meant as one: a link that leads nowhere is told, not passed over.
    let stands = || manifest.symlink_metadata().map_or_else(|why| why.kind() != ErrorKind::NotFound, |_| true);
    let mut book = match extension(manifest) == "toml" && stands() {
        true => from_manifest::open(manifest)?,
        false => open_plain(path, &Ways::default())?,
    };
    book.finish();
    Ok(book)
}

/// The rows of a single file that is no book's and was read already, a text (`.csv`) or a Parquet file, its headings first.
pub(crate) fn table_rows(path: &Path, bytes: Vec<u8>) -> Result<rows::Rows, ReadError> {
    if extension(path) == "parquet" {
        return parquet::rows_of(bytes, path);
    }
    let text = text::of_file(&bytes, Letters::Utf8, path)?;
    let rows = text::split(&text.text, path, b',')?;
    let spoiled = text.first_spoiled(&rows);
    spoiled.map_or(Ok(rows), |row| Err(ReadError::new(path, format!("row {row} is not UTF-8"))))
}

/// The bytes of a regular file that is no book's.
///
/// # Errors
/// Where it can't be read, or is a folder, a pipe or a device.
pub(crate) fn regular_file(path: &Path) -> Result<Vec<u8>, ReadError> {
    guard::bytes(path)
}

/// The rows of one sheet of a workbook that is no book's; and its name.
///
/// # Errors
/// Where the file can't be read, or has no such sheet.
pub fn one_sheet(path: &Path, name: &str) -> Result<(std::sync::Arc<str>, Rows), ReadError> {
    workbook::sheet(path, Some(name), Table::Extras.spec(), Ways::default().numbers())
}

/// Opens a book that is no manifest.
fn open_plain(path: &Path, ways: &Ways) -> Result<Book, ReadError> {
    if path.is_dir() {
        return folder::open(path, ways);
    }
    match extension(path).as_str() {
        "xlsx" | "xlsm" | "xlsb" | "ods" | "xls" => workbook::open(path, ways),
        "" if !path.exists() => Err(ReadError::new(path, "there is no such file or folder")),
        _ if !path.exists() => Err(ReadError::new(path, "there is no such file")),
        _ => Err(ReadError::new(
            path,
            "a book is a workbook (.xlsx, .xlsm, .xlsb, .ods, .xls), a folder of .csv, .tsv or .parquet files, or a manifest (lineward.toml)",
        )),
    }
}

/// A book from texts that are in memory already: for each table a file name such as `Bills.csv`, and its text.
///
/// # Errors
/// Where a text is no table of separated values.
pub fn from_texts<'t>(name: &str, texts: impl IntoIterator<Item = (&'t str, &'t str)>) -> Result<Book, ReadError> {
    let mut book = Book::new(name.into());
    for (file, text) in texts {
        let path = Path::new(file);
        let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
        let Some(spec) = book.claim(&stem, &file_name(path), None) else { continue };
        let separator = if extension(path) == "tsv" { b'\t' } else { b',' };
        let rows =
            text::parse(&text::decoded(text.as_bytes(), Letters::Utf8), path, separator, spec, &mut book.findings)?;
        book.add(spec, Origin { file: file_name(path), sheet: None }, rows);
    }
    book.finish();
    Ok(book)
}

/// The end of a file's name, in lower case.
fn extension(path: &Path) -> String {
    path.extension().map(|e| e.to_string_lossy().to_lowercase()).unwrap_or_default()
}

/// The last piece of a path, for messages.
pub(crate) fn file_name(path: &Path) -> std::sync::Arc<str> {
    path.file_name().map_or_else(|| path.to_string_lossy(), |name| name.to_string_lossy()).into()
}
