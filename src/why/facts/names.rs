//! Facts of conditions and changes: what is true for a unit, and where that comes from.

use crate::base::{Date, Moment, Place};
use serde::Serialize;

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
    /// As a condition of the book writes it.
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
        /// The code of the package that includes it.
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
        /// The code of the group of which only one is had.
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
    /// Whether that is a unit on hold of another line than the unit asked about.
    pub held_elsewhere: bool,
    /// Then the next unit behind it on its line that is neither held nor done: the change begins here at its entry.
    pub next_behind: Option<(String, Moment)>,
    /// What the same parent takes in its place on the other side of the change.
    pub others: Vec<String>,
    /// The first unit on the plan that reaches it, and when that enters.
    pub first: Option<(String, Moment)>,
    /// Where the change stands in `Changes`: file, sheet and row.
    pub place: Place,
}
