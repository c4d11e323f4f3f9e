//! A sheet's rows, cell by cell where its kind allows: what a sheet says of its size makes no room before there are cells.

use super::guard::{MOST_CELLS, MOST_COLUMNS, sensible};
use super::workbook::{Workbook, as_text};
use super::{ReadError, Rows};
use crate::base::numbered;
use calamine::{Data, DataRef, Reader, Sheets};
use std::path::Path;

/// A cell that holds something: row and column, counted from 0, and text.
type Found = (u32, u32, String);

/// The rows of a sheet that hold something.
pub fn rows(workbook: &mut Workbook, name: &str, mark: char, path: &Path) -> Result<Rows, ReadError> {
    let why = |why: calamine::Error| ReadError::new(path, format!("sheet {name}: {why}"));
    let mut found = Vec::new();
    let mut letters = 0_usize;
    let mut take = |row: u32, column: u32, cell: &DataRef<'_>| {
        let text = as_text(cell, mark);
        letters = letters.saturating_add(text.len());
        if !text.is_empty() {
            found.push((row, column, text));
        }
        sensible(found.len(), letters).map_err(|why| ReadError::new(path, format!("sheet {name}: {why}")))
    };
    match workbook {
        Sheets::Xlsx(book) => {
            let mut cells = book.worksheet_cells_reader(name).map_err(|e| why(e.into()))?;
            while let Some(cell) = cells.next_cell().map_err(|e| why(e.into()))? {
                take(cell.get_position().0, cell.get_position().1, cell.get_value())?;
            }
        }
        Sheets::Xlsb(book) => {
            let mut cells = book.worksheet_cells_reader(name).map_err(|e| why(e.into()))?;
            while let Some(cell) = cells.next_cell().map_err(|e| why(e.into()))? {
                take(cell.get_position().0, cell.get_position().1, cell.get_value())?;
            }
        }
        Sheets::Xls(_) | Sheets::Ods(_) => {
            let range = workbook.worksheet_range(name).map_err(why)?;
            let (row, column) = range.start().unwrap_or_default();
            let mut cells = range.used_cells();
            cells.try_for_each(|(down, right, cell)| {
                take(row + numbered(down), column + numbered(right), &lent(cell))
            })?;
        }
    }
    in_rows(found, path)
}

/// A cell of a sheet that is read as a whole, as one of a sheet that is read cell by cell.
fn lent(cell: &Data) -> DataRef<'_> {
    match cell {
        Data::Empty => DataRef::Empty,
        Data::String(text) => DataRef::SharedString(text),
        Data::DateTimeIso(text) => DataRef::DateTimeIso(text.clone()),
        Data::DurationIso(text) => DataRef::DurationIso(text.clone()),
        Data::Int(number) => DataRef::Int(*number),
        Data::Float(number) => DataRef::Float(*number),
        Data::Bool(truth) => DataRef::Bool(*truth),
        Data::DateTime(time) => DataRef::DateTime(*time),
        Data::Error(error) => DataRef::Error(error.clone()),
    }
}

fn in_rows(mut found: Vec<Found>, path: &Path) -> Result<Rows, ReadError> {
    // Most sheets are in order already; where a cell stands twice, the last counts.
    found.sort_by_key(|(row, column, _)| (*row, *column));
    let mut rows = Rows::default();
    let mut cells = 0_usize;
    for row in found.chunk_by(|a, b| a.0 == b.0) {
        let (number, width) = (row[0].0.saturating_add(1), row[row.len() - 1].1.saturating_add(1));
        cells += width as usize;
        if width > MOST_COLUMNS {
            let why =
                format!("row {number} has something in column {width}; a table has at most {MOST_COLUMNS} columns");
            return Err(ReadError::new(path, why));
        }
        if cells > MOST_CELLS {
            return Err(ReadError::new(path, format!("a sheet has more than {MOST_CELLS} cells")));
        }
        let mut line = vec![""; width as usize];
        row.iter().for_each(|(_, column, text)| line[*column as usize] = text);
        rows.push(number, line);
    }
    Ok(rows)
}
