//! What is known about where a part is used: facts as data, for text and for programs alike.

use crate::base::{Date, Moment, Place, Quantity, Ratio, Total};
use crate::why::facts::{PartFacts, StockFacts};
use serde::Serialize;

/// Everything about where one part is used.
#[derive(Debug, Serialize)]
pub struct Uses {
    /// Its name, as it was given.
    pub book: String,
    /// The moment it is planned for.
    pub as_of: Moment,
    /// The part asked about, as the book describes it.
    pub part: PartFacts,
    /// Every way from a floorplan to it.
    pub paths: Vec<UsePath>,
    /// Floorplans that do not use it.
    pub not_on: Vec<String>,
    /// Parents that no floorplan leads to.
    pub idle: Vec<String>,
    /// What units ahead need of it, by day.
    pub days: Vec<Day>,
    /// The stations and shops they need it at.
    pub places: Vec<PlaceUse>,
    /// All of that together.
    pub total: Quantity,
    /// Its stock.
    pub stock: Vec<StockFacts>,
    /// The stock that the plan can use: all that lies in the stores, and of reserved and lineside stock what demands take of it.
    pub usable: Quantity,
    /// Its open receipts, in the order in which they are taken.
    pub receipts: Vec<ReceiptFacts>,
    /// What there is to call about, for pieces of it that stop the line.
    pub calls: Vec<CallFacts>,
    /// Of a bought part: the first demand that would be hit if nothing came any more.
    pub first_hit: Option<Hit>,
    /// Of a bought part: the first demand that is late or short as it is.
    pub first_wrong: Option<Hit>,
}

/// A way from a floorplan to the part.
#[derive(Debug, Serialize)]
pub struct UsePath {
    /// Its code; the bill it begins with.
    pub floorplan: String,
    /// The bill lines, from the top down.
    pub steps: Vec<UseStep>,
    /// How much one unit takes this way, where all conditions hold; none where that is more than can be told.
    pub qty: Option<Total>,
    /// Whether it comes off instead of going in.
    pub gives: bool,
    /// All conditions along the path together; blank where there is none.
    pub when: String,
    /// The changes along the path: `from C1`, `until C2`.
    pub changes: Vec<String>,
    /// The station or shop it is for.
    pub to: String,
}

/// A bill line.
#[derive(Debug, Serialize)]
pub struct UseStep {
    /// Where the line stands in `Bills`: file, sheet and row.
    pub place: Place,
    /// The floorplan or part it belongs to.
    pub parent: String,
    /// Its component.
    pub part: String,
    /// What one parent takes, in the part's own unit of measure.
    pub factor: Ratio,
    /// The unit of measure of the part.
    pub uom: String,
    /// The condition, as written.
    pub when: String,
}

/// What is needed on a day.
#[derive(Debug, Serialize)]
pub struct Day {
    /// The date of the need, whatever its time.
    pub date: Date,
    /// How much.
    pub qty: Quantity,
    /// For which units, in order of need.
    pub units: Vec<String>,
    /// What is late or short of it.
    pub wrong: Quantity,
}

/// A station or shop at which it is needed.
#[derive(Debug, Serialize)]
pub struct PlaceUse {
    /// Its code.
    pub to: String,
    /// Its name.
    pub name: String,
    /// How many demands.
    pub demands: usize,
    /// How much.
    pub qty: Quantity,
}

/// An open receipt.
#[derive(Debug, Serialize)]
pub struct ReceiptFacts {
    /// Its number, which is what the supplier knows it by.
    pub purchase_order: String,
    /// Who sends it.
    pub supplier: String,
    /// What is open.
    pub qty: Quantity,
    /// What the order says.
    pub due: Moment,
    /// Whether it says a time.
    pub timed: bool,
    /// When it is taken to be there.
    pub available: Moment,
    /// Whether it is overdue.
    pub overdue: bool,
    /// `overdue, not promised`, `day only` or `not confirmed`; blank where its order says a time.
    pub not_promised: &'static str,
    /// What the line would lose without it, where it is overdue or not confirmed, comes in the next three days and something leans on
    /// it.
    pub without: Option<LossFacts>,
    /// Where it stands in the book: file, sheet and row.
    pub place: Place,
}

/// What the line loses: a comparison, no forecast.
#[derive(Clone, Debug, Serialize)]
pub struct LossFacts {
    /// Each date begun on its times.
    pub by_date: Vec<LostFacts>,
    /// If nothing is made up, all lines together, in seconds.
    pub if_nothing_is_made_up: i64,
    /// How many units stop with no known end, which count beside.
    pub no_known_end: usize,
}

/// What a line loses on a date.
#[derive(Clone, Debug, Serialize)]
pub struct LostFacts {
    /// The code of the line on which the units stand.
    pub line: String,
    /// The date of the need.
    pub date: Date,
    /// Its working seconds.
    pub seconds: i64,
}

/// A call about the part.
#[derive(Debug, Serialize)]
pub struct CallFacts {
    /// `chase`, `bring forward` or `order`.
    pub what: &'static str,
    /// The purchase order; blank where it is still to be placed.
    pub purchase_order: String,
    /// How many by when, all told.
    pub steps: Vec<StepFacts>,
    /// The last moment at which none of it stops the line.
    pub saves_until: Option<Moment>,
    /// What the line loses if it alone fails and all other calls succeed.
    pub fails_alone: LossFacts,
    /// What it saves if it alone succeeds; none where not all parts were looked at.
    pub saves_alone: Option<SavedFacts>,
    /// The parts of the other calls with which alone it saves what it can, and what all of them save.
    pub together: Option<(Vec<String>, SavedFacts)>,
}

/// So many by a moment.
#[derive(Debug, Serialize)]
pub struct StepFacts {
    /// With their run until its picking; where that is past, the last moment that saves the line.
    pub by: Moment,
    /// How many, all told.
    pub qty: Quantity,
    /// The last moment at which none of these stops the line.
    pub saves_until: Option<Moment>,
}

/// What is saved, in the line's working seconds.
#[derive(Clone, Debug, Serialize)]
pub struct SavedFacts {
    /// Each date begun on its times.
    pub by_dates: i64,
    /// If nothing is made up.
    pub if_nothing_is_made_up: i64,
    /// How many units no longer stop with no known end.
    pub no_known_end: i64,
}

/// A demand that something is missing of.
#[derive(Debug, Serialize)]
pub struct Hit {
    /// Its code; blank for extras of nobody.
    pub unit: String,
    /// The station or shop.
    pub to: String,
    /// When it needs it.
    pub need: Moment,
    /// How much it needs.
    pub qty: Quantity,
    /// How much of that is missing.
    pub missing: Quantity,
}
