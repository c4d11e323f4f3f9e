//! Facts of a way to the part: where it begins, its bill lines, what becomes of it.

use super::names::{ChangeFacts, When};
use crate::base::{Moment, Place, Quantity, Ratio, Total};
use serde::Serialize;

/// A way to the part.
#[derive(Debug, Serialize)]
pub struct PathFacts {
    /// Where it begins.
    pub from: From,
    /// The quantity it begins with.
    pub start: Quantity,
    /// The bill lines, from the top down.
    pub steps: Vec<StepFacts>,
    /// The part it ends at: the one asked about, or one in whose job it is used.
    pub part: String,
    /// The quantity at its end; none where that is more than can be told.
    pub qty: Option<Total>,
    /// The unit of measure of that.
    pub uom: String,
    /// The station or shop it is for.
    pub to: Option<String>,
    /// When it is needed there.
    pub need: Option<Moment>,
    /// What becomes of it.
    pub outcome: Outcome,
    /// Where a condition fails: the smallest change of options that would make it hold.
    pub change: Option<OrderChange>,
}

/// Where a path begins.
#[derive(Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "from", rename_all = "kebab-case")]
pub enum From {
    /// At the unit's floorplan.
    Floorplan {
        /// Its code.
        floorplan: String,
    },
    /// At a job of a feeder shop.
    Job {
        /// Its name.
        job: String,
    },
    /// Below a make part that stock covers.
    Stock {
        /// The part that is there.
        part: String,
        /// The station or shop it is for.
        to: String,
    },
    /// At a row of extras.
    Extra {
        /// Why it is wanted, in the book's words.
        reason: String,
        /// Where it stands in `Extras`: file, sheet and row.
        place: Place,
    },
}

/// What becomes of a path.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "outcome", rename_all = "kebab-case")]
pub enum Outcome {
    /// It is part of a demand.
    Needed {
        /// Its index among the demands.
        demand: usize,
    },
    /// It has been delivered.
    Delivered {
        /// When the run left.
        run: Moment,
    },
    /// The station has its material already.
    Issued {
        /// The code of a station that is issued.
        station: String,
    },
    /// The job has begun: its material is there.
    Begun {
        /// The job's name.
        job: String,
    },
    /// What it would be built into is there already.
    Covered {
        /// The part that is there.
        part: String,
    },
    /// It is built inside a job.
    Inside {
        /// The job's name.
        job: String,
    },
    /// A phantom: its components stand in its place.
    Phantom,
    /// It comes off and is free from then on.
    Free {
        /// When.
        at: Moment,
    },
    /// A line does not hold for this unit.
    NotActive {
        /// The first such step, counted from 0.
        step: usize,
    },
    /// Multiplied out, nothing is left.
    Nothing {
        /// The first such step, counted from 0.
        step: usize,
    },
    /// The unit is held or set aside, so nothing is supplied.
    NotSupplied,
}

/// A bill line of a path.
#[derive(Debug, Serialize)]
pub struct StepFacts {
    /// Where the line stands in `Bills`: file, sheet and row.
    pub place: Place,
    /// The floorplan or part it belongs to.
    pub parent: String,
    /// Its component.
    pub part: String,
    /// What that is.
    pub description: String,
    /// Where that comes from.
    pub source: &'static str,
    /// The quantity above it.
    pub before: Option<Total>,
    /// How much one parent takes, as written.
    pub qty: Ratio,
    /// The unit of measure of that.
    pub uom: String,
    /// How it becomes the part's own unit of measure.
    pub conversion: Option<Conversion>,
    /// Of what is taken the share that is lost, below one.
    pub scrap: Ratio,
    /// Whether a scrap stands in the book but is left out, because the part is counted.
    pub scrap_left_out: bool,
    /// All three multiplied: what one parent takes in the part's own unit.
    pub factor: Ratio,
    /// The quantity above it times that, cut at the sixth place; none where that is more than can be told.
    pub after: Option<Total>,
    /// Whether something was cut off.
    pub cut: bool,
    /// The unit of measure of the part.
    pub part_uom: String,
    /// Whether it comes off instead of going in.
    pub gives: bool,
    /// The station, where the line names one.
    pub station: Option<String>,
    /// Its condition.
    pub when: Option<When>,
    /// Its changes.
    pub changes: Vec<ChangeFacts>,
    /// Whether it holds for this unit.
    pub active: bool,
    /// Its note.
    pub note: String,
}

/// One unit of measure in another.
#[derive(Debug, Serialize)]
pub struct Conversion {
    /// How many of the part's own unit one of the line's is.
    pub factor: Ratio,
    /// The row of the book that says so; none where the law does.
    pub place: Option<Place>,
}

/// The smallest change of a unit's options that makes a line hold.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OrderChange {
    /// Whether there is one.
    pub found: bool,
    /// Options to order.
    pub order: Vec<String>,
    /// Ordered options to leave out.
    pub leave_out: Vec<String>,
    /// Standard options to take away.
    pub take_away: Vec<String>,
    /// What the cell `options` of the sequence then says.
    pub options: String,
    /// Up to how many changes at once were tried.
    pub tried: usize,
}
