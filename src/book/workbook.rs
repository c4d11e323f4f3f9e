//! A workbook as a book: a sheet for each table, walked with absolute positions.

use super::kinds::HIDDEN_SHEET;
use super::layout::Ways;
use super::raw::Origin;
use super::sheet_rows::Numbers;
use super::shield::shielded;
use super::spec::{TableSpec, plain_name};
use super::{Book, ReadError, Rows, file_name, guard, sheet_rows};
use crate::base::{Finding, MustBe, Place};
use calamine::{DataRef, ExcelDateTime, Ods, Reader, SheetVisible, Sheets, Xls, Xlsb, Xlsx};
use chrono::{NaiveDate, NaiveDateTime, NaiveTime, TimeDelta};
use std::io::Cursor;
use std::path::Path;
use std::sync::Arc;

/// A workbook of whichever kind, in memory.
pub type Workbook = Sheets<Cursor<Vec<u8>>>;

/// Opens a workbook and reads the sheets that are tables of the book.
pub fn open(path: &Path, ways: &Ways) -> Result<Book, ReadError> {
    from_bytes(guard::workbook(path)?, path, ways)
}

/// The book that the bytes of a workbook hold; the path is for messages and for the kind of workbook.
pub fn from_bytes(bytes: Vec<u8>, path: &Path, ways: &Ways) -> Result<Book, ReadError> {
    let file = file_name(path);
    let mut book = Book::new(Arc::clone(&file));
    book.files.push(path.to_path_buf());
    let mut workbook = shielded(path, || opened(bytes, path))?;
    let shown: Vec<(String, bool)> = workbook
        .sheets_metadata()
        .iter()
        .map(|sheet| (sheet.name.clone(), sheet.visible == SheetVisible::Visible))
        .collect();
    for name in workbook.sheet_names() {
        let sheet: Arc<str> = name.as_str().into();
        let Some(spec) = book.claim(&name, &file, Some(&sheet)) else { continue };
        if shown.iter().any(|(known, visible)| *known == name && !visible) {
            let place = Place {
                table: spec.name,
                file: Arc::clone(&file),
                sheet: Some(Arc::clone(&sheet)),
                ..Place::default()
            };
            book.findings.add(Finding::new(
                &HIDDEN_SHEET,
                place,
                "",
                "this sheet is hidden; it is read like any other",
            ));
        }
        let rows = shielded(path, || sheet_rows::rows(&mut workbook, &name, ways.numbers(), path));
        match rows {
            Ok(rows) => {
                let origin = Origin { file: Arc::clone(&file), sheet: Some(sheet) };
                book.add_laid_out(spec, origin, rows, &ways.layout());
            }
            Err(why) => {
                let place = Place { table: spec.name, file: Arc::clone(&file), sheet: Some(sheet), ..Place::default() };
                book.fail(spec, place, &why);
            }
        }
    }
    Ok(book)
}

/// A workbook whose tables can be read, of the kind its name says.
fn opened(bytes: Vec<u8>, path: &Path) -> Result<Workbook, ReadError> {
    let bytes = Cursor::new(bytes);
    let kind = |why: calamine::Error| ReadError::new(path, why);
    Ok(match super::extension(path).as_str() {
        "xls" => Sheets::Xls(Xls::new(bytes).map_err(|why| kind(why.into()))?),
        "xlsb" => Sheets::Xlsb(Xlsb::new(bytes).map_err(|why| kind(why.into()))?),
        "ods" => Sheets::Ods(Ods::new(bytes).map_err(|why| kind(why.into()))?),
        _ => Sheets::Xlsx(Xlsx::new(bytes).map_err(|why| kind(why.into()))?),
    })
}

/// The rows of one sheet: the named one, or the one that has the table's name, or the only one; and its name.
pub fn sheet(
    path: &Path,
    named: Option<&str>,
    table: &TableSpec,
    numbers: Numbers,
) -> Result<(Arc<str>, Rows), ReadError> {
    let bytes = guard::workbook(path)?;
    let mut workbook = shielded(path, || opened(bytes, path))?;
    let names = workbook.sheet_names();
    let wanted = plain_name(named.unwrap_or(table.name));
    let found = names.iter().find(|name| plain_name(name) == wanted);
    let only = names.first().filter(|_| names.len() == 1 && named.is_none());
    let Some(name) = found.or(only) else {
        let why = format!("it has no sheet '{}'; its sheets are: {}", named.unwrap_or(table.name), names.join(", "));
        return Err(ReadError::new(path, why));
    };
    let rows = shielded(path, || sheet_rows::rows(&mut workbook, name, numbers, path))?;
    Ok((name.as_str().into(), rows))
}

/// The sheets of a workbook, with their rows.
pub fn sheets(path: &Path) -> Result<Vec<(Arc<str>, Rows)>, ReadError> {
    let bytes = guard::workbook(path)?;
    let mut workbook = shielded(path, || opened(bytes, path))?;
    let numbers = Ways::default().numbers();
    let names = workbook.sheet_names().into_iter();
    let read = |name: String| {
        let rows = shielded(path, || sheet_rows::rows(&mut workbook, &name, numbers, path))?;
        Ok((name.into(), rows))
    };
    names.map(read).collect()
}

/// A cell as the text that a CSV file would hold.
pub fn as_text(cell: &DataRef<'_>, mark: char) -> String {
    match cell {
        DataRef::Empty => String::new(),
        DataRef::String(text) | DataRef::DateTimeIso(text) => text.clone(),
        DataRef::SharedString(text) => (*text).to_owned(),
        DataRef::DurationIso(text) => iso_duration(text).unwrap_or_else(|| text.clone()),
        DataRef::Int(number) => number.to_string(),
        DataRef::Float(number) => decimal(*number).replace('.', mark.encode_utf8(&mut [0; 4])),
        DataRef::Bool(truth) => if *truth { "yes" } else { "no" }.to_owned(),
        DataRef::DateTime(time) => date_or_time(time),
        DataRef::Error(error) => error.to_string(),
    }
}

/// `PT06H30M00S` as `06:30:00`.
fn iso_duration(text: &str) -> Option<String> {
    let (hours, rest) = text.strip_prefix("PT")?.split_once('H')?;
    let (minutes, rest) = rest.split_once('M')?;
    let seconds = rest.strip_suffix('S')?.split('.').next()?;
    Some(format!("{hours:0>2}:{minutes:0>2}:{seconds:0>2}"))
}

/// The decimal of at most 15 significant digits that is nearest to a spreadsheet's number, without an exponent.
pub fn decimal(number: f64) -> String {
    if !number.is_finite() {
        return number.to_string();
    }
    let scientific = format!("{:.14e}", number.abs());
    let (mantissa, exponent) = scientific.split_once('e').must("a scientific number has no exponent");
    let exponent: i32 = exponent.parse().must("an exponent is no number");
    let digits: String = mantissa.chars().filter(char::is_ascii_digit).collect();
    let digits = digits.trim_end_matches('0');
    let sign = if number < 0.0 && !digits.is_empty() { "-" } else { "" };
    let point = exponent + 1;
    let plain = match usize::try_from(point) {
        _ if digits.is_empty() => "0".to_owned(),
        Ok(whole) if whole >= digits.len() => format!("{digits}{}", "0".repeat(whole - digits.len())),
        Ok(whole) if whole > 0 => format!("{}.{}", &digits[..whole], &digits[whole..]),
        _ => format!("0.{}{digits}", "0".repeat(point.unsigned_abs() as usize)),
    };
    format!("{sign}{plain}")
}

/// `YYYY-MM-DD`, with a time where there is one, or a time of day alone.
fn date_or_time(time: &ExcelDateTime) -> String {
    let value = time.as_f64();
    if time.is_duration() || (0.0..1.0).contains(&value) {
        return clock(value);
    }
    let Some(moment) = whole_second(time) else { return decimal(value) };
    let form = if moment.time() == NaiveTime::MIN { "%Y-%m-%d" } else { "%Y-%m-%dT%H:%M:%S" };
    moment.format(form).to_string()
}

/// Spreadsheets hold a second as a binary fraction of a day: take the nearest whole second.
fn whole_second(time: &ExcelDateTime) -> Option<NaiveDateTime> {
    let (year, month, day, hour, minute, second, milli) = time.to_ymd_hms_milli();
    let date = NaiveDate::from_ymd_opt(year.into(), month.into(), day.into())?;
    let moment = date.and_hms_opt(hour.into(), minute.into(), second.into())?;
    moment.checked_add_signed(TimeDelta::seconds(i64::from(milli >= 500)))
}

#[expect(
    clippy::float_arithmetic,
    clippy::cast_possible_truncation,
    reason = "a spreadsheet holds times as fractions of a day"
)]
fn clock(value: f64) -> String {
    let seconds = (value * 86_400.0).round() as i64;
    format!("{:02}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_the_nearest_decimal_of_fifteen_digits() {
        let cases = [
            (8001.0, "8001"),
            (0.1 + 0.2, "0.3"),
            (-31.5, "-31.5"),
            (1e15, "1000000000000000"),
            (0.000123, "0.000123"),
            (0.0, "0"),
            (123_456_789.123_456_7, "123456789.123457"),
            (1.005, "1.005"),
            (1e-7, "0.0000001"),
            (9.999_999_999_999_999_9, "10"),
        ];
        for (number, text) in cases {
            assert_eq!(decimal(number), text);
        }
    }
}
