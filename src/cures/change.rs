//! Small changes of a plant: what a cure would do to it. Rows are only added, so that their numbers hold.

use crate::base::{Moment, PartId, Quantity, UnitId};
use crate::check::{Plant, Receipt, Stock};

/// One small change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    /// So much of a row of stock is kept for a unit, in the stores, and is good.
    Keep {
        /// The row, by its index.
        stock: usize,
        /// How much of it.
        qty: Quantity,
        /// For whom.
        unit: UnitId,
    },
    /// A job is taken first in its shop.
    First {
        /// Whose, by code.
        code: String,
        /// What is made.
        part: PartId,
    },
    /// So much of a receipt is there by a moment; the rest stays as it is.
    Sooner {
        /// The receipt, by its index.
        receipt: usize,
        /// How much of it.
        qty: Quantity,
        /// By when.
        by: Moment,
    },
    /// A receipt that is not ordered yet.
    Order {
        /// What is ordered.
        part: PartId,
        /// How much.
        qty: Quantity,
        /// By when it must be there.
        by: Moment,
    },
}

impl Change {
    /// Makes the change.
    pub fn apply(&self, plant: &mut Plant) {
        match self {
            Self::Keep { stock, qty, unit } => keep(plant, *stock, *qty, *unit),
            Self::First { code, part } => plant.first_jobs.push((code.clone(), *part)),
            Self::Sooner { receipt, qty, by } => sooner(plant, *receipt, *qty, *by),
            Self::Order { part, qty, by } => order(plant, *part, *qty, *by),
        }
    }
}

/// A plant with changes made in order.
pub fn changed<'c>(plant: &Plant, changes: impl IntoIterator<Item = &'c Change>) -> Plant {
    let mut plant = plant.clone();
    changes.into_iter().for_each(|change| change.apply(&mut plant));
    plant
}

fn keep(plant: &mut Plant, stock: usize, qty: Quantity, unit: UnitId) {
    let row = &mut plant.stock[stock];
    row.qty -= qty;
    let kept = Stock { qty, lineside: None, reserved: Some(unit), hold: None, location: row.location.clone(), ..*row };
    plant.stock.push(kept);
}

fn sooner(plant: &mut Plant, receipt: usize, qty: Quantity, by: Moment) {
    let row = &mut plant.receipts[receipt];
    row.qty -= qty;
    let first = Receipt { qty, due: by, timed: true, day: by.date(), available: by, overdue: false, ..row.clone() };
    plant.receipts.push(first);
}

fn order(plant: &mut Plant, part: PartId, qty: Quantity, by: Moment) {
    plant.receipts.push(Receipt {
        order: String::new(),
        part,
        qty,
        due: by,
        timed: true,
        day: by.date(),
        available: by,
        overdue: false,
        supplier: plant.part(part).supplier.clone(),
        row: 0,
    });
}
