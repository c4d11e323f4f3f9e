//! A plan that was written to a folder: its tables, read back.

use super::cells::{Columns, Wrong};
use super::code::Codes;
use super::rows::{PlanRows, may_be_missing, tables_read};
use crate::base::{Date, Moment, Quantity, Ratio, fold};
use crate::book::{ReadError, regular_file, table_rows};
use crate::report::contents::{self, Contents, Sum};
use crate::report::table::{Chunk, Kind, Table};
use std::path::{Path, PathBuf};

/// Where a folder holds a plan's tables, if it does: below `tables/`, or right in it.
pub fn tables_of(folder: &Path) -> Option<PathBuf> {
    let inside = folder.join("tables");
    let any = |folder: &Path| tables_read().any(|table| files(folder, table).iter().any(|file| file.is_file()));
    [inside, folder.to_path_buf()].into_iter().find(|folder| any(folder))
}

/// The files a table may be in.
fn files(folder: &Path, table: &Table) -> [PathBuf; 2] {
    ["csv", "parquet"].map(|ending| folder.join(format!("{}.{ending}", table.name)))
}

/// What stands beside a plan's tables about them: the list, and what a table's name begins with in it. `None` where there is
/// none.
fn listed(folder: &Path) -> Result<Option<(Contents, &'static str)>, ReadError> {
    let above = folder.parent().filter(|_| folder.ends_with("tables")).map(|above| (above.to_path_buf(), "tables/"));
    for (place, start) in above.into_iter().chain([(folder.to_path_buf(), "")]) {
        let file = place.join(contents::FILE);
        if file.symlink_metadata().is_ok() {
            let list = Contents::parse(&regular_file(&file)?).map_err(|why| ReadError::new(&file, why))?;
            return Ok(Some((list, start)));
        }
    }
    Ok(None)
}

/// The list of a plan's files that stands beside its tables, by which it can be seen whether these are whole; `None` where there
/// is none.
///
/// # Errors
/// Where there is one that can't be read.
pub fn list_of(folder: &Path) -> Result<Option<Contents>, ReadError> {
    Ok(listed(folder)?.map(|(list, _)| list))
}

/// Reads the tables of a folder.
///
/// # Errors
/// Where a table is missing, there twice, can't be read, is not what a plan writes, or is not what the folder's list says.
pub fn read(folder: &Path, codes: &mut Codes) -> Result<PlanRows, ReadError> {
    let mut rows = PlanRows::default();
    let list = listed(folder)?;
    for table in tables_read() {
        let found = files(folder, table).into_iter().filter(|file| file.is_file()).collect::<Vec<_>>();
        match found.as_slice() {
            [file] => read_table(table, file, whole(file, list.as_ref())?, &mut rows, codes)?,
            [] if may_be_missing(table) && !list.as_ref().is_some_and(|list| names(list, table)) => {}
            [] => return Err(missing(folder, table)),
            _ => return Err(twice(folder, table)),
        }
    }
    Ok(rows)
}

/// Whether a list names a table.
fn names((list, start): &(Contents, &str), table: &Table) -> bool {
    files(Path::new(""), table).iter().any(|file| list.entry(&format!("{start}{}", file.display())).is_some())
}

fn missing(folder: &Path, table: &Table) -> ReadError {
    let name = table.name;
    ReadError::new(folder, format!("the plan's table '{name}' is missing ({name}.csv or {name}.parquet)"))
}

fn twice(folder: &Path, table: &Table) -> ReadError {
    let name = table.name;
    ReadError::new(folder, format!("both {name}.csv and {name}.parquet are there; remove the one that is not meant"))
}

/// The bytes of a table's file, which are those that its plan wrote.
fn whole(file: &Path, list: Option<&(Contents, &str)>) -> Result<Vec<u8>, ReadError> {
    let bytes = regular_file(file)?;
    let Some((list, start)) = list else { return Ok(bytes) };
    let name = file.file_name().map(|name| name.to_string_lossy()).unwrap_or_default();
    let wrong = match list.entry(&format!("{start}{name}")) {
        Some(entry) => entry.differs(&Sum::of(&bytes)),
        None => Some("it is not listed there".to_owned()),
    };
    let told = |why| format!("it is not as the plan wrote it: by {} {why}; plan again", contents::FILE);
    wrong.map_or(Ok(bytes), |why| Err(ReadError::new(file, told(why))))
}

fn read_table(
    table: &Table,
    file: &Path,
    bytes: Vec<u8>,
    rows: &mut PlanRows,
    codes: &mut Codes,
) -> Result<(), ReadError> {
    let found = table_rows(file, bytes)?;
    let Some(head) = found.first() else { return Err(ReadError::new(file, "it has no headings")) };
    let headings: Vec<String> = head.cells().map(fold).collect();
    let mut at = Vec::new();
    for (column, _) in table.columns() {
        let found = headings.iter().position(|heading| heading == column);
        at.push(found.ok_or_else(|| ReadError::new(file, format!("the column '{column}' is missing")))?);
    }
    let mut columns = Columns::of(table, codes);
    let mut chunk = Chunk::default();
    chunk.columns.resize_with(at.len(), Default::default);
    chunk.rows = 1;
    for row in found.iter().skip(1).filter(|row| !row.is_blank()) {
        let told = |wrong: Wrong| {
            let (number, column, expected) = (row.number(), wrong.column, wrong.expected);
            ReadError::new(file, format!("row {number}, column '{column}': expected {expected}"))
        };
        for ((i, (column, kind)), at) in table.columns().enumerate().zip(&at) {
            let text = row.get(*at).unwrap_or_default();
            let number = number(kind, text).map_err(|expected| told(Wrong { column, expected }))?;
            if let (Kind::Text(_) | Kind::Code(_), Some(_)) = (kind, number) {
                columns.put(i, codes.of(text));
            }
            let cells = &mut chunk.columns[i];
            (cells.values, cells.there) = (vec![number.unwrap_or_default()], vec![number.is_some()]);
        }
        rows.add(&columns, &chunk, 0).map_err(told)?;
    }
    Ok(())
}

/// A cell's text as the number that its column's kind makes of it, in a list of its own where it is a text; none where it is
/// blank, and what was expected where it is something else.
fn number(kind: Kind, text: &str) -> Result<Option<i64>, &'static str> {
    if text.is_empty() {
        return Ok(None);
    }
    let (found, expected) = match kind {
        Kind::Text(_) | Kind::Code(_) => (Some(0), "a text"),
        Kind::Quantity => (Ratio::decimal(text).and_then(Quantity::cut).map(Quantity::millionths), "a quantity"),
        Kind::Moment => (Moment::parse(text).map(|(moment, _)| moment.seconds()), "a date and time"),
        Kind::Date => (Date::parse(text).map(|date| i64::from(date.days())), "a date"),
        Kind::Whole => (text.parse().ok(), "a whole number"),
    };
    found.map(Some).ok_or(expected)
}
