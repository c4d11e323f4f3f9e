//! Deliveries with what takes them, and the pieces of each part that come too late or never.

use crate::base::{Moment, Quantity};
use crate::netting::Demand;
use crate::plan::{Delivery, Outcome, Taken, Trouble};

/// A delivery, and what the whole sequence takes of it.
pub struct Coming<'p> {
    /// Its number.
    pub number: usize,
    /// What comes.
    pub delivery: &'p Delivery<'p>,
    /// What is taken of it.
    pub taken: &'p Taken,
}

/// A piece of a demand that comes too late or never.
pub struct Waiting {
    /// The whole need it is a piece of.
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

impl Coming<'_> {
    /// What the sequence leaves of it.
    pub fn left(&self) -> Quantity {
        self.delivery.open - self.taken.qty
    }
}

/// What stops for a part that is late or short: `the line`, or else what comes of it.
pub fn stops(trouble: &Trouble) -> &'static str {
    match trouble.outcome {
        Some(Outcome::StopsTheLine) => "the line",
        Some(Outcome::CanFollow) => "no: can follow",
        Some(Outcome::SpecialRun) => "no: special run",
        None => "no unit",
    }
}

/// Whether the line stops for a part.
pub fn stops_line(trouble: &Trouble) -> bool {
    trouble.outcome == Some(Outcome::StopsTheLine)
}

/// `late`, `short`, or both.
pub fn how(trouble: &Trouble) -> &'static str {
    match (trouble.late.is_positive(), trouble.short.is_positive()) {
        (true, true) => "late and short",
        (true, false) => "late",
        _ => "short",
    }
}
