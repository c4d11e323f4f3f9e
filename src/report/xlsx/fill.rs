//! The cells of a sheet. The writer looks a format up by all that it says, which costs more than all else about a cell: so it is
//! told one format for a run of cells below each other.

use super::super::sheet::{Cell, Sheet, Style};
use super::super::table::Value;
use super::formats::Formats;
use rust_xlsxwriter as xl;

/// Cells below each other that look alike.
#[derive(Clone, Copy)]
struct Run {
    style: Style,
    first: u32,
    last: u32,
}

/// A sheet being filled.
struct Filling<'f, 'p> {
    sheet: &'f Sheet<'p>,
    page: &'f mut xl::Worksheet,
    formats: Formats,
    /// The open run of each column.
    runs: Vec<Option<Run>>,
    /// The columns that something stands in so far.
    columns: u16,
    last_row: u32,
}

/// Writes all rows.
pub(super) fn fill(page: &mut xl::Worksheet, sheet: &Sheet<'_>) -> Result<(), xl::XlsxError> {
    let last_row = sheet.next_row().saturating_sub(1);
    let mut filling = Filling { sheet, page, formats: Formats::default(), runs: Vec::new(), columns: 0, last_row };
    for (row, number) in sheet.rows.iter().zip(0_u32..) {
        if let Some(height) = row.height {
            filling.page.set_row_height(number, height)?;
        }
        row.cells.iter().try_for_each(|cell| filling.write(number, cell))?;
    }
    (0..filling.runs.len()).try_for_each(|column| filling.end(column))
}

impl Filling<'_, '_> {
    fn write(&mut self, row: u32, cell: &Cell<'_>) -> Result<(), xl::XlsxError> {
        let column = cell.column;
        if self.sheet.merged(cell) {
            let format = self.formats.of(cell.style());
            self.page.merge_range(row, column, row, column + cell.span - 1, "", format)?;
        }
        match &cell.value {
            // The run makes it; but for where it shows how far the sheet reaches.
            Value::Blank if column < self.columns && row < self.last_row => {}
            Value::Blank => _ = self.page.write_blank(row, column, self.formats.of(cell.style()))?,
            // Always text, whatever it starts with; never a formula.
            Value::Text(text) => _ = self.page.write_string(row, column, text.as_ref())?,
            Value::Quantity(quantity) => _ = self.page.write_number(row, column, quantity.to_cell())?,
            Value::Whole(number) => _ = self.page.write_number(row, column, *number as f64)?,
            Value::Moment(moment) => {
                let format = self.formats.of(cell.style());
                self.page.write_datetime_with_format(row, column, moment.to_chrono(), format)?;
            }
            Value::Date(date) => {
                let format = self.formats.of(cell.style());
                self.page.write_datetime_with_format(row, column, date.to_chrono(), format)?;
            }
        }
        self.columns = self.columns.max(column + cell.span.max(1));
        self.extend(row, cell)
    }

    /// Takes a cell into the run of its column, or ends that and begins another.
    fn extend(&mut self, row: u32, cell: &Cell<'_>) -> Result<(), xl::XlsxError> {
        let (column, style) = (usize::from(cell.column), cell.style());
        if self.runs.len() <= column {
            self.runs.resize(column + 1, None);
        }
        match &mut self.runs[column] {
            Some(run) if run.style == style && run.last + 1 == row => run.last = row,
            _ => {
                self.end(column)?;
                self.runs[column] = Some(Run { style, first: row, last: row });
            }
        }
        Ok(())
    }

    fn end(&mut self, column: usize) -> Result<(), xl::XlsxError> {
        let Some(run) = self.runs[column].take() else { return Ok(()) };
        let (format, at) = (self.formats.of(run.style), column as u16);
        self.page.set_range_format(run.first, at, run.last, at, format)?;
        Ok(())
    }
}
