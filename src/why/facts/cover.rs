//! Facts of a demand: what it needs when, what covers it, and who stood before it.

use crate::base::{Moment, Place, Quantity, Ratio};
use serde::Serialize;

/// What a unit needs of a part at one place by one moment.
#[derive(Debug, Serialize)]
pub struct DemandFacts {
    /// The code of what is needed.
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
    /// When it is there, where it is not there already; of what a job brings, its late material waited for.
    pub available: Option<Moment>,
    /// By how many minutes that is late.
    pub late_minutes: i64,
    /// Whether nothing says when it is there: its job waits for material of which nothing says it.
    pub not_known: bool,
    /// Whether it comes after the picking of its run, but before it is needed.
    pub special_run: bool,
    /// Of a receipt: what the order says.
    pub due: Option<Moment>,
    /// Of a receipt: whether that is past.
    pub overdue: bool,
    /// Of a receipt: `overdue, not promised`, `day only` or `not confirmed`; blank where its order says a time.
    pub not_promised: &'static str,
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
    /// The code of who took it before; blank for nobody in particular.
    pub unit: String,
    /// The station or shop.
    pub to: String,
    /// When it needs it.
    pub need: Moment,
    /// How much it took.
    pub qty: Quantity,
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
    /// Where it stands in `Stock`: file, sheet and row.
    pub place: Place,
}
