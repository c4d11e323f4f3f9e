//! What a column holds, and how each kind is written: texts, codes and numbers alike as a dictionary and keys in it.

use super::keys::Keys;
use super::listed::Listed;
use super::numbers::Numbers;
use super::pages::{Shape, of_numbers, of_texts};
use crate::base::Quantity;
use crate::plan::Plan;
use crate::report::tables::columns::{Cells, Kind};
use polars::prelude::{DataType, FrozenCategories, PolarsResult, TimeUnit};
use polars_parquet::write::CompressedPage;
use std::io::{Error, Result};

/// Digits of a quantity, those behind the point among them: as many as fit sixty-four bits.
const DIGITS: u32 = 18;
/// The least quantity that has more digits.
const TOO_LARGE: Quantity = Quantity::from_millionths(10_i64.pow(DIGITS));

/// What stands in the row group so far: each value once, in the order of the keys.
pub enum Content {
    /// Codes, which are a dictionary for readers, too.
    Codes(Listed),
    /// Texts.
    Texts(Listed),
    /// Numbers of any other kind.
    Numbers(Kind, Numbers),
}

impl Content {
    /// Nothing yet.
    pub fn new(kind: Kind, plan: &Plan<'_>) -> Self {
        match kind {
            Kind::Code(list) => Self::Codes(Listed::new(&list.texts(plan))),
            Kind::Text(list) => Self::Texts(Listed::new(&list.texts(plan))),
            _ => Self::Numbers(kind, Numbers::default()),
        }
    }

    /// What a reader sees.
    pub fn dtype(&self) -> PolarsResult<DataType> {
        Ok(match self {
            Self::Codes(listed) => DataType::from_frozen_categories(FrozenCategories::new(listed.texts())?),
            Self::Texts(_) => DataType::String,
            Self::Numbers(Kind::Quantity, _) => DataType::Decimal(DIGITS as usize, 6),
            Self::Numbers(Kind::Moment, _) => DataType::Datetime(TimeUnit::Milliseconds, None),
            Self::Numbers(Kind::Date, _) => DataType::Date,
            Self::Numbers(..) => DataType::Int64,
        })
    }

    /// Takes cells.
    pub fn extend(&mut self, keys: &mut Keys, cells: &Cells) {
        match self {
            Self::Codes(listed) | Self::Texts(listed) => keys.extend(cells, |place| listed.key(place)),
            Self::Numbers(_, numbers) => keys.extend(cells, |number| numbers.key(number)),
        }
    }

    /// The pages of the row group.
    pub fn pages(&self, shape: &Shape, keys: &Keys) -> Result<Vec<CompressedPage>> {
        match self {
            Self::Codes(listed) | Self::Texts(listed) => of_texts(shape, keys, listed.used()?),
            Self::Numbers(kind, numbers) => {
                let numbers = numbers.values().iter().map(|number| written(*kind, *number));
                of_numbers(shape, keys, &numbers.collect::<Result<Vec<_>>>()?)
            }
        }
    }

    /// For the next row group.
    pub fn clear(&mut self) {
        match self {
            Self::Codes(listed) | Self::Texts(listed) => listed.clear(),
            Self::Numbers(_, numbers) => numbers.clear(),
        }
    }
}

/// A number as it is written.
fn written(kind: Kind, number: i64) -> Result<i64> {
    let too_large = |what: String| Error::other(format!("{what} is too large for Parquet; write the tables as CSV"));
    match kind {
        Kind::Quantity if number.unsigned_abs() >= TOO_LARGE.millionths().unsigned_abs() => {
            Err(too_large(format!("the quantity {}", Quantity::from_millionths(number))))
        }
        // Seconds become milliseconds.
        Kind::Moment => number.checked_mul(1000).ok_or_else(|| too_large(format!("the time of {number} seconds"))),
        _ => Ok(number),
    }
}
