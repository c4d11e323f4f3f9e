//! The codes of a Parquet column as numbers of a dictionary.

use foldhash::fast::FixedState;
use polars::prelude::{
    Categorical8Type, Categorical16Type, Categorical32Type, CategoricalChunked, ChunkedArray, DataType,
    FrozenCategories, IntoSeries, NewChunkedArray, PolarsResult, Series, UInt8Type, UInt16Type, UInt32Chunked,
};
use std::collections::HashMap;

/// Where a code stands in memory: its address and its length.
type Place = (usize, usize);

/// The codes of a column, numbered.
pub struct Codes {
    /// The dictionary.
    list: DataType,
    numbers: HashMap<String, u32, FixedState>,
    /// Codes that were met before, by where they stand: the plan's own codes stay where they are.
    met: HashMap<Place, u32, FixedState>,
    last: Option<(Place, u32)>,
}

impl Codes {
    /// The codes of a list, each of which is in it once.
    pub fn new(list: &[&str]) -> PolarsResult<Self> {
        let numbers = list.iter().zip(0..).map(|(code, number)| ((*code).to_owned(), number)).collect();
        let list = DataType::from_frozen_categories(FrozenCategories::new(list.iter().copied())?);
        Ok(Self { list, numbers, met: HashMap::default(), last: None })
    }

    /// The number of a code, which may stay where it is in memory as long as the plan does.
    pub fn number(&mut self, code: &str, stays: bool) -> Option<u32> {
        if !stays {
            return self.numbers.get(code).copied();
        }
        let place = (code.as_ptr() as usize, code.len());
        match self.last {
            Some((last, number)) if last == place => return Some(number),
            _ => {}
        }
        let number = match self.met.get(&place) {
            Some(number) => *number,
            None => {
                let number = *self.numbers.get(code)?;
                self.met.insert(place, number);
                number
            }
        };
        self.last = Some((place, number));
        Some(number)
    }

    /// Numbers as a column of codes.
    pub fn column(&self, numbers: &UInt32Chunked) -> Series {
        let (name, list) = (numbers.name().clone(), self.list.clone());
        // The dictionary's size decides how its numbers are held.
        if self.numbers.len() <= usize::from(u8::MAX) {
            let narrow = numbers.iter().map(|number| number.map(|number| number as u8));
            let narrow = ChunkedArray::<UInt8Type>::from_iter_options(name, narrow);
            CategoricalChunked::<Categorical8Type>::from_cats_and_dtype(narrow, list).into_series()
        } else if self.numbers.len() <= usize::from(u16::MAX) {
            let narrow = numbers.iter().map(|number| number.map(|number| number as u16));
            let narrow = ChunkedArray::<UInt16Type>::from_iter_options(name, narrow);
            CategoricalChunked::<Categorical16Type>::from_cats_and_dtype(narrow, list).into_series()
        } else {
            CategoricalChunked::<Categorical32Type>::from_cats_and_dtype(numbers.clone(), list).into_series()
        }
    }
}
