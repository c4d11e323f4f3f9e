//! Tables as Parquet: codes as text in dictionaries, times as timestamps, quantities as decimals with six places.

use super::table::{Kind, Table, Value};
use crate::plan::Plan;
use polars::prelude::{
    Column, DataFrame, DataType, IntoColumn, NamedFrom, ParquetCompression, ParquetWriter, PolarsResult, Series,
    TimeUnit,
};
use std::io::Write;

/// One column while its rows come in.
enum Cells {
    Text(Vec<Option<String>>),
    Quantity(Vec<Option<i128>>),
    Moment(Vec<Option<i64>>),
    Date(Vec<Option<i32>>),
    Whole(Vec<Option<i64>>),
}

impl Cells {
    fn new(kind: Kind) -> Self {
        match kind {
            Kind::Text => Self::Text(Vec::new()),
            Kind::Quantity => Self::Quantity(Vec::new()),
            Kind::Moment => Self::Moment(Vec::new()),
            Kind::Date => Self::Date(Vec::new()),
            Kind::Whole => Self::Whole(Vec::new()),
        }
    }

    fn push(&mut self, value: &Value<'_>) {
        match (self, value) {
            (Self::Text(cells), Value::Text(text)) => cells.push(Some(text.to_string())),
            (Self::Quantity(cells), Value::Quantity(q)) => cells.push(Some(i128::from(q.millionths()))),
            (Self::Moment(cells), Value::Moment(moment)) => cells.push(Some(moment.seconds() * 1000)),
            (Self::Date(cells), Value::Date(date)) => cells.push(Some(date.days())),
            (Self::Whole(cells), Value::Whole(number)) => cells.push(Some(*number)),
            (Self::Text(cells), _) => cells.push(None),
            (Self::Quantity(cells), _) => cells.push(None),
            (Self::Moment(cells) | Self::Whole(cells), _) => cells.push(None),
            (Self::Date(cells), _) => cells.push(None),
        }
    }

    fn finish(self, name: &str) -> PolarsResult<Column> {
        let series = match self {
            Self::Text(cells) => Series::new(name.into(), cells),
            Self::Whole(cells) => Series::new(name.into(), cells),
            Self::Moment(cells) => {
                Series::new(name.into(), cells).cast(&DataType::Datetime(TimeUnit::Milliseconds, None))?
            }
            Self::Date(cells) => Series::new(name.into(), cells).cast(&DataType::Date)?,
            Self::Quantity(cells) => {
                use polars::prelude::{Int128Chunked, IntoSeries, NewChunkedArray};
                let whole = Int128Chunked::from_iter_options(name.into(), cells.into_iter());
                whole.into_decimal_unchecked(38, 6).into_series()
            }
        };
        Ok(series.into_column())
    }
}

/// Writes a table.
///
/// # Errors
/// Where the data-frame library or the writer fails.
pub fn to_parquet(table: &Table, plan: &Plan<'_>, out: &mut dyn Write) -> std::io::Result<()> {
    let mut cells: Vec<Cells> = table.columns.iter().map(|(_, kind)| Cells::new(*kind)).collect();
    table.each_row(plan, &mut |row| cells.iter_mut().zip(row).for_each(|(column, value)| column.push(value)));
    let columns = table.columns.iter().zip(cells).map(|((name, _), cells)| cells.finish(name));
    let write = || -> PolarsResult<u64> {
        let mut frame = DataFrame::new_infer_height(columns.collect::<PolarsResult<_>>()?)?;
        ParquetWriter::new(out).with_compression(ParquetCompression::Snappy).finish(&mut frame)
    };
    write().map(|_| ()).map_err(std::io::Error::other)
}
