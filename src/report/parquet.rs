//! Tables as Parquet, batch by batch: codes as dictionaries, times as timestamps, quantities as decimals with six places.

use super::codes::Codes;
use super::table::{Kind, Table, Value};
use super::tables::Rows;
use crate::plan::Plan;
use polars::io::parquet::write::BatchedWriter;
use polars::prelude::{
    ChunkedBuilder, Column, DataFrame, DataType, Int32Type, Int64Type, Int128Type, IntoColumn, IntoSeries,
    ParquetCompression, ParquetWriter, PolarsResult, PrimitiveChunkedBuilder, Schema, Series, StringChunkedBuilder,
    TimeUnit, UInt32Type,
};
use std::borrow::Cow;
use std::io::Write;

/// Rows that are written at a time: one row group.
const BATCH: usize = 1 << 17;

/// One column of a batch while its rows come in.
enum Cells {
    Text(StringChunkedBuilder),
    Code(Codes, PrimitiveChunkedBuilder<UInt32Type>),
    Quantity(PrimitiveChunkedBuilder<Int128Type>),
    Moment(PrimitiveChunkedBuilder<Int64Type>),
    Date(PrimitiveChunkedBuilder<Int32Type>),
    Whole(PrimitiveChunkedBuilder<Int64Type>),
}

const MOMENT: DataType = DataType::Datetime(TimeUnit::Milliseconds, None);

impl Cells {
    fn new(name: &'static str, kind: Kind, plan: &Plan<'_>) -> PolarsResult<Self> {
        Ok(match kind {
            Kind::Text => Self::Text(StringChunkedBuilder::new(name.into(), BATCH)),
            Kind::Code(list) => {
                Self::Code(Codes::new(&list.of(plan))?, PrimitiveChunkedBuilder::new(name.into(), BATCH))
            }
            Kind::Quantity => Self::Quantity(PrimitiveChunkedBuilder::new(name.into(), BATCH)),
            Kind::Moment => Self::Moment(PrimitiveChunkedBuilder::new(name.into(), BATCH)),
            Kind::Date => Self::Date(PrimitiveChunkedBuilder::new(name.into(), BATCH)),
            Kind::Whole => Self::Whole(PrimitiveChunkedBuilder::new(name.into(), BATCH)),
        })
    }

    /// Adds a value; `false` for a code that the column's list does not have.
    fn push(&mut self, value: &Value<'_>) -> bool {
        match (self, value) {
            (Self::Text(cells), Value::Text(text)) => cells.append_value(text),
            (Self::Code(codes, cells), Value::Text(code)) => {
                let number = codes.number(code, matches!(code, Cow::Borrowed(_)));
                cells.append_option(number);
                return number.is_some();
            }
            (Self::Quantity(cells), Value::Quantity(qty)) => cells.append_value(i128::from(qty.millionths())),
            (Self::Moment(cells), Value::Moment(moment)) => cells.append_value(moment.seconds() * 1000),
            (Self::Date(cells), Value::Date(date)) => cells.append_value(date.days()),
            (Self::Whole(cells), Value::Whole(number)) => cells.append_value(*number),
            (Self::Text(cells), _) => cells.append_null(),
            (Self::Code(_, cells), _) => cells.append_null(),
            (Self::Quantity(cells), _) => cells.append_null(),
            (Self::Moment(cells) | Self::Whole(cells), _) => cells.append_null(),
            (Self::Date(cells), _) => cells.append_null(),
        }
        true
    }

    /// The cells so far as a column; the next batch begins.
    fn take(&mut self, name: &'static str) -> PolarsResult<Column> {
        fn taken<B>(cells: &mut B, fresh: B) -> B {
            std::mem::replace(cells, fresh)
        }
        let series: Series = match self {
            Self::Text(cells) => taken(cells, StringChunkedBuilder::new(name.into(), BATCH)).finish().into_series(),
            Self::Code(codes, cells) => {
                codes.column(&taken(cells, PrimitiveChunkedBuilder::new(name.into(), BATCH)).finish())
            }
            Self::Whole(cells) => taken(cells, PrimitiveChunkedBuilder::new(name.into(), BATCH)).finish().into_series(),
            Self::Moment(cells) => {
                taken(cells, PrimitiveChunkedBuilder::new(name.into(), BATCH)).finish().into_series().cast(&MOMENT)?
            }
            Self::Date(cells) => {
                let days = taken(cells, PrimitiveChunkedBuilder::new(name.into(), BATCH)).finish();
                days.into_series().cast(&DataType::Date)?
            }
            Self::Quantity(cells) => {
                let millionths = taken(cells, PrimitiveChunkedBuilder::new(name.into(), BATCH)).finish();
                millionths.into_decimal_unchecked(38, 6).into_series()
            }
        };
        Ok(series.into_column())
    }
}

/// A table on its way to a file.
pub struct Batches<W: Write> {
    columns: &'static [(&'static str, Kind)],
    cells: Vec<Cells>,
    rows: usize,
    writer: BatchedWriter<W>,
}

impl<W: Write> Batches<W> {
    fn begin(table: &Table, plan: &Plan<'_>, out: W) -> PolarsResult<Self> {
        let cells = table.columns.iter().map(|(name, kind)| Cells::new(name, *kind, plan));
        let mut cells: Vec<Cells> = cells.collect::<PolarsResult<_>>()?;
        let empty = frame(table.columns, &mut cells)?;
        let schema: &Schema = empty.schema();
        let writer = ParquetWriter::new(out).with_compression(ParquetCompression::Snappy).batched(schema)?;
        Ok(Self { columns: table.columns, cells, rows: 0, writer })
    }

    fn take(&mut self, row: &[Value<'_>]) -> PolarsResult<()> {
        for (cells, value) in self.cells.iter_mut().zip(row) {
            if !cells.push(value) {
                let why = format!("a table holds {value:?}, which is in no list of the plan");
                return Err(polars::prelude::PolarsError::ComputeError(why.into()));
            }
        }
        self.rows += 1;
        if self.rows == BATCH { self.write() } else { Ok(()) }
    }

    fn write(&mut self) -> PolarsResult<()> {
        self.rows = 0;
        let frame = frame(self.columns, &mut self.cells)?;
        self.writer.write_batch(&frame)
    }
}

fn frame(columns: &[(&'static str, Kind)], cells: &mut [Cells]) -> PolarsResult<DataFrame> {
    let columns = columns.iter().zip(cells).map(|((name, _), cells)| cells.take(name));
    DataFrame::new_infer_height(columns.collect::<PolarsResult<_>>()?)
}

impl<W: Write> Batches<W> {
    /// With the lists of the plan as dictionaries.
    pub fn new(table: &Table, plan: &Plan<'_>, out: W) -> std::io::Result<Self> {
        Self::begin(table, plan, out).map_err(std::io::Error::other)
    }
}

impl<W: Write> Rows for Batches<W> {
    fn push(&mut self, row: &[Value<'_>]) -> std::io::Result<()> {
        self.take(row).map_err(std::io::Error::other)
    }

    fn finish(&mut self) -> std::io::Result<()> {
        self.write().and_then(|()| self.writer.finish()).map(|_| ()).map_err(std::io::Error::other)
    }
}
