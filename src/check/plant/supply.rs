//! What there is, what comes, and what is asked for beside the bills.

use crate::base::{Date, DestId, Moment, PartId, Quantity, Seconds, UnitId};

/// A row of stock.
#[derive(Clone, Debug)]
pub struct Stock {
    /// What lies there, whatever its source.
    pub part: PartId,
    /// How much, in the part's own unit of measure.
    pub qty: Quantity,
    /// Where it lies.
    pub location: String,
    /// The station or shop it lies at, where it serves no other.
    pub lineside: Option<DestId>,
    /// The unit it is reserved for.
    pub reserved: Option<UnitId>,
    /// Why it can't be used.
    pub hold: Option<String>,
    /// The row it stands on.
    pub row: u32,
}

/// For whom stock is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Serves {
    /// For one unit, wherever it lies.
    Unit(UnitId),
    /// For whoever needs it at one station or shop, where it lies.
    Place(DestId),
    /// For whoever needs it: it lies in the stores.
    Anyone,
}

/// An open receipt of a bought part.
#[derive(Clone, Debug)]
pub struct Receipt {
    /// Its number, in the book's letters; rows of one order share it.
    pub order: String,
    /// A bought part.
    pub part: PartId,
    /// What is still open, in the part's own unit of measure.
    pub qty: Quantity,
    /// What the order says.
    pub due: Moment,
    /// Whether it says a time.
    pub timed: bool,
    /// The day on which it is taken to come.
    pub day: Date,
    /// When it is taken to be there.
    pub available: Moment,
    /// Whether it should have been there already.
    pub overdue: bool,
    /// Whether the supplier has confirmed it; `None`: not known.
    pub confirmed: Option<bool>,
    /// Who sends it.
    pub supplier: String,
    /// The row it stands on.
    pub row: u32,
}

impl Receipt {
    /// What there is to say of its moment where nobody promised it; blank where its order says a time that is not denied.
    pub fn not_promised(&self) -> &'static str {
        not_promised(self.overdue, self.timed, self.confirmed)
    }
}

/// What there is to say of a moment that nobody promised: of an order that is overdue, says a day only, or is not confirmed.
pub fn not_promised(overdue: bool, timed: bool, confirmed: Option<bool>) -> &'static str {
    match (overdue, timed, confirmed) {
        (true, ..) => "overdue, not promised",
        (false, false, Some(false)) => "day only, not confirmed",
        (false, true, Some(false)) => "not confirmed",
        (false, false, _) => "day only",
        (false, true, _) => "",
    }
}

/// Whom an extra is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ExtraFor {
    /// A unit of the sequence.
    Unit(UnitId),
    /// A unit that is not in the sequence.
    Code(String),
    /// Nobody in particular.
    Nobody,
}

/// What no bill asks for.
#[derive(Clone, Debug)]
pub struct Extra {
    /// What is wanted beyond the bills.
    pub part: PartId,
    /// How much, in the part's own unit of measure.
    pub qty: Quantity,
    /// Where to.
    pub to: DestId,
    /// When; blank: at the unit's need at that station.
    pub needed: Option<Moment>,
    /// Whom it is for.
    pub owner: ExtraFor,
    /// Why.
    pub reason: String,
    /// The row it stands on.
    pub row: u32,
}

/// A job already begun.
#[derive(Clone, Debug)]
pub struct Started {
    /// The unit, in the form codes are compared.
    pub unit: String,
    /// What is being made.
    pub part: PartId,
    /// What is left of it.
    pub left: Seconds,
    /// The row it stands on.
    pub row: u32,
}
