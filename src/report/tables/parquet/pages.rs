//! The pages of a column's row group, as the library makes them: of a dictionary and the keys in it, or of the values.

use super::keys::Keys;
use crate::base::MustBe;
use polars_arrow::array::{Array, DictionaryArray, MutableBinaryViewArray, PrimitiveArray};
use polars_arrow::datatypes::{ArrowDataType, IntegerType};
use polars_parquet::parquet::metadata::Descriptor;
use polars_parquet::parquet::schema::types::{PhysicalType, PrimitiveType};
use polars_parquet::write::{
    CompressedPage, CompressionOptions, Encoding, Nested, StatisticsOptions, Version, WriteOptions, array_to_pages,
    compress,
};
use std::io::{Error, Result};

/// How pages are compressed.
const CODEC: CompressionOptions = CompressionOptions::Snappy;

/// What the format has to know of a column.
pub struct Shape(PrimitiveType);

impl Shape {
    /// That of a column of the file.
    pub fn of(column: &Descriptor) -> Self {
        Self(column.primitive_type.clone())
    }

    /// Numbers as the column holds them.
    fn numbers(&self, keys: Option<&Keys>, numbers: &[i64]) -> Box<dyn Array> {
        let there = keys.and_then(Keys::there);
        match self.0.physical_type {
            PhysicalType::Int32 => {
                let numbers: Vec<i32> =
                    numbers.iter().map(|number| i32::try_from(*number).must("a date is out of reach")).collect();
                PrimitiveArray::from_vec(numbers).with_validity(there).boxed()
            }
            _ => PrimitiveArray::from_slice(numbers).with_validity(there).boxed(),
        }
    }

    fn pages(&self, array: &dyn Array, encoding: Encoding) -> Result<Vec<CompressedPage>> {
        let options = WriteOptions {
            statistics: StatisticsOptions { distinct_count: false, ..StatisticsOptions::full() },
            version: Version::V1,
            compression: CODEC,
            data_page_size: None,
        };
        let nested = [Nested::primitive(array.validity().cloned(), true, array.len())];
        let pages = array_to_pages(array, self.0.clone(), &nested, options, encoding).map_err(Error::other)?;
        let squeezed = |page| compress(page, Vec::new(), CODEC).map_err(Error::other);
        pages.map(|page| squeezed(page.map_err(Error::other)?)).collect()
    }
}

/// The pages of texts.
pub fn of_texts<'t>(
    shape: &Shape,
    keys: &Keys,
    texts: impl ExactSizeIterator<Item = &'t str>,
) -> Result<Vec<CompressedPage>> {
    with_keys(shape, keys, MutableBinaryViewArray::<str>::from_values_iter(texts).freeze().boxed())
}

/// The pages of numbers: in a dictionary, unless most of them occur once.
pub fn of_numbers(shape: &Shape, keys: &Keys, numbers: &[i64]) -> Result<Vec<CompressedPage>> {
    if numbers.len() * 2 <= keys.rows() {
        return with_keys(shape, keys, shape.numbers(None, numbers));
    }
    let numbers: Vec<i64> = keys.iter().map(|key| key.map_or(0, |key| numbers[key as usize])).collect();
    shape.pages(&*shape.numbers(Some(keys), &numbers), Encoding::Plain)
}

/// The page of a dictionary, and those of the keys in it.
fn with_keys(shape: &Shape, keys: &Keys, dictionary: Box<dyn Array>) -> Result<Vec<CompressedPage>> {
    let dtype = ArrowDataType::Dictionary(IntegerType::UInt32, Box::new(dictionary.dtype().clone()), false);
    let array = DictionaryArray::try_new(dtype, keys.array(), dictionary).map_err(Error::other)?;
    shape.pages(&array, Encoding::RleDictionary)
}
