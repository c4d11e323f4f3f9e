//! What can be ordered, and what is: floorplans, options, rules, changes, units of the sequence.

use crate::base::{Date, FloorplanId, GroupId, LineId, Moment, NameId, Quantity, UnitId};
use std::ops::Range;

/// A floorplan.
#[derive(Clone, Debug)]
pub struct Floorplan {
    /// Its code.
    pub code: String,
    /// Its name, or the code.
    pub name: String,
    /// It as a name in expressions.
    pub as_name: NameId,
    /// Its series as a name.
    pub series: Option<NameId>,
    /// Its bill lines.
    pub bill: Range<usize>,
    /// For each option, whether it is offered.
    pub offers: Vec<bool>,
    /// Its standard options: those with packages first, then in the order of the offers.
    pub standards: Vec<NameId>,
    /// The row it stands on.
    pub row: u32,
}

/// An option.
#[derive(Clone, Debug)]
pub struct Choice {
    /// Its code.
    pub code: String,
    /// Its name, or the code.
    pub name: String,
    /// The group it belongs to.
    pub group: Option<GroupId>,
    /// The options it includes.
    pub includes: Vec<NameId>,
    /// The rows of `Packages` that say so, one for each.
    pub include_rows: Vec<u32>,
    /// The row it stands on.
    pub row: u32,
}

/// How many options of a group a unit has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choose {
    /// Exactly one.
    One,
    /// One or none.
    AtMostOne,
    /// Any number.
    Any,
}

/// An option group.
#[derive(Clone, Debug)]
pub struct Group {
    /// Its code.
    pub code: String,
    /// How many of it a unit has.
    pub choose: Choose,
    /// The row it stands on.
    pub row: u32,
}

/// A row that says whether an option is offered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Offer {
    /// On which floorplan; on all where there is none.
    pub floorplan: Option<FloorplanId>,
    /// What is offered, or not.
    pub option: NameId,
    /// Whether it can be ordered there.
    pub offered: bool,
    /// The row it stands on.
    pub row: u32,
}

/// How many pieces of a kind a unit has.
#[derive(Clone, Debug)]
pub struct Content {
    /// The kind: an index of the plant's kinds.
    pub kind: u32,
    /// The floorplan or series that it holds for; all where there is none.
    pub only: Option<NameId>,
    /// At least so many.
    pub least: Quantity,
    /// At most so many.
    pub most: Quantity,
    /// Index of the condition under which it applies.
    pub when: u32,
    /// What to tell people.
    pub message: String,
    /// The row it stands on.
    pub row: u32,
}

/// How many units of a floorplan start in a period after the sequence ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Forecast {
    /// Of which units are expected; no two of its periods share a day.
    pub floorplan: FloorplanId,
    /// The day on which the period begins; units start on it at the earliest.
    pub from: Date,
    /// The last day; not before the first.
    pub to: Date,
    /// How many units.
    pub units: u32,
    /// The row it stands on.
    pub row: u32,
}

/// A rule among options.
#[derive(Clone, Debug)]
pub struct Rule {
    /// Index of its condition.
    pub when: u32,
    /// What it adds.
    pub adds: Vec<NameId>,
    /// Index of what must then be true.
    pub must: Option<u32>,
    /// What to tell people.
    pub message: String,
    /// The row it stands on.
    pub row: u32,
}

/// An engineering change.
#[derive(Clone, Debug)]
pub struct Change {
    /// Its code.
    pub code: String,
    /// What changes.
    pub description: String,
    /// From which start date on.
    pub from_date: Option<Date>,
    /// From which unit on.
    pub from_unit: Option<UnitId>,
}

/// A row of the build sequence.
#[derive(Clone, Debug)]
pub struct Unit {
    /// Its code.
    pub code: String,
    /// Its line.
    pub line: LineId,
    /// Its place in the line's order.
    pub seq: Quantity,
    /// Its floorplan; `Err` holds the text of one that is not there.
    pub floorplan: Result<FloorplanId, String>,
    /// Ordered options; `true` for one taken away.
    pub ordered: Vec<(NameId, bool)>,
    /// Ordered options that are not there.
    pub unknown_options: Vec<String>,
    /// Not before this date.
    pub start: Option<Date>,
    /// Empty places before it.
    pub gap: u32,
    /// The position it stands at.
    pub at: Option<u32>,
    /// Up to this position its material is issued; 0 for none.
    pub issued: u32,
    /// Why it is held back.
    pub hold: Option<String>,
    /// Whether it has left the line.
    pub done: bool,
    /// The row it stands on.
    pub row: u32,
}

impl Unit {
    /// Whether it is on its line or to enter it: neither held nor done.
    pub fn on_plan(&self) -> bool {
        self.hold.is_none() && !self.done
    }
}

/// What a finished unit weighs.
#[derive(Clone, Copy, Debug)]
pub struct Weighed {
    /// Whose weight it is.
    pub unit: UnitId,
    /// What the scale showed, in kilograms.
    pub kilograms: Quantity,
    /// When, where the row says so.
    pub when: Option<Moment>,
    /// How many earlier weights of it there are, which do not count.
    pub earlier: usize,
    /// The row it stands on.
    pub row: u32,
}
