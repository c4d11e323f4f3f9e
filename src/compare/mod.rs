//! What changed between two plans, as a change notice: a pure function over the rows of their tables.
//!
//! What is told: units that are new, gone, moved, built or standing otherwise; for each run and kit what to add and what to
//! take out, so that the old quantity and the change give the new one for every run, part, destination and unit; what units
//! need more, less or at another time; jobs that are new, gone, of another quantity, shop or standing, or that start more
//! than so many minutes earlier or later; what is short or late in one plan and not, or otherwise, in the other; how much of
//! each purchase order's part is needed by when, cumulative; planned orders, and those for units past the
//! sequence. What the tables don't say is left out.
//!
//! Where runs are picked already, also the way with the fewest pieces handled from the carts as they are to the carts as they
//! should be ([`walk`]).

mod carts;
mod cells;
mod code;
mod deliveries;
mod folder;
mod words;
mod text;
mod sheets;
mod order;
mod jobs;
mod needs;
mod orders;
mod outlook;
mod pulls;
mod receipts;
mod rows;
mod runs;
mod settled;
mod shortages;
mod side;
mod units;
mod walk;

pub use carts::{Carts, Held, Kit, Material, picked};
pub use cells::Wrong;
pub use code::{Code, Codes};
pub use deliveries::{Deliveries, Delivery, OtherRun};
pub use folder::{list_of, read, tables_of};
pub use jobs::JobChange;
pub use needs::{NeedChange, totals};
pub use orders::OrderChange;
pub use outlook::OutlookChange;
pub use pulls::PullChange;
pub use receipts::{ReceiptChange, Step};
pub use rows::{DemandRow, ExpectedRow, JobRow, OrderRow, PegRow, PlanRows, PullRow, UnitRow};
pub use settled::{Settled, settle};
pub use shortages::{Lack, Missing, ShortageChange};
pub use text::{brief, text};
pub use units::UnitChange;
pub use walk::{Act, CartTour, Task, walk};

use crate::base::{Moment, Seconds};
pub use sheets::{Side, workbook};

use serde::Serialize;
use std::collections::BTreeMap;

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CompareTerms {
    /// Jobs whose start is another by more than this count as moved.
    pub jobs_moved: Seconds,
    /// All runs of the old plan up to this one are on carts.
    pub picked_through: Option<Moment>,
    /// What was needed before this moment, and is no longer asked for, has been used.
    pub as_of: Option<Moment>,
}

/// What a part is, where it lies, in what it is counted; as far as pulls and demands tell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PartFacts {
    /// What it is.
    pub description: Code,
    /// Where it is stored.
    pub location: Code,
    /// Its unit of measure.
    pub uom: Code,
}

/// What changed between two plans.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Notice {
    /// What to do with what is picked already.
    pub walk: Option<CartTour>,
    /// Units.
    pub units: Vec<UnitChange>,
    /// Lines of kits and bulk deliveries.
    pub pulls: Vec<PullChange>,
    /// Demands.
    pub needs: Vec<NeedChange>,
    /// Jobs.
    pub jobs: Vec<JobChange>,
    /// Shortages.
    pub shortages: Vec<ShortageChange>,
    /// Receipts by when they are needed.
    pub receipts: Vec<ReceiptChange>,
    /// Planned orders.
    pub orders: Vec<OrderChange>,
    /// Orders for units past the sequence.
    pub outlook: Vec<OutlookChange>,
    /// The parts it speaks of.
    #[serde(skip)]
    pub parts: BTreeMap<Code, PartFacts>,
}

impl Notice {
    /// Whether the two plans are the same in all that it tells.
    pub fn is_empty(&self) -> bool {
        self.units.is_empty()
            && self.pulls.is_empty()
            && self.needs.is_empty()
            && self.jobs.is_empty()
            && self.shortages.is_empty()
            && self.receipts.is_empty()
            && self.orders.is_empty()
            && self.outlook.is_empty()
    }
}

/// What changed from an old plan to a new one.
pub fn notice(old: &PlanRows, new: &PlanRows, asked: &CompareTerms) -> Notice {
    Notice {
        walk: asked.picked_through.map(|through| walk::walk(old, new, through, asked.as_of)),
        units: units::differ(old, new),
        pulls: pulls::differ(old, new),
        needs: needs::differ(old, new),
        jobs: jobs::differ(old, new, asked.jobs_moved),
        shortages: shortages::differ(old, new),
        receipts: receipts::differ(old, new),
        orders: orders::differ(old, new),
        outlook: outlook::differ(old, new),
        parts: parts(old, new),
    }
}

/// What the tables tell of parts; the new plan's word counts.
fn parts(old: &PlanRows, new: &PlanRows) -> BTreeMap<Code, PartFacts> {
    let mut parts: BTreeMap<Code, PartFacts> = BTreeMap::new();
    for pull in new.pulls.iter().chain(&old.pulls) {
        if !parts.contains_key(&pull.part) {
            let [description, location, uom] = [&pull.description, &pull.location, &pull.uom].map(Code::clone);
            parts.insert(pull.part.clone(), PartFacts { description, location, uom });
        }
    }
    for demand in new.demands.iter().chain(&old.demands) {
        if !parts.contains_key(&demand.part) {
            let [description, location] = ["", ""].map(Code::from);
            parts.insert(demand.part.clone(), PartFacts { description, location, uom: demand.uom.clone() });
        }
    }
    parts
}
