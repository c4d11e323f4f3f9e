//! Deliveries with what takes them, and the pieces of each part that come too late or never.

use super::text::sum_of;
use crate::base::{Moment, PartId, Quantity, fold};
use crate::netting::Demand;
use crate::plan::Outcome;

/// One purchase order's open quantity of one part that comes at one time.
pub struct Delivery<'p> {
    /// What comes.
    pub part: PartId,
    /// The purchase order.
    pub order: &'p str,
    /// Who sends it.
    pub supplier: &'p str,
    /// What the order says.
    pub due: Moment,
    /// Whether it says a time.
    pub timed: bool,
    /// When it is taken to be there.
    pub available: Moment,
    /// Whether it should have been there already.
    pub overdue: bool,
    /// How much is still open.
    pub open: Quantity,
    /// What this sequence takes of it, earliest need first.
    pub takers: Vec<Taker>,
}

/// A piece of a demand that a delivery covers.
pub struct Taker {
    /// The demand.
    pub demand: Demand,
    /// How much of it.
    pub qty: Quantity,
    /// Whether it comes after it is needed.
    pub late: bool,
    /// When its delivery run is picked.
    pub picked: Moment,
}

/// A piece of a demand that comes too late or never.
pub struct Waiting {
    /// The demand.
    pub demand: Demand,
    /// How much of it waits.
    pub qty: Quantity,
    /// What of the demand is there in time.
    pub in_time: Quantity,
    /// The delivery that covers it, by its index; `None` where it is short.
    pub delivery: Option<usize>,
    /// When that is there.
    pub available: Option<Moment>,
    /// When its delivery run is picked.
    pub picked: Moment,
}

/// A part of which something is late or short.
pub struct Shortage {
    /// The part.
    pub part: PartId,
    /// Whether something waits in the coming week; if so, the next two speak of that week alone.
    pub soon: bool,
    /// What it does at worst, as the sheet `the line` has it; `None` where only owners that are on no line wait.
    pub outcome: Option<Outcome>,
    /// What waits first: of what stops the line, where something does.
    pub first: Demand,
    /// The pieces that wait, by need.
    pub waiting: Vec<Waiting>,
}

impl Delivery<'_> {
    /// Whether a receipt is part of it.
    pub fn is_of(&self, order: &str, available: Moment) -> bool {
        self.available == available && fold(self.order) == fold(order)
    }

    /// What this sequence takes of it.
    pub fn taken(&self) -> Quantity {
        sum_of(self.takers.iter().map(|taker| taker.qty))
    }
}

impl Shortage {
    /// Whether the line stops for it.
    pub fn stops_line(&self) -> bool {
        self.outcome == Some(Outcome::StopsTheLine)
    }

    /// What stops for it: `the line`, or else what comes of it.
    pub fn stops(&self) -> &'static str {
        match self.outcome {
            Some(Outcome::StopsTheLine) => "the line",
            Some(Outcome::CanFollow) => "no: can follow",
            Some(Outcome::SpecialRun) => "no: special run",
            None => "no unit",
        }
    }

    /// How much comes too late, and how much never.
    pub fn late_and_short(&self) -> (Quantity, Quantity) {
        let of = |late: bool| {
            sum_of(self.waiting.iter().filter(|piece| piece.delivery.is_some() == late).map(|piece| piece.qty))
        };
        (of(true), of(false))
    }

    /// `late`, `short`, or both.
    pub fn word(&self) -> &'static str {
        match self.late_and_short() {
            (late, short) if late.is_positive() && short.is_positive() => "late and short",
            (late, _) if late.is_positive() => "late",
            _ => "short",
        }
    }

    /// How many different ones wait, whose material it is.
    pub fn units(&self) -> usize {
        let mut owners: Vec<_> = self.waiting.iter().map(|piece| piece.demand.owner).collect();
        owners.sort_unstable();
        owners.dedup();
        owners.len()
    }
}
