//! Tables as Parquet, row group by row group: codes as dictionaries, times as timestamps, quantities as decimals with six
//! places. Each column is encoded by itself, so that all columns of all tables can be encoded side by side.

mod column;
mod content;
mod keys;
mod listed;
mod numbers;
mod pages;

use super::files::{Hand, RowSink};
use super::table::Table;
use crate::plan::Plan;
use column::{Group, PackedColumn};
use content::Content;
use pages::Shape;
use polars::io::parquet::write::BatchedWriter;
use polars::prelude::{ParquetWriter, PlSmallStr, PolarsResult, Schema};
use std::io::{Error, Result, Write};

/// Rows of a row group, at most.
const GROUP: usize = 1 << 17;

/// A table on its way to a file.
pub struct Groups<W: Write> {
    columns: Vec<PackedColumn>,
    count: u64,
    writer: BatchedWriter<W>,
}

impl<W: Write> Groups<W> {
    /// With the lists of the plan as dictionaries.
    pub fn new(table: &Table, plan: &Plan<'_>, out: W) -> Result<Self> {
        Self::begin(table, plan, out).map_err(Error::other)
    }

    fn begin(table: &Table, plan: &Plan<'_>, out: W) -> PolarsResult<Self> {
        let (names, contents): (Vec<_>, Vec<_>) =
            table.columns().map(|(name, kind)| (name, Content::new(kind, plan))).unzip();
        let types = names.iter().zip(&contents);
        let types = types.map(|(name, content)| Ok((PlSmallStr::from_static(name), content.dtype()?)));
        let schema = types.collect::<PolarsResult<Schema>>()?;
        let mut writer = ParquetWriter::new(out).batched(&schema)?;
        let shapes = writer.parquet_schema().columns().iter().map(|column| Shape::of(&column.descriptor));
        let columns = names.into_iter().zip(contents).zip(shapes).enumerate().map(|(at, ((name, content), shape))| {
            PackedColumn::new(at, format!("'{name}' of the table '{}'", table.name), shape, content)
        });
        Ok(Self { columns: columns.collect(), count: 0, writer })
    }
}

impl<W: Write + Send> RowSink for Groups<W> {
    fn hands(&mut self) -> Vec<&mut dyn Hand> {
        self.columns.iter_mut().map(|column| column as &mut dyn Hand).collect()
    }

    /// Writes the row groups that are full: every column has had the same rows.
    fn settle(&mut self) -> Result<()> {
        let groups = self.columns.iter_mut().map(PackedColumn::done).collect::<Result<Vec<_>>>()?;
        let mut groups: Vec<_> = groups.into_iter().map(Vec::into_iter).collect();
        loop {
            let columns: Vec<Group> = groups.iter_mut().filter_map(Iterator::next).collect();
            let Some((rows, _)) = columns.first() else { return Ok(()) };
            let (rows, pages) = (*rows as u64, columns.into_iter().map(|(_, pages)| pages).collect::<Vec<_>>());
            self.count += rows;
            self.writer.write_row_group(rows, &pages).map_err(Error::other)?;
        }
    }

    fn count(&self) -> u64 {
        self.count
    }

    fn finish(&mut self) -> Result<()> {
        self.columns.iter_mut().for_each(PackedColumn::close);
        self.settle()?;
        self.writer.finish().map(|_| ()).map_err(Error::other)
    }
}
