//! The pages of a column's row group, as the format has them: a dictionary of the values and a page of the keys in it, or a
//! page of the values themselves.

use super::keys::Keys;
use super::packing::{pack, pack_run};
use polars_parquet::parquet::CowBuffer;
use polars_parquet::parquet::metadata::Descriptor;
use polars_parquet::parquet::page::{DataPage, DataPageHeader, DataPageHeaderV1, DictPage};
use polars_parquet::parquet::schema::types::PhysicalType;
use polars_parquet::parquet::statistics::ParquetStatistics;
use polars_parquet::write::{CompressedPage, CompressionOptions, Encoding, Page, compress};
use std::io::{Error, Result};

/// How pages are compressed.
const CODEC: CompressionOptions = CompressionOptions::Snappy;

/// What the format has to know of a column.
pub struct Shape(Descriptor);

impl Shape {
    /// That of a column of the file.
    pub fn of(column: &Descriptor) -> Self {
        Self(column.clone())
    }

    /// Numbers one behind the other.
    fn bytes(&self, numbers: impl IntoIterator<Item = i64>) -> Vec<u8> {
        let numbers = numbers.into_iter();
        match self.0.primitive_type.physical_type {
            PhysicalType::Int32 => numbers.flat_map(|number| (number as i32).to_le_bytes()).collect(),
            _ => numbers.flat_map(i64::to_le_bytes).collect(),
        }
    }
}

/// Values, each once.
struct Dictionary {
    /// One behind the other.
    bytes: Vec<u8>,
    /// How many.
    count: usize,
    /// The least and the greatest.
    span: Option<(Vec<u8>, Vec<u8>)>,
}

/// The pages of texts.
pub fn of_texts<'t>(
    shape: &Shape,
    keys: &Keys,
    texts: impl ExactSizeIterator<Item = &'t str>,
) -> Result<Vec<CompressedPage>> {
    let (mut bytes, count) = (Vec::new(), texts.len());
    let mut span: Option<(&str, &str)> = None;
    for text in texts {
        bytes.extend_from_slice(&(text.len() as u32).to_le_bytes());
        bytes.extend_from_slice(text.as_bytes());
        span = span.map_or(Some((text, text)), |(least, greatest)| Some((least.min(text), greatest.max(text))));
    }
    let span = span.map(|(least, greatest)| (least.as_bytes().to_vec(), greatest.as_bytes().to_vec()));
    with_keys(shape, keys, Dictionary { bytes, count, span })
}

/// The pages of numbers: in a dictionary, unless most of them occur once.
pub fn of_numbers(shape: &Shape, keys: &Keys, numbers: &[i64]) -> Result<Vec<CompressedPage>> {
    let span = numbers.iter().min().zip(numbers.iter().max());
    let span = span.map(|(least, greatest)| (shape.bytes([*least]), shape.bytes([*greatest])));
    let bytes = |numbers: &[i64]| shape.bytes(numbers.iter().copied());
    if numbers.len() * 2 <= keys.rows() {
        return with_keys(shape, keys, Dictionary { bytes: bytes(numbers), count: numbers.len(), span });
    }
    let (keys, there) = keys.split();
    let numbers: Vec<i64> = keys.iter().map(|key| numbers[*key as usize]).collect();
    let mut page = Data::new(keys.len(), there, span)?;
    page.bytes.append(&mut bytes(&numbers));
    Ok(vec![page.pack(shape, Encoding::Plain)?])
}

/// The page of a dictionary, and that of the keys in it.
fn with_keys(shape: &Shape, keys: &Keys, dictionary: Dictionary) -> Result<Vec<CompressedPage>> {
    let bits = u32::BITS - (dictionary.count.max(1) as u32 - 1).leading_zeros();
    let (keys, there) = keys.split();
    let mut page = Data::new(keys.len(), there, dictionary.span)?;
    page.bytes.push(bits as u8);
    pack(&keys, bits, &mut page.bytes)?;
    let dictionary = DictPage::new(CowBuffer::Owned(dictionary.bytes), dictionary.count, false);
    Ok(vec![squeezed(Page::Dict(dictionary))?, page.pack(shape, Encoding::RleDictionary)?])
}

/// A page of values or keys.
struct Data {
    rows: usize,
    statistics: ParquetStatistics,
    bytes: Vec<u8>,
}

impl Data {
    /// With what a page begins: for each row a bit whether anything stands there, behind the length of all these.
    fn new(values: usize, there: Option<Vec<u32>>, span: Option<(Vec<u8>, Vec<u8>)>) -> Result<Self> {
        let rows = there.as_ref().map_or(values, Vec::len);
        let mut bytes = vec![0; 4];
        match there {
            None => pack_run(1, rows, 1, &mut bytes),
            Some(there) => pack(&there, 1, &mut bytes)?,
        }
        let length = bytes.len() as u32 - 4;
        bytes[..4].copy_from_slice(&length.to_le_bytes());
        let (min_value, max_value) = span.unzip();
        let statistics = ParquetStatistics {
            null_count: Some((rows - values) as i64),
            distinct_count: None,
            min_value,
            max_value,
            min: None,
            max: None,
            is_max_value_exact: None,
            is_min_value_exact: None,
        };
        Ok(Self { rows, statistics, bytes })
    }

    fn pack(self, shape: &Shape, encoding: Encoding) -> Result<CompressedPage> {
        let header = DataPageHeader::V1(DataPageHeaderV1 {
            num_values: self.rows as i32,
            encoding: encoding.into(),
            definition_level_encoding: Encoding::Rle.into(),
            repetition_level_encoding: Encoding::Rle.into(),
            statistics: Some(self.statistics),
        });
        squeezed(Page::Data(DataPage::new(header, CowBuffer::Owned(self.bytes), shape.0.clone(), self.rows)))
    }
}

fn squeezed(page: Page) -> Result<CompressedPage> {
    compress(page, Vec::new(), CODEC).map_err(Error::other)
}
