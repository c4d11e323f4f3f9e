//! What is known about where a part is used: facts as data, for text and for programs alike.

use crate::base::{Date, Moment, Place, Quantity, Ratio, Total};
use crate::why::facts::{PartFacts, StockFacts};
use serde::Serialize;

/// Everything about where one part is used.
#[derive(Debug, Serialize)]
pub struct Uses {
    /// The book.
    pub book: String,
    /// The moment it is planned for.
    pub as_of: Moment,
    /// The part.
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
    /// Of a bought part: the first demand that would be hit if nothing came any more.
    pub first_hit: Option<Hit>,
    /// Of a bought part: the first demand that is late or short as it is.
    pub first_wrong: Option<Hit>,
}

/// A way from a floorplan to the part.
#[derive(Debug, Serialize)]
pub struct UsePath {
    /// The floorplan.
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
    /// The row.
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
    /// The day.
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
    /// The purchase order.
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
    /// The row.
    pub place: Place,
}

/// A demand that something is missing of.
#[derive(Debug, Serialize)]
pub struct Hit {
    /// The unit.
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
