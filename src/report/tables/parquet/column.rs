//! One column on its way to a file.

use super::GROUP;
use super::content::Content;
use super::keys::Keys;
use super::pages::Shape;
use crate::report::tables::columns::{Cells, Lot, pieces};
use crate::report::tables::files::Hand;
use polars_parquet::write::CompressedPage;
use std::io::{Error, Result};

/// The rows of a row group, and the pages of one of its columns.
pub type Group = (usize, Vec<CompressedPage>);

/// A column of a table.
pub struct PackedColumn {
    at: usize,
    /// What to call it where something is wrong.
    told: String,
    shape: Shape,
    /// Room to work in.
    cells: Cells,
    /// The row group so far.
    keys: Keys,
    content: Content,
    /// Row groups that are not written yet.
    done: Result<Vec<Group>>,
}

impl PackedColumn {
    /// A table's column at a place, without any rows.
    pub fn new(at: usize, told: String, shape: Shape, content: Content) -> Self {
        Self { at, told, shape, cells: Cells::default(), keys: Keys::default(), content, done: Ok(Vec::new()) }
    }

    /// The row groups that are full.
    pub fn done(&mut self) -> Result<Vec<Group>> {
        std::mem::replace(&mut self.done, Ok(Vec::new()))
    }

    /// Ends the row group; the next one begins.
    pub fn close(&mut self) {
        let rows = self.keys.rows();
        if let Ok(done) = &mut self.done
            && rows > 0
        {
            match self.content.pages(&self.shape, &self.keys) {
                Ok(pages) => done.push((rows, pages)),
                Err(why) => self.done = Err(Error::other(format!("{}: {why}", self.told))),
            }
        }
        self.keys.clear();
        self.content.clear();
    }
}

impl Hand for PackedColumn {
    fn take(&mut self, lot: &dyn Lot) {
        for mut piece in pieces(lot.count()) {
            while !piece.is_empty() {
                let until = piece.end.min(piece.start + GROUP - self.keys.rows());
                lot.fill(self.at, piece.start..until, &mut self.cells);
                self.content.extend(&mut self.keys, &self.cells);
                if self.keys.rows() == GROUP {
                    self.close();
                }
                piece.start = until;
            }
        }
    }
}
