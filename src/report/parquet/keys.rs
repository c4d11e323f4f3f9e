//! For each row of a row group the key of its value, and whether there is one.

use super::GROUP;
use crate::report::columns::Cells;

/// The keys of a column.
#[derive(Default)]
pub struct Keys {
    keys: Vec<u32>,
    there: Vec<bool>,
}

impl Keys {
    /// How many rows there are.
    pub fn rows(&self) -> usize {
        self.keys.len().max(self.there.len())
    }

    /// The keys of the rows that hold something.
    pub fn keys(&self) -> &[u32] {
        &self.keys
    }

    /// Whether each row holds something; `None` where all do.
    pub fn there(&self) -> Option<&[bool]> {
        Some(&*self.there).filter(|there| !there.is_empty())
    }

    /// For the next row group.
    pub fn clear(&mut self) {
        self.keys.clear();
        self.there.clear();
    }

    /// Adds rows, each with the key of its cell; `None` stands for nothing.
    pub fn extend(&mut self, cells: &Cells, mut key: impl FnMut(i64) -> Option<u32>) {
        if self.keys.is_empty() {
            self.keys.reserve(GROUP);
        }
        for (value, there) in cells.values.iter().zip(&cells.there) {
            match there.then(|| key(*value)).flatten() {
                Some(key) => self.add(key),
                None => self.miss(),
            }
        }
    }

    fn add(&mut self, key: u32) {
        self.keys.push(key);
        if !self.there.is_empty() {
            self.there.push(true);
        }
    }

    /// From the first row on that holds nothing it is noted of every row.
    fn miss(&mut self) {
        if self.there.is_empty() {
            self.there.resize(self.keys.len(), true);
        }
        self.there.push(false);
    }
}
