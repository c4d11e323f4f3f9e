//! The pages of a column's row group, as the format has them: a dictionary of the values and a page of the keys in it, or a
//! page of the values themselves.

use super::keys::{Keys, NOTHING};
use super::packing::{pack, pack_run};
use polars_parquet::parquet::CowBuffer;
use polars_parquet::parquet::metadata::Descriptor;
use polars_parquet::parquet::page::{DataPage, DataPageHeader, DataPageHeaderV1, DictPage};
use polars_parquet::parquet::statistics::ParquetStatistics;
use polars_parquet::write::{CompressedPage, CompressionOptions, Encoding, Page, compress};
use std::io::{Error, Result};

/// How pages are compressed.
fn codec() -> CompressionOptions {
    use polars_parquet::write::ZstdLevel;
    match std::env::var("LW_CODEC").as_deref() {
        Ok("none") => CompressionOptions::Uncompressed,
        Ok("lz4") => CompressionOptions::Lz4Raw,
        Ok("zstd") => CompressionOptions::Zstd(ZstdLevel::try_new(1).ok()),
        Ok("zstd3") => CompressionOptions::Zstd(ZstdLevel::try_new(3).ok()),
        Ok("zstd-1") => CompressionOptions::Zstd(ZstdLevel::try_new(-1).ok()),
        _ => CompressionOptions::Snappy,
    }
}

/// Bytes of a number.
pub enum Width {
    /// Dates.
    Four,
    /// All others.
    Eight,
}

/// What the format has to know of a column.
pub struct Shape {
    /// Its type there.
    pub descriptor: Descriptor,
    /// For numbers.
    pub width: Width,
}

/// The least and the greatest of the values, as their bytes.
type Span = Option<(Vec<u8>, Vec<u8>)>;

/// The pages of texts.
pub fn of_texts<'t>(shape: &Shape, keys: &Keys, texts: impl ExactSizeIterator<Item = &'t str>) -> Result<Vec<CompressedPage>> {
    let (mut bytes, count) = (Vec::new(), texts.len());
    let mut span: Option<(&str, &str)> = None;
    for text in texts {
        bytes.extend_from_slice(&(text.len() as u32).to_le_bytes());
        bytes.extend_from_slice(text.as_bytes());
        span = span.map_or(Some((text, text)), |(least, greatest)| Some((least.min(text), greatest.max(text))));
    }
    let span = span.map(|(least, greatest)| (least.as_bytes().to_vec(), greatest.as_bytes().to_vec()));
    of_dictionary(shape, keys, bytes, count, span)
}

/// The pages of numbers: in a dictionary, unless most of them occur once.
pub fn of_numbers(shape: &Shape, keys: &Keys, numbers: &[i64]) -> Result<Vec<CompressedPage>> {
    let span = numbers.iter().min().zip(numbers.iter().max());
    let span = span.map(|(least, greatest)| (shape.bytes([*least]), shape.bytes([*greatest])));
    if numbers.len() * 2 > keys.rows() {
        let mut page = levels(keys)?;
        let there = keys.all().iter().filter_map(|key| numbers.get(*key as usize).copied());
        page.append(&mut shape.bytes(there));
        return Ok(vec![data(shape, keys, Encoding::Plain, page, span)?]);
    }
    of_dictionary(shape, keys, shape.bytes(numbers.iter().copied()), numbers.len(), span)
}

impl Shape {
    /// Numbers one behind the other.
    fn bytes(&self, numbers: impl IntoIterator<Item = i64>) -> Vec<u8> {
        let numbers = numbers.into_iter();
        match self.width {
            Width::Four => numbers.flat_map(|number| (number as i32).to_le_bytes()).collect(),
            Width::Eight => numbers.flat_map(i64::to_le_bytes).collect(),
        }
    }
}

/// The page of a dictionary, and that of the keys in it.
fn of_dictionary(shape: &Shape, keys: &Keys, values: Vec<u8>, count: usize, span: Span) -> Result<Vec<CompressedPage>> {
    let dictionary = Page::Dict(DictPage::new(CowBuffer::Owned(values), count, false));
    let bits = u32::BITS - (count.max(1) as u32 - 1).leading_zeros();
    let mut page = levels(keys)?;
    page.push(bits as u8);
    match keys.missing() {
        0 => pack(keys.all(), bits, &mut page)?,
        _ => {
            let there: Vec<u32> = keys.all().iter().copied().filter(|key| *key != NOTHING).collect();
            pack(&there, bits, &mut page)?;
        }
    }
    Ok(vec![packed(dictionary)?, data(shape, keys, Encoding::RleDictionary, page, span)?])
}

/// What a page begins with: for each row a bit whether anything stands there, behind the length of all these.
fn levels(keys: &Keys) -> Result<Vec<u8>> {
    let mut page = vec![0; 4];
    match keys.missing() {
        0 => pack_run(1, keys.rows(), 1, &mut page),
        _ => {
            let levels: Vec<u32> = keys.all().iter().map(|key| u32::from(*key != NOTHING)).collect();
            pack(&levels, 1, &mut page)?;
        }
    }
    let length = page.len() as u32 - 4;
    page[..4].copy_from_slice(&length.to_le_bytes());
    Ok(page)
}

fn data(shape: &Shape, keys: &Keys, encoding: Encoding, page: Vec<u8>, span: Span) -> Result<CompressedPage> {
    let (min_value, max_value) = span.unzip();
    let statistics = ParquetStatistics {
        null_count: Some(keys.missing() as i64),
        distinct_count: None,
        min_value,
        max_value,
        min: None,
        max: None,
        is_max_value_exact: None,
        is_min_value_exact: None,
    };
    let header = DataPageHeader::V1(DataPageHeaderV1 {
        num_values: keys.rows() as i32,
        encoding: encoding.into(),
        definition_level_encoding: Encoding::Rle.into(),
        repetition_level_encoding: Encoding::Rle.into(),
        statistics: Some(statistics),
    });
    packed(Page::Data(DataPage::new(header, CowBuffer::Owned(page), shape.descriptor.clone(), keys.rows())))
}

fn packed(page: Page) -> Result<CompressedPage> {
    compress(page, Vec::new(), codec()).map_err(Error::other)
}
