//! Deliveries: receipts of one purchase order and part that come at one time are one to the plan.

use crate::base::{Moment, PartId, Quantity, fold, numbered};
use crate::check::{self, Plant};
use crate::supply;

/// One purchase order's open quantity of one part that comes at one time.
#[derive(Clone, Debug)]
pub struct Delivery<'p> {
    /// What comes.
    pub part: PartId,
    /// The number of its purchase order; its rows of one moment are one delivery.
    pub order: &'p str,
    /// Who sends it.
    pub supplier: &'p str,
    /// What the order says; of several receipts the soonest.
    pub due: Moment,
    /// Whether it says a time.
    pub timed: bool,
    /// When it is taken to be there.
    pub available: Moment,
    /// Whether it should have been there already.
    pub overdue: bool,
    /// Whether the supplier has confirmed it, all of its receipts; `None`: not known.
    pub confirmed: Option<bool>,
    /// How much is still open.
    pub open: Quantity,
}

impl Delivery<'_> {
    /// What there is to say of its moment where nobody promised it: `overdue, not promised`, `day only`, `not confirmed`. Blank where
    /// the order says a time that is not denied.
    pub fn not_promised(&self) -> &'static str {
        check::not_promised(self.overdue, self.timed, self.confirmed)
    }
}

/// What is known of two receipts together: one that is not confirmed leaves both so.
fn both(one: Option<bool>, other: Option<bool>) -> Option<bool> {
    match (one, other) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

/// A plant's deliveries.
#[derive(Debug, Default)]
pub struct Deliveries<'p> {
    /// By part, then as they are taken.
    all: Vec<Delivery<'p>>,
    /// For each receipt its delivery.
    of_receipt: Vec<u32>,
    /// For each part the first of its deliveries, and where the last part's end.
    starts: Vec<usize>,
}

impl<'p> Deliveries<'p> {
    /// Puts a plant's receipts together.
    pub fn of(plant: &'p Plant) -> Self {
        let mut found = Self { all: Vec::new(), of_receipt: vec![0; plant.receipts.len()], starts: Vec::new() };
        for receipts in supply::receipts_by_part(plant) {
            let first = found.all.len();
            found.starts.push(first);
            for i in receipts {
                found.add(plant, i as usize, first);
            }
        }
        found.starts.push(found.all.len());
        found
    }

    /// Adds a receipt of a part whose deliveries begin at one; they come in the order in which they are taken.
    fn add(&mut self, plant: &'p Plant, index: usize, first: usize) {
        let receipt = &plant.receipts[index];
        let alike =
            |last: &&mut Delivery<'_>| last.available == receipt.available && fold(last.order) == fold(&receipt.order);
        match self.all[first..].last_mut().filter(alike) {
            Some(last) => {
                last.open += receipt.qty;
                last.confirmed = both(last.confirmed, receipt.confirmed);
                if receipt.due < last.due {
                    (last.due, last.timed) = (receipt.due, receipt.timed);
                }
            }
            None => self.all.push(Delivery {
                part: receipt.part,
                order: &receipt.order,
                supplier: &receipt.supplier,
                due: receipt.due,
                timed: receipt.timed,
                available: receipt.available,
                overdue: receipt.overdue,
                confirmed: receipt.confirmed,
                open: receipt.qty,
            }),
        }
        self.of_receipt[index] = numbered(self.all.len()) - 1;
    }

    /// All of them, by part, then as they are taken.
    pub fn all(&self) -> &[Delivery<'p>] {
        &self.all
    }

    /// Those of a part, as they are taken.
    pub fn of_part(&self, part: PartId) -> &[Delivery<'p>] {
        &self.all[self.first_of(part)..self.first_of(PartId::of(part.at() + 1))]
    }

    /// The number of a part's first delivery; that of the next part's where it has none.
    pub fn first_of(&self, part: PartId) -> usize {
        self.starts[part.at()]
    }

    /// The number of a receipt's delivery.
    pub fn of_receipt(&self, receipt: u32) -> usize {
        self.of_receipt[receipt as usize] as usize
    }
}
