//! Stock and receipts as they would be with a few rows changed and a few more; the plant itself stays as it is.

use crate::base::PartId;
use crate::check::{Plant, Receipt, Stock};
use std::collections::BTreeMap;

/// The rows of a table of the plant, some of them changed, some added behind: the numbers of the others hold.
#[derive(Clone, Debug)]
pub struct ChangedRows<'r, T> {
    plant: &'r [T],
    changed: BTreeMap<usize, T>,
    added: Vec<T>,
}

impl<'r, T: Clone> ChangedRows<'r, T> {
    fn of(plant: &'r [T]) -> Self {
        Self { plant, changed: BTreeMap::new(), added: Vec::new() }
    }

    /// A row by its index.
    ///
    /// # Panics
    /// Where there is no such row.
    pub fn at(&self, index: usize) -> &T {
        match index.checked_sub(self.plant.len()) {
            Some(added) => &self.added[added],
            None => self.changed.get(&index).unwrap_or(&self.plant[index]),
        }
    }

    /// A row to be changed.
    ///
    /// # Panics
    /// Where there is no such row.
    pub fn change(&mut self, index: usize) -> &mut T {
        match index.checked_sub(self.plant.len()) {
            Some(added) => &mut self.added[added],
            None => self.changed.entry(index).or_insert_with(|| self.plant[index].clone()),
        }
    }

    /// One row more.
    pub fn add(&mut self, row: T) {
        self.added.push(row);
    }

    /// The plant's own rows as they would be, with their indices.
    pub fn own(&self) -> impl Iterator<Item = (usize, &T)> {
        (0..self.plant.len()).map(|index| (index, self.at(index)))
    }

    /// The rows that were added, with their indices.
    pub fn added(&self) -> impl Iterator<Item = (usize, &T)> {
        (self.plant.len()..).zip(&self.added)
    }

    /// What changes the plant's own table into this one.
    fn into_parts(self) -> (BTreeMap<usize, T>, Vec<T>) {
        (self.changed, self.added)
    }
}

/// Stock and receipts.
#[derive(Clone, Debug)]
pub struct Goods<'p> {
    /// Rows of stock.
    pub stock: ChangedRows<'p, Stock>,
    /// Open receipts.
    pub receipts: ChangedRows<'p, Receipt>,
}

impl<'p> Goods<'p> {
    /// As the plant has them.
    pub fn of(plant: &'p Plant) -> Self {
        Self { stock: ChangedRows::of(&plant.stock), receipts: ChangedRows::of(&plant.receipts) }
    }

    /// The plant with these.
    pub fn into_plant(self, plant: &Plant) -> Plant {
        let mut plant = plant.clone();
        put(&mut plant.stock, self.stock.into_parts());
        put(&mut plant.receipts, self.receipts.into_parts());
        plant
    }

    /// The rows of stock of a part.
    pub fn stock_of(&self, part: PartId) -> impl Iterator<Item = &Stock> {
        self.stock.own().chain(self.stock.added()).map(|(_, row)| row).filter(move |row| row.part == part)
    }
}

fn put<T>(rows: &mut Vec<T>, (changed, added): (BTreeMap<usize, T>, Vec<T>)) {
    changed.into_iter().for_each(|(index, row)| rows[index] = row);
    rows.extend(added);
}
