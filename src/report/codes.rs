//! The lists of a plan as a Parquet file has them: as dictionaries of codes, and as texts.

use super::cells::Filled;
use itertools::Itertools;
use polars::prelude::{
    Categorical8Type, Categorical16Type, Categorical32Type, CategoricalChunked, ChunkTake, ChunkedArray, DataType,
    FrozenCategories, IdxCa, IntoSeries, NewChunkedArray, PlSmallStr, PolarsResult, Series, StringChunked, UInt8Type,
    UInt16Type, UInt32Type,
};
use std::borrow::Cow;
use std::collections::HashMap;

/// A list as a dictionary, each code in it once.
pub struct Codes {
    dictionary: DataType,
    len: usize,
    /// For each place in the list the number of its code.
    numbers: Vec<u32>,
    /// The number of the empty text, which stands for nothing.
    blank: Option<u32>,
}

impl Codes {
    /// The dictionary of a list.
    pub fn new(list: &[Cow<'_, str>]) -> PolarsResult<Self> {
        let codes: Vec<&str> = list.iter().map(|code| &**code).unique().collect();
        let number: HashMap<&str, u32> = codes.iter().copied().zip(0..).collect();
        let numbers = list.iter().map(|code| number[&**code]).collect();
        let dictionary = DataType::from_frozen_categories(FrozenCategories::new(codes.iter().copied())?);
        Ok(Self { dictionary, len: codes.len(), numbers, blank: number.get("").copied() })
    }

    /// Whether the list has such a place.
    pub fn has(&self, place: i64) -> bool {
        (place as usize) < self.numbers.len()
    }

    /// The number of the code at a place of the list.
    pub fn number(&self, place: i64) -> u32 {
        self.numbers.get(place as usize).copied().unwrap_or_default()
    }

    /// The number that stands for nothing, if one does.
    pub fn blank(&self) -> Option<u32> {
        self.blank
    }

    /// Numbers as a column of codes.
    pub fn column(&self, name: PlSmallStr, numbers: Filled<u32>) -> Series {
        let dictionary = self.dictionary.clone();
        // The dictionary's size decides how its numbers are held.
        if self.len <= usize::from(u8::MAX) {
            let narrow: ChunkedArray<UInt8Type> = numbers.map(|number| number as u8).into_chunked(name);
            CategoricalChunked::<Categorical8Type>::from_cats_and_dtype(narrow, dictionary).into_series()
        } else if self.len <= usize::from(u16::MAX) {
            let narrow: ChunkedArray<UInt16Type> = numbers.map(|number| number as u16).into_chunked(name);
            CategoricalChunked::<Categorical16Type>::from_cats_and_dtype(narrow, dictionary).into_series()
        } else {
            let wide: ChunkedArray<UInt32Type> = numbers.into_chunked(name);
            CategoricalChunked::<Categorical32Type>::from_cats_and_dtype(wide, dictionary).into_series()
        }
    }
}

/// A list as texts.
pub struct Texts(StringChunked);

impl Texts {
    /// The texts of a list; nothing for an empty one.
    pub fn new(list: &[Cow<'_, str>]) -> Self {
        let texts = list.iter().map(|text| Some(&**text).filter(|text| !text.is_empty()));
        Self(StringChunked::from_iter_options(PlSmallStr::EMPTY, texts))
    }

    /// Places in the list as a column of texts.
    pub fn column(&self, name: PlSmallStr, places: Filled<u32>) -> PolarsResult<Series> {
        let places: IdxCa = places.into_chunked(PlSmallStr::EMPTY);
        Ok(self.0.take(&places)?.with_name(name).into_series())
    }
}
