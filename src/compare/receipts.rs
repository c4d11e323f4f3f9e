//! Receipts that are needed earlier or later, cumulative: how much of each by when.

use super::code::Code;
use super::rows::PlanRows;
use super::runs::Runs;
use super::side::by_side;
use crate::base::{Moment, Quantity};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// How much of a receipt is needed by a moment, all that is needed before included.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Step {
    /// By when: the start of picking of the run it is for, or the need where no run brings it.
    pub by: Moment,
    /// How much was needed by then.
    pub old: Quantity,
    /// How much is needed by then now.
    pub new: Quantity,
}

/// A part of a purchase order that is needed otherwise.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ReceiptChange {
    /// The number of its purchase order.
    pub order: Code,
    /// What it brings.
    pub part: Code,
    /// When it is there, as far as either plan uses it.
    pub available: Option<Moment>,
    /// The moments by which more or less of it is needed.
    pub steps: Vec<Step>,
}

impl ReceiptChange {
    /// The first moment by which more of it is needed than before, though it is not there by then.
    pub fn missed(&self) -> Option<&Step> {
        let there = |step: &Step| self.available.is_some_and(|available| available <= step.by);
        self.steps.iter().find(|step| step.new > step.old && !there(step))
    }

    /// Whether more of it is needed by any moment than before.
    pub fn earlier(&self) -> bool {
        self.steps.iter().any(|step| step.new > step.old)
    }
}

/// What of a receipt is needed when, and when it is there.
#[derive(Default)]
struct Needed {
    by: BTreeMap<Moment, Quantity>,
    available: Option<Moment>,
}

/// All purchase orders' parts of which more or less is needed by any moment.
pub fn differ(old: &PlanRows, new: &PlanRows) -> Vec<ReceiptChange> {
    let pairs = by_side(needed(old), needed(new));
    let changes = pairs.map(|((order, part), old, new)| {
        let available = new.as_ref().or(old.as_ref()).and_then(|needed| needed.available);
        let steps = steps(&old.unwrap_or_default().by, &new.unwrap_or_default().by);
        ReceiptChange { order: order.clone(), part: part.clone(), available, steps }
    });
    changes.filter(|change| !change.steps.is_empty()).collect()
}

/// What is taken from each receipt, by when.
fn needed(rows: &PlanRows) -> BTreeMap<(&Code, &Code), Needed> {
    let runs = Runs::of(rows);
    let mut needed: BTreeMap<(&Code, &Code), Needed> = BTreeMap::new();
    for peg in rows.pegs.iter().filter(|peg| peg.cover.text() == "receipt") {
        let run = runs.serving(&peg.part, &peg.to, &peg.unit, peg.need);
        let by = run.map_or(peg.need, |(_, picked)| picked);
        let receipt = needed.entry((&peg.source, &peg.part)).or_default();
        *receipt.by.entry(by).or_default() += peg.qty;
        receipt.available = receipt.available.max(peg.available);
    }
    needed
}

fn steps(old: &BTreeMap<Moment, Quantity>, new: &BTreeMap<Moment, Quantity>) -> Vec<Step> {
    let moments: BTreeSet<Moment> = old.keys().chain(new.keys()).copied().collect();
    let (mut before, mut after) = (Quantity::ZERO, Quantity::ZERO);
    let steps = moments.into_iter().map(|by| {
        before += old.get(&by).copied().unwrap_or_default();
        after += new.get(&by).copied().unwrap_or_default();
        Step { by, old: before, new: after }
    });
    steps.filter(|step| step.old != step.new).collect()
}
