//! For each row of a row group the key of its value in the dictionary.

use super::GROUP;
use crate::report::columns::Cells;
use std::borrow::Cow;

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

    /// The keys of the rows that hold something, and for each row a 1 or a 0, whether it does; `None` where all do.
    pub fn split(&self) -> (Cow<'_, [u32]>, Option<Vec<u32>>) {
        if !self.0.contains(&NOTHING) {
            return (Cow::Borrowed(&self.0), None);
        }
        let there = self.0.iter().map(|key| u32::from(*key != NOTHING)).collect();
        (self.0.iter().copied().filter(|key| *key != NOTHING).collect(), Some(there))
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
