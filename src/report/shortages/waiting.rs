//! Deliveries with what takes them, and the pieces of each part that come too late or never.

use super::text::sum_of;
use crate::base::{Moment, PartId, Quantity};
use crate::netting::Demand;
use crate::plan::{Delivery, Outcome, Taken};

/// A delivery, what the whole sequence takes of it, and who takes pieces of it that come too late.
pub struct Coming<'p> {
    /// What comes.
    pub delivery: &'p Delivery<'p>,
    /// What is taken of it.
    pub taken: &'p Taken,
    /// The pieces that come after they are needed, earliest need first.
    pub late: Vec<Taker>,
}

/// A piece of a demand that a delivery covers too late.
pub struct Taker {
    /// The demand.
    pub demand: Demand,
    /// How much of it.
    pub qty: Quantity,
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

impl Coming<'_> {
    /// What the sequence leaves of it.
    pub fn left(&self) -> Quantity {
        self.delivery.open - self.taken.qty
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
