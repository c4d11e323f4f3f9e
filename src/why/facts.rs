//! What is known about why a unit needs a part, or does not: facts as data, for text and for programs alike.

use crate::base::{Date, Moment, Place, Quantity, Ratio};
use serde::Serialize;

/// Everything about one unit and one part.
#[derive(Debug, Serialize)]
pub struct Why {
    /// The book.
    pub book: String,
    /// The moment it is planned for.
    pub as_of: Moment,
    /// The unit.
    pub unit: UnitFacts,
    /// The part.
    pub part: PartFacts,
    /// The answer in short.
    pub verdict: Verdict,
    /// Every way from the floorplan, from a job, or from an extra to the part.
    pub paths: Vec<PathFacts>,
    /// What the unit needs of the part, and of the parts it is built into, with what covers it.
    pub demands: Vec<DemandFacts>,
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
        would_need: Quantity,
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
    /// The quantity at its end.
    pub qty: Quantity,
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
        /// The reason given.
        reason: String,
        /// The row.
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
        /// The station.
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
    /// The row.
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
    pub before: Quantity,
    /// How much one parent takes, as written.
    pub qty: Ratio,
    /// The unit of measure of that.
    pub uom: String,
    /// How it becomes the part's own unit of measure.
    pub conversion: Option<Conversion>,
    /// The share lost.
    pub scrap: Ratio,
    /// Whether a scrap stands in the book but is left out, because the part is counted.
    pub scrap_left_out: bool,
    /// All three multiplied: what one parent takes in the part's own unit.
    pub factor: Ratio,
    /// The quantity above it times that, cut at the sixth place.
    pub after: Quantity,
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

/// A condition and whether it holds.
#[derive(Clone, Debug, Serialize)]
pub struct When {
    /// As written.
    pub text: String,
    /// Whether it holds.
    pub holds: bool,
    /// Its names, each once.
    pub names: Vec<NameFacts>,
}

/// A name and whether it is true for the unit.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NameFacts {
    /// The name.
    pub name: String,
    /// What it stands for, where it is an option with a name of its own.
    pub meaning: String,
    /// Whether it is true.
    pub holds: bool,
    /// Why.
    #[serde(flatten)]
    pub how: How,
    /// The row that decides it.
    pub place: Option<Place>,
}

/// Why a name is true or not.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(tag = "how", rename_all = "kebab-case")]
pub enum How {
    /// The option was ordered.
    Ordered,
    /// The option is in a package.
    Package {
        /// The package.
        package: String,
    },
    /// The option is standard on the floorplan.
    Standard,
    /// A rule added the option.
    Rule {
        /// Its message.
        message: String,
    },
    /// The option is standard, but was taken away.
    TakenAway,
    /// The option is standard, but the unit has another of its group.
    Instead {
        /// The group.
        group: String,
        /// What it has.
        has: String,
    },
    /// The option is offered, but was not ordered.
    NotOrdered,
    /// The floorplan does not offer the option.
    NotOffered,
    /// It is the floorplan, series or line of the unit, or of others.
    Built {
        /// `floorplan`, `series` or `line`.
        what: &'static str,
    },
}

/// A change and on which side of it the unit is.
#[derive(Clone, Debug, Serialize)]
pub struct ChangeFacts {
    /// Its code.
    pub change: String,
    /// What changes.
    pub description: String,
    /// Whether the line begins (`from`) or ends (`until`) with it.
    pub side: &'static str,
    /// Whether the unit has reached it.
    pub reached: bool,
    /// The date it begins on.
    pub from_date: Option<Date>,
    /// The unit it begins with.
    pub from_unit: Option<String>,
    /// What the same parent takes in its place on the other side of the change.
    pub others: Vec<String>,
    /// The first unit on the plan that reaches it, and when that enters.
    pub first: Option<(String, Moment)>,
    /// The row.
    pub place: Place,
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

/// What a unit needs of a part at one place by one moment.
#[derive(Debug, Serialize)]
pub struct DemandFacts {
    /// The part.
    pub part: String,
    /// What it is.
    pub description: String,
    /// The station or shop.
    pub to: String,
    /// Its name.
    pub to_name: String,
    /// When it is needed.
    pub need: Moment,
    /// How much.
    pub qty: Quantity,
    /// The unit of measure.
    pub uom: String,
    /// Whether that is a station, not a shop.
    pub station: bool,
    /// When the unit arrives, where the need follows from that.
    pub arrives: Option<Moment>,
    /// How many minutes before that, or before the job's start, it is wanted.
    pub ahead_minutes: Ratio,
    /// When the run it goes with leaves.
    pub run: Option<Moment>,
    /// When the picking of that run starts.
    pub picked: Option<Moment>,
    /// What covers it, as it is taken.
    pub covers: Vec<CoverFacts>,
}

/// A piece of a demand and what covers it.
#[derive(Debug, Serialize)]
pub struct CoverFacts {
    /// How much.
    pub qty: Quantity,
    /// `by-product`, `reserved`, `lineside`, `stock`, `receipt`, `job` or `none`.
    pub cover: &'static str,
    /// The purchase order or the job.
    pub source: String,
    /// When it is there, where it is not there already.
    pub available: Option<Moment>,
    /// By how many minutes that is late.
    pub late_minutes: i64,
    /// Whether it comes after the picking of its run, but before it is needed.
    pub special_run: bool,
    /// Of a receipt: what the order says.
    pub due: Option<Moment>,
    /// Of a receipt: whether that is past.
    pub overdue: bool,
    /// What there was before anybody took of it.
    pub from: Option<Quantity>,
    /// Who took of it before.
    pub queue: Option<Queue>,
    /// The rows of the stock or the receipt.
    pub places: Vec<Place>,
    /// Where the stock lies.
    pub locations: Vec<String>,
}

/// Who stood before a demand.
#[derive(Debug, Default, Serialize)]
pub struct Queue {
    /// How many demands.
    pub demands: usize,
    /// How much they took in all.
    pub qty: Quantity,
    /// The last of them, the nearest last.
    pub last: Vec<Taker>,
}

/// A demand that was served before.
#[derive(Clone, Debug, Serialize)]
pub struct Taker {
    /// The unit.
    pub unit: String,
    /// The station or shop.
    pub to: String,
    /// When it needs it.
    pub need: Moment,
    /// How much it took.
    pub qty: Quantity,
}

/// A job.
#[derive(Debug, Serialize)]
pub struct JobFacts {
    /// Its name.
    pub job: String,
    /// The shop.
    pub shop: String,
    /// The shop's name.
    pub shop_name: String,
    /// The crew, from 1.
    pub crew: u32,
    /// What it builds.
    pub part: String,
    /// How much.
    pub qty: Quantity,
    /// Where to.
    pub to: String,
    /// When that is needed.
    pub need: Moment,
    /// Its length in minutes.
    pub minutes: Ratio,
    /// Whether it has begun.
    pub started: bool,
    /// Before this it can't start.
    pub release: Moment,
    /// By then it should be finished.
    pub due: Moment,
    /// Its earliest start.
    pub earliest: Moment,
    /// Its start, as late as possible.
    pub start: Moment,
    /// When it is finished.
    pub finish: Moment,
    /// When what it builds is there.
    pub available: Moment,
    /// How many minutes that is late.
    pub late_minutes: i64,
    /// By-products of the unit it has to wait for.
    pub waits_for: Vec<String>,
    /// The job its crew does just before, and when that is finished.
    pub after: Option<(String, Moment)>,
    /// `ready`, `late`, `short` or `issued`.
    pub material: &'static str,
    /// When the last of the material is there, where it is late.
    pub material_at: Option<Moment>,
}

/// A row of stock.
#[derive(Clone, Debug, Serialize)]
pub struct StockFacts {
    /// How much.
    pub qty: Quantity,
    /// Where it lies.
    pub location: String,
    /// The station or shop it lies at.
    pub lineside: Option<String>,
    /// The unit it is reserved for.
    pub reserved: Option<String>,
    /// Why it can't be used.
    pub hold: Option<String>,
    /// The row.
    pub place: Place,
}
