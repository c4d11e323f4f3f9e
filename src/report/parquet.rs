//! Tables as Parquet, row group by row group: codes as dictionaries, times as timestamps, quantities as decimals with six
//! places.

use super::cells::{Column, GROUP};
use super::columns::Chunk;
use super::table::Table;
use super::tables::Rows;
use crate::plan::Plan;
use polars::io::parquet::write::BatchedWriter;
use polars::prelude::{DataFrame, IntoColumn, ParquetCompression, ParquetWriter, PolarsError, PolarsResult};
use std::io::Write;

/// A table on its way to a file.
pub struct Groups<W: Write> {
    columns: Vec<(&'static str, Column)>,
    rows: usize,
    writer: BatchedWriter<W>,
}

impl<W: Write> Groups<W> {
    /// With the lists of the plan as dictionaries.
    pub fn new(table: &Table, plan: &Plan<'_>, out: W) -> std::io::Result<Self> {
        Self::begin(table, plan, out).map_err(std::io::Error::other)
    }

    fn begin(table: &Table, plan: &Plan<'_>, out: W) -> PolarsResult<Self> {
        let columns = table.columns().map(|(name, kind)| Ok((name, Column::new(kind, plan)?)));
        let mut columns = columns.collect::<PolarsResult<_>>()?;
        let writer = ParquetWriter::new(out).with_compression(ParquetCompression::Snappy).set_parallel(false);
        let writer = writer.batched(taken(&mut columns)?.schema())?;
        Ok(Self { columns, rows: 0, writer })
    }

    fn add(&mut self, chunk: &Chunk) -> PolarsResult<()> {
        if self.rows + chunk.rows > GROUP {
            self.write()?;
        }
        self.rows += chunk.rows;
        for ((name, column), cells) in self.columns.iter_mut().zip(&chunk.columns) {
            if !column.extend(cells) {
                let why = format!("the column '{name}' holds something that is in no list of the plan");
                return Err(PolarsError::ComputeError(why.into()));
            }
        }
        Ok(())
    }

    fn write(&mut self) -> PolarsResult<()> {
        self.rows = 0;
        self.writer.write_batch(&taken(&mut self.columns)?)
    }
}

/// The rows so far; the next row group begins.
fn taken(columns: &mut Vec<(&'static str, Column)>) -> PolarsResult<DataFrame> {
    let columns = columns.iter_mut().map(|(name, column)| Ok(column.take(name)?.into_column()));
    DataFrame::new_infer_height(columns.collect::<PolarsResult<_>>()?)
}

impl<W: Write + Send> Rows for Groups<W> {
    fn take(&mut self, chunk: &Chunk) -> std::io::Result<()> {
        self.add(chunk).map_err(std::io::Error::other)
    }

    fn finish(&mut self) -> std::io::Result<()> {
        self.write().and_then(|()| self.writer.finish()).map(|_| ()).map_err(std::io::Error::other)
    }
}
