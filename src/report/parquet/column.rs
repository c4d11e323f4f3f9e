//! One column on its way to a file. How each kind of column is written stands here.

use super::GROUP;
use super::keys::Keys;
use super::listed::Listed;
use super::numbers::Numbers;
use super::pages::{self, Shape, Width};
use crate::plan::Plan;
use crate::report::columns::{Cells, Kind, Lot};
use crate::report::tables::Hand;
use polars::prelude::{DataType, FrozenCategories, PolarsResult, TimeUnit};
use polars_parquet::parquet::metadata::Descriptor;
use polars_parquet::write::CompressedPage;
use std::borrow::Cow;
use std::io::{Error, Result};

/// Digits of a quantity, those behind the point among them: as many as fit sixty-four bits.
const DIGITS: usize = 18;
/// The least amount of millionths that has more digits.
const TOO_LARGE: u64 = 10_u64.pow(DIGITS as u32);

/// The texts of a column of texts or codes.
pub fn list<'p>(kind: Kind, plan: &'p Plan<'_>) -> Vec<Cow<'p, str>> {
    match kind {
        Kind::Text(list) | Kind::Code(list) => list.texts(plan),
        _ => Vec::new(),
    }
}

/// What a reader sees.
pub fn dtype(kind: Kind, list: &[Cow<'_, str>]) -> PolarsResult<DataType> {
    Ok(match kind {
        Kind::Text(_) => DataType::String,
        Kind::Code(_) => DataType::from_frozen_categories(FrozenCategories::new(Listed::new(list).texts())?),
        Kind::Quantity => DataType::Decimal(DIGITS, 6),
        Kind::Moment => DataType::Datetime(TimeUnit::Milliseconds, None),
        Kind::Date => DataType::Date,
        Kind::Whole => DataType::Int64,
    })
}

/// What stands in the row group so far: each value once, and for each row its key.
enum Values {
    Listed(Listed),
    Numbers(Numbers),
}

/// A column of a table.
pub struct Column {
    at: usize,
    name: &'static str,
    kind: Kind,
    shape: Shape,
    /// Room to work in.
    cells: Cells,
    keys: Keys,
    values: Values,
    /// Row groups that are not written yet: their rows and pages.
    done: Result<Vec<(usize, Vec<CompressedPage>)>>,
}

impl Column {
    /// Without any rows.
    pub fn new(at: usize, name: &'static str, kind: Kind, list: &[Cow<'_, str>], descriptor: Descriptor) -> Self {
        let values = match kind {
            Kind::Text(_) | Kind::Code(_) => Values::Listed(Listed::new(list)),
            _ => Values::Numbers(Numbers::new(kind == Kind::Moment)),
        };
        let shape = Shape { descriptor, width: if kind == Kind::Date { Width::Four } else { Width::Eight } };
        Self { at, name, kind, shape, cells: Cells::default(), keys: Keys::default(), values, done: Ok(Vec::new()) }
    }

    /// The row groups that are full.
    pub fn done(&mut self) -> Result<Vec<(usize, Vec<CompressedPage>)>> {
        std::mem::replace(&mut self.done, Ok(Vec::new()))
    }

    /// Ends the row group; the next one begins.
    pub fn close(&mut self) {
        let rows = self.keys.rows();
        if rows == 0 {
            return;
        }
        if let Ok(done) = &mut self.done {
            match encoded(self.name, self.kind, &self.shape, &self.keys, &self.values) {
                Ok(pages) => done.push((rows, pages)),
                Err(why) => self.done = Err(why),
            }
        }
        self.keys.clear();
        match &mut self.values {
            Values::Listed(listed) => listed.clear(),
            Values::Numbers(numbers) => numbers.clear(),
        }
    }
}

impl Hand for Column {
    fn take(&mut self, lot: &dyn Lot) {
        for piece in lot.pieces() {
            let mut from = piece.start;
            while from < piece.end {
                let until = piece.end.min(from + GROUP - self.keys.rows());
                lot.fill(self.at, from..until, &mut self.cells);
                match &mut self.values {
                    Values::Listed(listed) => self.keys.extend(&self.cells, |place| listed.key(place)),
                    Values::Numbers(numbers) => self.keys.extend(&self.cells, |number| numbers.key(number)),
                }
                if self.keys.rows() == GROUP {
                    self.close();
                }
                from = until;
            }
        }
    }
}

/// The pages of a row group: a dictionary and the keys in it, or the numbers themselves where few occur twice.
fn encoded(name: &str, kind: Kind, shape: &Shape, keys: &Keys, values: &Values) -> Result<Vec<CompressedPage>> {
    match values {
        Values::Listed(listed) if listed.strange() => {
            Err(Error::other(format!("the column '{name}' holds something that is in no list of the plan")))
        }
        Values::Listed(listed) => pages::of_texts(shape, keys, listed.used()),
        Values::Numbers(numbers) => {
            let written = numbers.values().iter().map(|number| written(name, kind, *number)).collect::<Result<Vec<_>>>()?;
            pages::of_numbers(shape, keys, &written)
        }
    }
}

/// A number as it is written.
fn written(name: &str, kind: Kind, number: i64) -> Result<i64> {
    match kind {
        Kind::Quantity if number.unsigned_abs() >= TOO_LARGE => {
            let largest = TOO_LARGE / 1_000_000;
            let why = format!("the column '{name}' holds a quantity of {largest} or more, too large for Parquet");
            Err(Error::other(format!("{why}; write the tables as CSV")))
        }
        // Seconds become milliseconds.
        Kind::Moment => Ok(number * 1000),
        _ => Ok(number),
    }
}
