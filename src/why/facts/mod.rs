//! What is known about why a unit needs a part, or does not: facts as data, for text and for programs alike.

mod cover;
mod effect;
mod job;
mod names;
mod path;
mod unit;

pub use cover::{CoverFacts, DemandFacts, Queue, StockFacts, Taker};
pub use effect::EffectFacts;
pub use job::JobFacts;
pub use names::{ChangeFacts, How, NameFacts, When};
pub use path::{Conversion, From, OrderChange, Outcome, PathFacts, StepFacts};
pub use unit::{ExtraLine, GroupFacts, PartLine, Station, UnitWhy};

use crate::base::{Moment, Place, Quantity, Total};
use serde::Serialize;

/// Everything about one unit and one part.
#[derive(Debug, Serialize)]
pub struct Why {
    /// Its name, as it was given.
    pub book: String,
    /// The moment it is planned for.
    pub as_of: Moment,
    /// The unit asked about, as it stands on the plan.
    pub unit: UnitFacts,
    /// The part asked about, as the book describes it.
    pub part: PartFacts,
    /// The answer in short.
    pub verdict: Verdict,
    /// All that its demands for the part come to.
    pub needed: Quantity,
    /// Every way from the floorplan, from a job, or from an extra to the part.
    pub paths: Vec<PathFacts>,
    /// What the unit needs of the part, and of the parts it is built into, with what covers it.
    pub demands: Vec<DemandFacts>,
    /// What its pieces that are not there in time do to the line.
    pub effects: Vec<EffectFacts>,
    /// The jobs in which the part is built or built in.
    pub jobs: Vec<JobFacts>,
    /// The floorplans whose bills lead to the part.
    pub used_on: Vec<String>,
    /// The part's stock on hold.
    pub on_hold: Vec<StockFacts>,
}

/// The answer in short.
#[derive(Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Verdict {
    /// It is needed; the index of the demand that stands worst, then first.
    Needed {
        /// Its index among the demands.
        demand: usize,
    },
    /// It comes off the unit and is not asked for.
    ComesOff,
    /// It has been delivered with a run that has left.
    Delivered,
    /// The station it is for has its material already.
    Issued,
    /// The job it is for has begun.
    Begun,
    /// What it would be built into is there already.
    Covered,
    /// It is built inside a job of its own shop.
    Inside,
    /// It is a phantom: its components stand in its place.
    Phantom,
    /// Lines lead to it, but none holds for this unit.
    NotActive,
    /// The quantity is nothing.
    Nothing,
    /// No bill line of the floorplan leads to it.
    NotUsed,
    /// The unit is on hold; whether it would need it.
    Held {
        /// How much it would need.
        would_need: Option<Total>,
    },
    /// The unit is set aside.
    SetAside,
    /// The unit has left the line.
    Done,
}

/// A unit.
#[derive(Debug, Serialize)]
pub struct UnitFacts {
    /// Its code.
    pub unit: String,
    /// Its line.
    pub line: String,
    /// Its place in the line's order.
    pub seq: Quantity,
    /// Its floorplan.
    pub floorplan: String,
    /// `clear`, `late`, `short`, `hold`, `set aside` or `done`.
    pub status: String,
    /// Why it is held, or what is wrong with its order.
    pub why: Vec<String>,
    /// When it enters its line.
    pub enters: Option<Moment>,
    /// When it leaves its line.
    pub leaves: Option<Moment>,
    /// The station at which it stands, with the name.
    pub at: Option<String>,
    /// Its row in the sequence.
    pub place: Place,
}

/// A part.
#[derive(Debug, Serialize)]
pub struct PartFacts {
    /// Its code.
    pub part: String,
    /// What it is.
    pub description: String,
    /// Its unit of measure.
    pub uom: String,
    /// `buy`, `make`, `phantom` or `by-product`.
    pub source: &'static str,
    /// The shop that makes it.
    pub shop: Option<String>,
    /// `kit`, `sequence` or `bulk`.
    pub issue: &'static str,
    /// Where it is stored.
    pub location: String,
    /// Its row.
    pub place: Place,
}
