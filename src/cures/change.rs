//! Small changes of a plant: what a cure would do to it. Rows are only added, so that their numbers hold.

use crate::base::{Moment, PartId, Quantity, UnitId};
use crate::check::{Plant, Receipt, Stock};
use crate::plan::Goods;
use std::collections::BTreeSet;

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
    /// A row of stock on hold is found good.
    Good {
        /// The row, by its index.
        stock: usize,
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
    /// Makes the change to stock and receipts, where it is one of these.
    fn apply(&self, goods: &mut Goods<'_>, plant: &Plant) {
        match self {
            Self::Keep { stock, qty, unit } => keep(goods, *stock, *qty, *unit),
            Self::Good { stock } => goods.stock.change(*stock).hold = None,
            Self::Sooner { receipt, qty, by } => sooner(goods, *receipt, *qty, *by),
            Self::Order { part, qty, by } => goods.receipts.add(order(plant, *part, *qty, *by)),
            Self::First { .. } => {}
        }
    }

    /// The bought part whose stock or receipts it changes; `None` where a shop has to be planned anew.
    fn bought(&self, plant: &Plant) -> Option<PartId> {
        let part = match self {
            Self::Keep { stock, .. } | Self::Good { stock } => plant.stock[*stock].part,
            Self::Sooner { receipt, .. } => plant.receipts[*receipt].part,
            Self::Order { part, .. } => *part,
            Self::First { .. } => return None,
        };
        Some(part).filter(|part| plant.part(*part).bought())
    }
}

/// A plant with changes made in order.
pub fn changed<'c>(plant: &Plant, changes: impl IntoIterator<Item = &'c Change> + Clone) -> Plant {
    let firsts = changes.clone().into_iter().filter_map(|change| match change {
        Change::First { code, part } => Some((code.clone(), *part)),
        _ => None,
    });
    let mut changed = goods(plant, changes).into_plant(plant);
    changed.first_jobs.extend(firsts);
    changed
}

/// A plant's stock and receipts with changes made in order.
pub fn goods<'p, 'c>(plant: &'p Plant, changes: impl IntoIterator<Item = &'c Change>) -> Goods<'p> {
    let mut goods = Goods::of(plant);
    changes.into_iter().for_each(|change| change.apply(&mut goods, plant));
    goods
}

/// The parts whose stock or receipts are changed, where all are bought and nothing else is changed.
pub(super) fn bought<'c>(plant: &Plant, changes: impl IntoIterator<Item = &'c Change>) -> Option<BTreeSet<PartId>> {
    changes.into_iter().map(|change| change.bought(plant)).collect()
}

fn keep(goods: &mut Goods<'_>, stock: usize, qty: Quantity, unit: UnitId) {
    let row = goods.stock.change(stock);
    row.qty -= qty;
    let kept = Stock { qty, lineside: None, reserved: Some(unit), hold: None, location: row.location.clone(), ..*row };
    goods.stock.add(kept);
}

fn sooner(goods: &mut Goods<'_>, receipt: usize, qty: Quantity, by: Moment) {
    let row = goods.receipts.change(receipt);
    row.qty -= qty;
    let first = Receipt {
        qty,
        due: by,
        timed: true,
        day: by.date(),
        available: by,
        overdue: false,
        confirmed: None,
        ..row.clone()
    };
    goods.receipts.add(first);
}

fn order(plant: &Plant, part: PartId, qty: Quantity, by: Moment) -> Receipt {
    Receipt {
        order: String::new(),
        part,
        qty,
        due: by,
        timed: true,
        day: by.date(),
        available: by,
        overdue: false,
        confirmed: None,
        supplier: plant.part(part).supplier.clone(),
        row: 0,
    }
}
