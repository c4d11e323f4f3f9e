//! Facts of a unit as it is built: its options, its stations and parts, its extras, its jobs.

use super::{DemandFacts, JobFacts, NameFacts, UnitFacts};
use crate::base::{Moment, Place, Quantity, Total};
use serde::Serialize;

/// A unit as it is built.
#[derive(Debug, Serialize)]
pub struct UnitWhy {
    /// Its name, as it was given.
    pub book: String,
    /// The moment it is planned for.
    pub as_of: Moment,
    /// The unit asked about, as it stands on the plan.
    pub unit: UnitFacts,
    /// Its options, by group: first those of groups, in the order of the book, then the others.
    pub options: Vec<GroupFacts>,
    /// Standard options that were taken away.
    pub taken_away: Vec<String>,
    /// What each station asks for, in the order of the line.
    pub stations: Vec<Station>,
    /// What extras ask for it.
    pub extras: Vec<ExtraLine>,
    /// Its jobs, by shop and start.
    pub jobs: Vec<JobFacts>,
    /// What extras ask for and the material of its jobs that is late or short.
    pub wrong: Vec<DemandFacts>,
}

/// The options of one group.
#[derive(Debug, Serialize)]
pub struct GroupFacts {
    /// The group; blank for options of none.
    pub group: String,
    /// Those the unit has.
    pub options: Vec<NameFacts>,
}

/// What no bill asks for.
#[derive(Debug, Serialize)]
pub struct ExtraLine {
    /// The code of what is wanted.
    pub part: String,
    /// What it is.
    pub description: String,
    /// How much.
    pub qty: Quantity,
    /// The unit of measure.
    pub uom: String,
    /// The station or shop.
    pub to: String,
    /// By when.
    pub need: Option<Moment>,
    /// Why.
    pub reason: String,
    /// Where it stands in `Extras`: file, sheet and row.
    pub place: Place,
}

/// A station and what it asks for.
#[derive(Debug, Serialize)]
pub struct Station {
    /// Its code.
    pub station: String,
    /// Its name.
    pub name: String,
    /// When its material is needed.
    pub need: Option<Moment>,
    /// Whether its material is there already.
    pub issued: bool,
    /// Its parts, in code order.
    pub parts: Vec<PartLine>,
}

/// What a station asks for of a part.
#[derive(Debug, Serialize)]
pub struct PartLine {
    /// The code of what is asked for.
    pub part: String,
    /// What it is.
    pub description: String,
    /// How much.
    pub qty: Option<Total>,
    /// The unit of measure.
    pub uom: String,
    /// `issued`, `delivered`, `in time`, `late`, `short`, `comes off` or `not supplied`.
    pub status: &'static str,
    /// What covers it, in words of the pegs, each once.
    pub covers: Vec<&'static str>,
    /// When the last of it is there, where that is not now.
    pub available: Option<Moment>,
}
