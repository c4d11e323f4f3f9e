//! Tables as Parquet, row group by row group: codes as dictionaries, times as timestamps, quantities as decimals with six
//! places. Each column is encoded by itself, so that all columns of all tables can be encoded side by side.

mod column;
mod keys;
mod listed;
mod numbers;
mod packing;
mod pages;

use super::table::Table;
use super::tables::{Hand, Rows};
use crate::plan::Plan;
use column::Column;
use polars::io::parquet::write::BatchedWriter;
use polars::prelude::{ParquetCompression, ParquetWriter, PlSmallStr, PolarsResult, Schema};
use polars_parquet::write::CompressedPage;
use std::io::{Error, Result, Write};

/// Rows of a row group, at most.
const GROUP: usize = 1 << 17;

/// A table on its way to a file.
pub struct Groups<W: Write> {
    columns: Vec<Column>,
    writer: BatchedWriter<W>,
}

impl<W: Write> Groups<W> {
    /// With the lists of the plan as dictionaries.
    pub fn new(table: &Table, plan: &Plan<'_>, out: W) -> Result<Self> {
        Self::begin(table, plan, out).map_err(Error::other)
    }

    fn begin(table: &Table, plan: &Plan<'_>, out: W) -> PolarsResult<Self> {
        let lists: Vec<_> = table.columns().map(|(_, kind)| column::list(kind, plan)).collect();
        let types = table.columns().zip(&lists).map(|((name, kind), list)| {
            Ok((PlSmallStr::from_static(name), column::dtype(kind, list)?))
        });
        let schema = types.collect::<PolarsResult<Schema>>()?;
        let writer = ParquetWriter::new(out).with_compression(ParquetCompression::Uncompressed);
        let mut writer = writer.batched(&schema)?;
        let described = writer.parquet_schema().columns().iter().map(|column| column.descriptor.clone());
        let columns = table.columns().zip(lists).zip(described).enumerate();
        let columns = columns.map(|(at, (((name, kind), list), described))| Column::new(at, name, kind, &list, described));
        Ok(Self { columns: columns.collect(), writer })
    }
}

impl<W: Write + Send> Rows for Groups<W> {
    fn hands(&mut self) -> Vec<&mut dyn Hand> {
        self.columns.iter_mut().map(|column| column as &mut dyn Hand).collect()
    }

    /// Writes the row groups that are full: every column has had the same rows.
    fn settle(&mut self) -> Result<()> {
        let columns = self.columns.iter_mut().map(Column::done).collect::<Result<Vec<_>>>()?;
        let mut columns: Vec<_> = columns.into_iter().map(Vec::into_iter).collect();
        loop {
            let group: Vec<(usize, Vec<CompressedPage>)> = columns.iter_mut().filter_map(Iterator::next).collect();
            let Some((rows, _)) = group.first() else { return Ok(()) };
            let (rows, pages): (u64, Vec<_>) = (*rows as u64, group.into_iter().map(|(_, pages)| pages).collect());
            self.writer.write_row_group(rows, &pages).map_err(Error::other)?;
        }
    }

    fn finish(&mut self) -> Result<()> {
        self.columns.iter_mut().for_each(Column::close);
        self.settle()?;
        self.writer.finish().map(|_| ()).map_err(Error::other)
    }
}
