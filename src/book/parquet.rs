//! A Parquet file as rows of text cells.

use super::rows::Rows;
use super::shield::shielded;
use super::workbook::decimal;
use super::{ReadError, guard};
use crate::base::{Date, Moment, numbered};
use polars::prelude::{AnyValue, ParquetReader, SerReader, TimeUnit, TimeZone};
use std::path::Path;

/// The rows of a Parquet file, its column names first.
pub fn rows(path: &Path) -> Result<Rows, ReadError> {
    rows_of(guard::bytes(path)?, path)
}

/// The same of bytes that were read already; the path is for messages.
pub fn rows_of(bytes: Vec<u8>, path: &Path) -> Result<Rows, ReadError> {
    shielded(path, || read(std::io::Cursor::new(bytes), path))
}

fn read(bytes: std::io::Cursor<Vec<u8>>, path: &Path) -> Result<Rows, ReadError> {
    let mut reader = ParquetReader::new(bytes);
    // A short file can stand for many rows.
    let told = |why: polars::prelude::PolarsError| ReadError::new(path, why);
    let columns = reader.schema().map_err(told)?.len();
    let cells = reader.num_rows().map_err(told)?.saturating_mul(columns);
    guard::sensible(cells, 0).map_err(|why| ReadError::new(path, why))?;
    let frame = reader.finish().map_err(|why| ReadError::new(path, why))?;
    let mut rows = Rows::default();
    rows.push(1, frame.get_column_names().iter().map(|name| name.as_str()));
    let mut letters = 0_usize;
    for row in 0..frame.height() {
        let values = frame.columns().iter().map(|column| column.get(row).map(|value| as_text(&value)));
        let cells: Vec<String> = values.collect::<Result<_, _>>().map_err(|why| ReadError::new(path, why))?;
        letters = letters.saturating_add(cells.iter().map(String::len).sum());
        guard::sensible(0, letters).map_err(|why| ReadError::new(path, why))?;
        rows.push(numbered(row + 2), cells.iter().map(String::as_str));
    }
    Ok(rows)
}

/// A value as the text that a CSV file would hold.
fn as_text(value: &AnyValue<'_>) -> String {
    match value {
        AnyValue::Null => String::new(),
        AnyValue::Boolean(truth) => if *truth { "yes" } else { "no" }.to_owned(),
        AnyValue::Float64(number) => decimal(*number),
        AnyValue::Float32(number) => decimal(f64::from(*number)),
        AnyValue::Date(days) => date(*days),
        AnyValue::Datetime(ticks, unit, zone) => zoned(moment(*ticks, *unit), *zone),
        AnyValue::DatetimeOwned(ticks, unit, zone) => zoned(moment(*ticks, *unit), zone.as_deref()),
        other => other.get_str().map_or_else(|| other.to_string(), str::to_owned),
    }
}

/// A date; one so far off that no book can mean it says how far, and is told as no date.
fn date(days: i32) -> String {
    let date = Date::from_days(days);
    if date.midnight().is_real() { date.to_string() } else { format!("{days} days after 1970-01-01") }
}

/// Times in a book are local: one that is kept in a time zone names it, and is told as none.
fn zoned(moment: String, zone: Option<&TimeZone>) -> String {
    zone.map_or_else(|| moment.clone(), |zone| format!("{moment} {zone}"))
}

/// A date and time to the nearest second, or a date alone at midnight.
fn moment(ticks: i64, unit: TimeUnit) -> String {
    let per_second: i64 = match unit {
        TimeUnit::Nanoseconds => 1_000_000_000,
        TimeUnit::Microseconds => 1_000_000,
        TimeUnit::Milliseconds => 1_000,
    };
    let (seconds, rest) = (ticks.div_euclid(per_second), ticks.rem_euclid(per_second));
    let moment = Moment::from_seconds(seconds + i64::from(rest * 2 >= per_second));
    if !moment.is_real() {
        return format!("{seconds} seconds after 1970-01-01");
    }
    if moment.time() == 0 { moment.date().to_string() } else { moment.to_string() }
}
