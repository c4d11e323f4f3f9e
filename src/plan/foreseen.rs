//! What units that start after the sequence ends are expected to take: rows of the table `outlook`, and what they rest on.

use crate::base::{ChangeId, Date, FloorplanId, PartId, Quantity, UnitId};

/// What is expected of all bought parts.
#[derive(Clone, Debug, Default)]
pub struct Foreseen {
    /// For each part and period, in this order, periods by their first and last day.
    pub rows: Vec<Expected>,
    /// For each floorplan of which units are forecast, in the order of the book, what that is taken from.
    pub samples: Vec<Sampled>,
    /// Parts of which so much would be taken that no quantity holds it: they have no rows.
    pub too_large: Vec<PartId>,
    /// Changes that begin within a period, and the period: what it takes is as before the change.
    pub within: Vec<(ChangeId, (Date, Date))>,
}

/// What is expected to be taken of a part in a period.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Expected {
    /// A bought part.
    pub part: PartId,
    /// The first day of the period.
    pub from: Date,
    /// The last day of the period.
    pub to: Date,
    /// What is taken on average, cut at the sixth place.
    pub mean: Quantity,
    /// The least amount that is enough with a chance of one half.
    pub half: Quantity,
    /// The least amount that is enough with a chance of 95 in a hundred.
    pub nearly_all: Quantity,
    /// Where the balance ends, less what is nearly all of the periods before; negative where these take more than there is.
    pub left: Quantity,
    /// What must be ordered besides, so that nearly all and the safety stock are there.
    pub to_order: Quantity,
    /// The last day to order it, where there is something to order.
    pub order_by: Option<Date>,
}

/// The units from which it is taken what one further on will need.
#[derive(Clone, Debug)]
pub struct Sampled {
    /// Their floorplan.
    pub floorplan: FloorplanId,
    /// They themselves, the first of the sequence first; none where nothing can be said of the floorplan.
    pub units: Vec<UnitId>,
    /// How many units of the floorplan are left out because their orders are wrong.
    pub wrong: usize,
    /// How many units are forecast in all periods.
    pub forecast: u64,
}
