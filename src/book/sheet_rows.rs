//! A sheet's rows, cell by cell where its kind allows: what a sheet says of its size makes no room before there are cells.

use super::guard::{MOST_CELLS, MOST_COLUMNS, sensible};
use super::workbook::{Workbook, as_text, decimal};
use super::{ReadError, Rows};
use crate::base::numbered;
use calamine::{Data, DataRef, Reader, Sheets, Style};
use std::path::Path;

/// How the numbers of a sheet become text.
#[derive(Clone, Copy, Debug)]
pub struct Numbers {
    /// The decimal mark that text in the sheet has.
    pub mark: char,
    /// Whether a number that is shown as a percent gets its sign.
    pub percent: bool,
}

/// How a cell's format shows its number, where that is not the number itself.
enum Shown {
    /// As it is.
    Plain,
    /// With so many digits, zeros in front: a code.
    Digits(usize),
    /// As a percent.
    Percent,
}

impl Shown {
    fn of(style: &Style) -> Self {
        let Some(format) = &style.number_format else { return Self::Plain };
        let code = format.format_code.as_str();
        match format.format_id {
            // The formats that a workbook need not spell out (ECMA-376, part 1, 18.8.30).
            Some(9 | 10) => Self::Percent,
            _ if code.len() > 1 && code.bytes().all(|sign| sign == b'0') => Self::Digits(code.len()),
            _ if code.ends_with('%') => Self::Percent,
            _ => Self::Plain,
        }
    }

    /// The text of a number, where it is not shown as it is.
    fn text(&self, cell: &DataRef<'_>, how: Numbers) -> Option<String> {
        let number = match cell {
            DataRef::Float(number) => decimal(*number),
            DataRef::Int(number) => number.to_string(),
            _ => return None,
        };
        match self {
            Self::Digits(width) if number.bytes().all(|sign| sign.is_ascii_digit()) => {
                Some(format!("{number:0>width$}"))
            }
            Self::Percent if how.percent => {
                Some(percent(&number).replace('.', how.mark.encode_utf8(&mut [0; 4])) + "%")
            }
            _ => None,
        }
    }
}

/// A hundred times a plain decimal: `0.125` as `12.5`.
fn percent(number: &str) -> String {
    let (sign, digits) = number.strip_prefix('-').map_or(("", number), |digits| ("-", digits));
    let (whole, decimals) = digits.split_once('.').unwrap_or((digits, ""));
    let (hundreds, rest) = (format!("{decimals:0<2}"), decimals.get(2..).unwrap_or_default());
    let whole = format!("{whole}{}", &hundreds[..2]);
    let whole = whole.trim_start_matches('0');
    let whole = if whole.is_empty() { "0" } else { whole };
    if rest.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{rest}") }
}

/// A cell that holds something: row and column, counted from 0, and text.
type Found = (u32, u32, String);

/// The rows of a sheet that hold something.
pub fn rows(workbook: &mut Workbook, name: &str, how: Numbers, path: &Path) -> Result<Rows, ReadError> {
    let why = |why: calamine::Error| ReadError::new(path, format!("sheet {name}: {why}"));
    let mut found = Vec::new();
    let mut letters = 0_usize;
    let mut take = |row: u32, column: u32, cell: &DataRef<'_>| {
        let text = as_text(cell, how.mark);
        letters = letters.saturating_add(text.len());
        if !text.is_empty() {
            found.push((row, column, text));
        }
        sensible(found.len(), letters).map_err(|why| ReadError::new(path, format!("sheet {name}: {why}")))
    };
    match workbook {
        Sheets::Xlsx(book) => {
            let mut cells = book.worksheet_cells_reader(name).map_err(|e| why(e.into()))?;
            let shown: Vec<Shown> = cells.styles().iter().map(Shown::of).collect();
            while let Some((cell, style)) = cells.next_cell_with_style_id().map_err(|e| why(e.into()))? {
                let (row, column) = cell.get_position();
                match shown.get(style).and_then(|shown| shown.text(cell.get_value(), how)) {
                    Some(text) => take(row, column, &DataRef::String(text))?,
                    None => take(row, column, cell.get_value())?,
                }
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percents_are_a_hundred_times_the_number() {
        for (number, shown) in [
            ("0.125", "12.5"),
            ("0.05", "5"),
            ("1", "100"),
            ("0.005", "0.5"),
            ("-0.1", "-10"),
            ("0", "0"),
            ("2.5", "250"),
        ] {
            assert_eq!(percent(number), shown);
        }
    }
}
