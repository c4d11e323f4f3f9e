//! Tables into files: one at a time, or several that follow from each part's supply in one walk over the parts.

use super::columns::Lot;
use super::csv::Lines;
use super::parquet::Groups;
use super::table::Table;
use crate::plan::Plan;
use crate::supply::Supply;
use rayon::prelude::*;
use std::io::{Result, Write};

/// Where the rows of a table go.
pub trait RowSink: Send {
    /// Those that work side by side: each takes all rows.
    fn hands(&mut self) -> Vec<&mut dyn Hand>;
    /// Writes what is ready.
    fn settle(&mut self) -> Result<()>;
    /// How many rows were written.
    fn count(&self) -> u64;
    /// After the last row.
    fn finish(&mut self) -> Result<()>;
}

/// What takes rows; where that fails, it is told when the table is settled.
pub trait Hand: Send {
    /// Takes the next rows.
    fn take(&mut self, lot: &dyn Lot);
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
) -> Result<Box<dyn RowSink + 'w>> {
    Ok(match form {
        Form::Csv => Box::new(Lines::new(table, plan, out)?),
        Form::Parquet => Box::new(Groups::new(table, plan, out)?),
    })
}

/// Writes a table; how many rows it has.
///
/// # Errors
/// Where the writer fails, or the form can't hold a value.
pub fn write(form: Form, table: &Table, plan: &Plan<'_>, out: &mut (dyn Write + Send)) -> Result<u64> {
    let mut rows = rows(form, table, plan, out)?;
    let mut outcome = Ok(());
    table.each_lot(plan, &mut |lot| {
        if outcome.is_ok() {
            rows.hands().into_par_iter().for_each(|hand| hand.take(lot));
            outcome = rows.settle();
        }
    });
    outcome?;
    rows.finish()?;
    Ok(rows.count())
}

/// Writes tables, each to its own file: those that are walked part by part side by side, so that the parts are walked once.
/// How many rows each has comes back.
///
/// # Errors
/// Where a writer fails, or the form can't hold a value.
pub fn write_together<W: Write + Send>(
    form: Form,
    tables: &[&Table],
    plan: &Plan<'_>,
    outs: &mut [W],
) -> Result<Vec<u64>> {
    let mut by_part = Vec::new();
    let mut counts = vec![0; tables.len()];
    let mut at = Vec::new();
    for (i, (table, out)) in tables.iter().zip(outs).enumerate() {
        if table.by_part() {
            by_part.push((*table, rows(form, table, plan, out)?));
            at.push(i);
        } else {
            counts[i] = write(form, table, plan, out)?;
        }
    }
    let mut outcome = Ok(());
    plan.some_supplies(|some| {
        if outcome.is_ok() {
            outcome = take(&mut by_part, plan, some);
        }
    });
    outcome?;
    all(by_part.par_iter_mut().map(|(_, rows)| rows.finish()))?;
    by_part.iter().zip(at).for_each(|((_, rows), i)| counts[i] = rows.count());
    Ok(counts)
}

/// A table on its way to a file.
type Begun<'w> = (&'w Table, Box<dyn RowSink + 'w>);

/// The rows of some parts for all tables.
fn take(tables: &mut [Begun<'_>], plan: &Plan<'_>, some: &[Supply]) -> Result<()> {
    let hands = tables.iter_mut().flat_map(|(table, rows)| rows.hands().into_iter().map(|hand| (&**table, hand)));
    hands.collect::<Vec<_>>().into_par_iter().for_each(|(table, hand)| {
        some.iter().filter_map(|supply| table.of_part(plan, supply)).for_each(|lot| hand.take(&*lot));
    });
    all(tables.par_iter_mut().map(|(_, rows)| rows.settle()))
}

/// Whether all is well; otherwise the first that is not, whichever came first.
fn all(outcomes: impl ParallelIterator<Item = Result<()>>) -> Result<()> {
    outcomes.collect::<Vec<_>>().into_iter().collect()
}

/// Writes a table as CSV.
///
/// # Errors
/// Where the writer fails.
pub fn to_csv(table: &Table, plan: &Plan<'_>, out: &mut (dyn Write + Send)) -> Result<()> {
    write(Form::Csv, table, plan, out).map(|_| ())
}

/// Writes a table as Parquet.
///
/// # Errors
/// Where the data-frame library or the writer fails, or a quantity has too many digits: 10^12 of a unit or more.
pub fn to_parquet(table: &Table, plan: &Plan<'_>, out: &mut (dyn Write + Send)) -> Result<()> {
    write(Form::Parquet, table, plan, out).map(|_| ())
}
