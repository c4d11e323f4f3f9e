//! Tables to one workbook.

use crate::tables::Table;
use crate::tune::TIMES_AS_TEXT;
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, Workbook, Worksheet, XlsxError};
use std::path::Path;

/// Columns whose cells are text whatever they look like.
const TEXT_COLUMNS: [&str; 8] = ["unit", "part", "parent", "description", "name", "options", "wave", "reason"];

struct Formats {
    head: Format,
    date: Format,
    moment: Format,
    time: Format,
}

/// One workbook with a sheet for each table; its creation date is fixed so that two runs give the same bytes, on any system.
pub fn workbook(tables: &[Table], path: &Path) -> Result<(), XlsxError> {
    let formats = Formats {
        head: Format::new().set_bold(),
        date: Format::new().set_num_format("yyyy-mm-dd"),
        moment: Format::new().set_num_format("yyyy-mm-dd hh:mm"),
        time: Format::new().set_num_format("hh:mm"),
    };
    let mut workbook = Workbook::new();
    let made = ExcelDateTime::from_ymd(2027, 9, 13)?.and_hms(14, 30, 0)?;
    workbook.set_properties(&DocProperties::new().set_title("Alder Fen Works").set_creation_datetime(&made));
    for table in tables {
        sheet(workbook.add_worksheet(), table, &formats)?;
    }
    std::fs::write(path, lineward::report::made_alike(workbook.save_to_buffer()?))?;
    Ok(())
}

fn sheet(sheet: &mut Worksheet, table: &Table, formats: &Formats) -> Result<(), XlsxError> {
    sheet.set_name(table.name)?.set_freeze_panes(1, 0)?;
    for (column, head) in (0u16..).zip(&table.head) {
        sheet.write_string_with_format(0, column, *head, &formats.head)?;
        let cells = table.rows.iter().map(|row| row[usize::from(column)].chars().count());
        let wide = cells.max().unwrap_or(0).max(head.len()).clamp(6, 46);
        sheet.set_column_width(column, wide as f64 + 2.0)?;
        let is_text = TEXT_COLUMNS.contains(head);
        for (row, cells) in (1u32..).zip(&table.rows) {
            cell(sheet, (row, column), &cells[usize::from(column)], is_text, formats)?;
        }
    }
    Ok(())
}

/// Writes a cell as what its text looks like: a date, a moment, a time, a number, or text.
fn cell(to: &mut Worksheet, at: (u32, u16), text: &str, is_text: bool, formats: &Formats) -> Result<(), XlsxError> {
    let (row, column) = at;
    if text.is_empty() {
        return Ok(());
    }
    let shape: String = text.chars().map(|c| if c.is_ascii_digit() { '0' } else { c }).collect();
    match shape.as_str() {
        _ if is_text => to.write_string(row, column, text)?,
        "0000-00-00" => to.write_with_format(row, column, ExcelDateTime::parse_from_str(text)?, &formats.date)?,
        "0000-00-00 00:00" => {
            let moment = ExcelDateTime::parse_from_str(&text.replace(' ', "T"))?;
            to.write_with_format(row, column, moment, &formats.moment)?
        }
        "00:00" if !TIMES_AS_TEXT => {
            to.write_with_format(row, column, ExcelDateTime::parse_from_str(text)?, &formats.time)?
        }
        _ => match text.parse::<f64>() {
            Ok(number) if number.is_finite() => to.write_number(row, column, number)?,
            _ => to.write_string(row, column, text)?,
        },
    };
    Ok(())
}
