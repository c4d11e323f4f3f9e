//! What lies in a folder that is no book yet: which file looks like which table, how it is written, and a manifest that fits.

mod cells;
mod guess;
mod proposal;
mod vocabulary;

pub use guess::{Guess, Seen, look};
pub use proposal::manifest;

use super::ReadError;
use super::spec::{Table, TableSpec};
use std::path::Path;

/// Looks at the files of a folder, in order of their names.
///
/// # Errors
/// Where the folder can't be listed.
#[expect(clippy::disallowed_methods, reason = "listing a folder of exports is this file's job")]
pub fn folder(folder: &Path) -> Result<Vec<Seen>, ReadError> {
    let mut paths = Vec::new();
    for entry in std::fs::read_dir(folder).map_err(|why| ReadError::new(folder, why))? {
        let path = entry.map_err(|why| ReadError::new(folder, why))?.path();
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        // Spreadsheet programs put a file of their own beside a workbook that is open.
        if !name.starts_with("~$") && !name.starts_with('.') && path.is_file() {
            paths.push(path);
        }
    }
    paths.sort();
    Ok(paths.iter().flat_map(|path| guess::look(path)).collect())
}

/// Whether a workbook has a sheet for each table that a book can't do without.
pub fn is_whole_book(seen: &[Seen], file: &str) -> bool {
    let sheets = || seen.iter().filter(|one| &*one.file == file).filter_map(|one| one.sheet.as_deref());
    let has = |spec: &TableSpec| sheets().filter_map(Table::named).any(|known| known.table == spec.table);
    Table::all().filter(|spec| spec.needed).all(has)
}
