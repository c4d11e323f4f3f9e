//! A Parquet file as rows of text cells.

use super::raw::RawRow;
use super::shield::shielded;
use super::workbook::decimal;
use super::{ReadError, guard};
use crate::base::{Date, Moment};
use csv::StringRecord;
use polars::prelude::{AnyValue, ParquetReader, SerReader, TimeUnit};
use std::path::Path;

/// The rows of a Parquet file, its column names first.
pub fn rows(path: &Path) -> Result<Vec<RawRow>, ReadError> {
    let bytes = std::io::Cursor::new(guard::bytes(path)?);
    shielded(path, || read(bytes, path))
}

fn read(bytes: std::io::Cursor<Vec<u8>>, path: &Path) -> Result<Vec<RawRow>, ReadError> {
    let frame = ParquetReader::new(bytes).finish().map_err(|why| ReadError::new(path, why))?;
    let headings: StringRecord = frame.get_column_names().iter().map(|name| name.as_str()).collect();
    let mut rows = vec![RawRow { number: 1, cells: headings }];
    for row in 0..frame.height() {
        let mut cells = StringRecord::new();
        for column in frame.columns() {
            let value = column.get(row).map_err(|why| ReadError::new(path, why))?;
            cells.push_field(&as_text(&value));
        }
        rows.push(RawRow { number: row as u32 + 2, cells });
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
        AnyValue::Date(days) => Date::from_days(*days).to_string(),
        AnyValue::Datetime(ticks, unit, _) => moment(*ticks, *unit),
        AnyValue::DatetimeOwned(ticks, unit, _) => moment(*ticks, *unit),
        other => other.get_str().map_or_else(|| other.to_string(), str::to_owned),
    }
}

fn moment(ticks: i64, unit: TimeUnit) -> String {
    let per_second = match unit {
        TimeUnit::Nanoseconds => 1_000_000_000,
        TimeUnit::Microseconds => 1_000_000,
        TimeUnit::Milliseconds => 1_000,
    };
    let moment = Moment::from_seconds((ticks + per_second / 2).div_euclid(per_second));
    if moment.time() == 0 { moment.date().to_string() } else { moment.to_string() }
}
