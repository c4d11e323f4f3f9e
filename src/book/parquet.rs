//! A Parquet file as rows of text cells.

use super::rows::Rows;
use super::shield::shielded;
use super::workbook::decimal;
use super::{ReadError, guard};
use crate::base::{Date, Moment};
use polars::prelude::{AnyValue, ParquetReader, SerReader, TimeUnit};
use std::path::Path;

/// The rows of a Parquet file, its column names first.
pub fn rows(path: &Path) -> Result<Rows, ReadError> {
    let bytes = std::io::Cursor::new(guard::bytes(path)?);
    shielded(path, || read(bytes, path))
}

fn read(bytes: std::io::Cursor<Vec<u8>>, path: &Path) -> Result<Rows, ReadError> {
    let frame = ParquetReader::new(bytes).finish().map_err(|why| ReadError::new(path, why))?;
    let mut rows = Rows::default();
    rows.push(1, frame.get_column_names().iter().map(|name| name.as_str()));
    for row in 0..frame.height() {
        let values = frame.columns().iter().map(|column| column.get(row).map(|value| as_text(&value)));
        let cells: Vec<String> = values.collect::<Result<_, _>>().map_err(|why| ReadError::new(path, why))?;
        rows.push(row as u32 + 2, cells.iter().map(String::as_str));
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
