//! For each row of a row group the key of its value in the dictionary.

use super::GROUP;
use crate::report::tables::columns::Cells;
use polars_arrow::array::PrimitiveArray;
use polars_arrow::bitmap::Bitmap;

/// Stands for a row that holds nothing.
pub const NOTHING: u32 = u32::MAX;

/// The keys of a column, row by row.
#[derive(Default)]
pub struct Keys(Vec<u32>);

impl Keys {
    /// How many rows there are.
    pub fn rows(&self) -> usize {
        self.0.len()
    }

    /// The key of each row, where it holds something.
    pub fn iter(&self) -> impl Iterator<Item = Option<u32>> {
        self.0.iter().map(|key| Some(*key).filter(|key| *key != NOTHING))
    }

    /// A bit for each row, whether it holds something; `None` where all do.
    pub fn there(&self) -> Option<Bitmap> {
        self.0.contains(&NOTHING).then(|| self.0.iter().map(|key| *key != NOTHING).collect())
    }

    /// As the library holds them.
    pub fn array(&self) -> PrimitiveArray<u32> {
        match self.there() {
            None => PrimitiveArray::from_slice(&self.0),
            Some(there) => {
                let keys = self.iter().map(Option::unwrap_or_default).collect();
                PrimitiveArray::from_vec(keys).with_validity(Some(there))
            }
        }
    }

    /// For the next row group.
    pub fn clear(&mut self) {
        self.0.clear();
    }

    /// Adds rows, each with the key of its cell.
    pub fn extend(&mut self, cells: &Cells, mut key: impl FnMut(i64) -> u32) {
        if self.0.is_empty() {
            self.0.reserve_exact(GROUP);
        }
        if cells.there.contains(&false) {
            let cells = cells.iter().map(|cell| cell.map_or(NOTHING, &mut key));
            return self.0.extend(cells);
        }
        match cells.values.split_first() {
            Some((first, rest)) if rest.iter().all(|value| value == first) => {
                self.0.extend(std::iter::repeat_n(key(*first), cells.values.len()));
            }
            _ => self.0.extend(cells.values.iter().map(|value| key(*value))),
        }
    }
}
