//! The cells of a sheet, row by row.
//!
//! The writer looks a format up by all that it says, which costs more than all else about a cell. On a sheet that is
//! streamed, a cell without a format takes that of its column when its row is finished: so columns are told what comes next
//! in them, and only cells that look otherwise say so themselves.

use super::super::sheet::{Cell, Sheet, Spans, Style};
use super::formats::Formats;
use super::parts;
use super::texts::in_cell;
use crate::report::table::Value;
use rust_xlsxwriter::{self as xl, IntoExcelDateTime};
use std::borrow::Cow;

/// How the cells of a column look.
#[derive(Clone, Copy, Default)]
struct Column {
    /// Those that say nothing.
    told: Option<Style>,
    /// The last one that did say.
    said: Option<Style>,
}

/// A sheet being filled.
struct Filling<'f, 'p> {
    sheet: &'f Sheet<'p>,
    page: &'f mut xl::Worksheet,
    formats: Formats,
    columns: Vec<Column>,
    /// Cells in rows before this one need not say how they look; the last row is finished only when the file is.
    untold_before: u32,
}

/// Writes all rows, and the headings of real tables with theirs.
pub(super) fn fill(page: &mut xl::Worksheet, sheet: &Sheet<'_>, streamed: bool) -> Result<(), xl::XlsxError> {
    let last = sheet.rows.iter().rposition(|row| !row.cells.is_empty());
    let untold_before = last.filter(|_| streamed).unwrap_or_default() as u32;
    let mut filling = Filling { sheet, page, formats: Formats::default(), columns: Vec::new(), untold_before };
    let mut tables = sheet.tables.iter().peekable();
    for (row, number) in sheet.rows.iter().zip(0_u32..) {
        if let Some(height) = row.height {
            filling.page.set_row_height(number, height)?;
        }
        filling.row(number, &row.cells)?;
        if let Some(table) = tables.next_if(|table| table.heading == number) {
            parts::add_table(filling.page, table)?;
        }
    }
    filling.forget()
}

impl Filling<'_, '_> {
    /// Adds a row of cells. The row before is finished when the first has begun.
    fn row(&mut self, row: u32, cells: &[Cell<'_>]) -> Result<(), xl::XlsxError> {
        for (at, cell) in cells.iter().enumerate() {
            match self.sheet.spans(cell) {
                Spans::Merged => self.merge(row, cell)?,
                spans => {
                    let mut value = &cell.value;
                    for (column, style) in cell.places(spans) {
                        self.add(row, column, value, style, at > 0 || column > cell.column)?;
                        value = &Value::Blank;
                    }
                }
            }
        }
        Ok(())
    }

    /// A cell that takes the place of those that it spans.
    fn merge(&mut self, row: u32, cell: &Cell<'_>) -> Result<(), xl::XlsxError> {
        let (format, last) = (self.formats.of(cell.style()), cell.column + cell.span - 1);
        if let Content::Text(text) = content(&cell.value) {
            self.page.merge_range(row, cell.column, row, last, &text, format)?;
            return Ok(());
        }
        self.page.merge_range(row, cell.column, row, last, "", format)?;
        write(self.page, row, cell.column, &cell.value, Some(format))
    }

    /// Adds a cell.
    fn add(
        &mut self,
        row: u32,
        column: u16,
        value: &Value<'_>,
        style: Style,
        begun: bool,
    ) -> Result<(), xl::XlsxError> {
        let says = row >= self.untold_before || self.says(column, style, begun)? || *value == Value::Blank;
        write(self.page, row, column, value, says.then(|| self.formats.of(style)))
    }

    /// Whether a cell must say how it looks; not where its column says the same, or can be told so.
    fn says(&mut self, column: u16, style: Style, begun: bool) -> Result<bool, xl::XlsxError> {
        let at = usize::from(column);
        if self.columns.len() <= at {
            self.columns.resize(at + 1, Column::default());
        }
        let known = &mut self.columns[at];
        let again = known.said.replace(style) == Some(style);
        if known.told != Some(style) && again && begun {
            known.told = Some(style);
            self.page.set_column_format(column, self.formats.of(style))?;
        }
        Ok(known.told != Some(style))
    }

    /// Lets the columns look like those of any sheet: beyond its rows a sheet is empty.
    fn forget(self) -> Result<(), xl::XlsxError> {
        let told = self.columns.iter().zip(0..).filter(|(column, _)| column.told.is_some());
        told.map(|(_, at)| at).try_for_each(|at| self.page.set_column_format(at, &super::plain()).map(|_| ()))
    }
}

/// Writes a cell's value; without a format it looks as its column does.
fn write(
    page: &mut xl::Worksheet,
    row: u32,
    column: u16,
    value: &Value<'_>,
    format: Option<&xl::Format>,
) -> Result<(), xl::XlsxError> {
    match (content(value), format) {
        (Content::Nothing, Some(format)) => page.write_blank(row, column, format),
        (Content::Nothing, None) => Ok(page),
        // Always text, whatever it starts with; never a formula.
        (Content::Text(text), Some(format)) => page.write_string_with_format(row, column, text, format),
        (Content::Text(text), None) => page.write_string(row, column, text),
        (Content::Number(number), Some(format)) => page.write_number_with_format(row, column, number, format),
        (Content::Number(number), None) => page.write_number(row, column, number),
    }?;
    Ok(())
}

/// A value as a spreadsheet holds it.
enum Content<'v> {
    Nothing,
    Text(Cow<'v, str>),
    Number(f64),
}

fn content<'v>(value: &'v Value<'_>) -> Content<'v> {
    match value {
        Value::Blank => Content::Nothing,
        Value::Text(text) => Content::Text(in_cell(text)),
        Value::Quantity(quantity) => Content::Number(quantity.to_cell()),
        Value::Total(total) => Content::Number(total.to_cell()),
        Value::Whole(number) => Content::Number(*number as f64),
        Value::Moment(moment) => Content::Number(moment.to_chrono().to_excel_serial_date()),
        Value::Date(date) => Content::Number(date.to_chrono().to_excel_serial_date()),
    }
}
