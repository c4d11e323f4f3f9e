//! Tables into files: one at a time, or several that follow from each part's supply in one walk over the parts.

use super::columns::Chunk;
use super::csv::Lines;
use super::parquet::Groups;
use super::table::Table;
use crate::plan::Plan;
use crate::supply::Supply;
use rayon::prelude::*;
use std::io::{Result, Write};

/// Where the rows of a table go.
pub trait Rows: Send {
    /// Takes the next rows.
    fn take(&mut self, chunk: &Chunk) -> Result<()>;
    /// After the last row.
    fn finish(&mut self) -> Result<()>;
}

/// How tables are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Comma-separated text.
    Csv,
    /// Parquet.
    Parquet,
}

fn rows<'w>(
    form: Form,
    table: &Table,
    plan: &'w Plan<'_>,
    out: &'w mut (dyn Write + Send),
) -> Result<Box<dyn Rows + 'w>> {
    Ok(match form {
        Form::Csv => Box::new(Lines::new(table, plan, out)?),
        Form::Parquet => Box::new(Groups::new(table, plan, out)?),
    })
}

/// Writes a table.
///
/// # Errors
/// Where the writer fails.
pub fn write(form: Form, table: &Table, plan: &Plan<'_>, out: &mut (dyn Write + Send)) -> Result<()> {
    let mut rows = rows(form, table, plan, out)?;
    let mut outcome = Ok(());
    table.each_chunk(plan, &mut |chunk| {
        if outcome.is_ok() {
            outcome = rows.take(chunk);
        }
    });
    outcome?;
    rows.finish()
}

/// Writes tables, each to its own file: those that are walked part by part side by side, so that the parts are walked once.
///
/// # Errors
/// Where a writer fails.
pub fn write_together<W: Write + Send>(form: Form, tables: &[&Table], plan: &Plan<'_>, outs: &mut [W]) -> Result<()> {
    let mut by_part = Vec::new();
    for (table, out) in tables.iter().zip(outs) {
        if table.by_part() {
            by_part.push(ByPart {
                table,
                rows: rows(form, table, plan, out)?,
                room: Chunk::default(),
                outcome: Ok(()),
            });
        } else {
            write(form, table, plan, out)?;
        }
    }
    plan.some_supplies(|some| by_part.par_iter_mut().for_each(|table| table.take(plan, some)));
    by_part.into_iter().try_for_each(ByPart::finish)
}

/// A table that is walked part by part, on its way to a file.
struct ByPart<'w> {
    table: &'w Table,
    rows: Box<dyn Rows + 'w>,
    room: Chunk,
    outcome: Result<()>,
}

impl ByPart<'_> {
    fn take(&mut self, plan: &Plan<'_>, some: &[Supply]) {
        for supply in some {
            self.table.rows_of(plan, supply, &mut self.room, &mut |chunk| {
                if self.outcome.is_ok() {
                    self.outcome = self.rows.take(chunk);
                }
            });
        }
    }

    fn finish(mut self) -> Result<()> {
        self.outcome.and_then(|()| self.rows.finish())
    }
}

/// Writes a table as CSV.
///
/// # Errors
/// Where the writer fails.
pub fn to_csv(table: &Table, plan: &Plan<'_>, out: &mut (dyn Write + Send)) -> Result<()> {
    write(Form::Csv, table, plan, out)
}

/// Writes a table as Parquet.
///
/// # Errors
/// Where the data-frame library or the writer fails.
pub fn to_parquet(table: &Table, plan: &Plan<'_>, out: &mut (dyn Write + Send)) -> Result<()> {
    write(Form::Parquet, table, plan, out)
}
