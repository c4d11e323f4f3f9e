//! The words and codes that tables and sheets print for ids and states.

use crate::check::Issue;
use crate::pulls::Status;

<<<<<<< HEAD
pub use crate::plan::words::{cover_word, dest_code, job_name, unit_status};
=======
/// A job: its unit and part, from the unit's second job of the part on with a number.
pub fn job_name(plan: &Plan<'_>, job: &Job) -> String {
    let owner = &plan.pace.owners[job.owner.at()].code;
    let part = &plan.plant.part(job.part).code;
    let space = if owner.is_empty() { "" } else { " " };
    match job.number {
        0 => format!("{owner}{space}{part}"),
        before => format!("{owner}{space}{part} {}", before + 1),
    }
}

/// The words for how a unit stands.
pub const UNIT_WORDS: [&str; 5] = ["clear", "late", "short", "hold", "set aside"];
/// The words for how a pull stands.
pub const PULL_WORDS: [&str; 5] = ["ready", "arriving", "special run", "late", "short"];
/// The words for what covers a peg.
pub const COVER_WORDS: [&str; 7] = ["by-product", "reserved", "lineside", "stock", "receipt", "job", "none"];
/// The words for how material is issued.
pub const ISSUE_WORDS: [&str; 3] = ["kit", "sequence", "bulk"];
/// The words for how a job's material stands.
pub const MATERIAL_WORDS: [&str; 4] = ["ready", "late", "short", "issued"];

/// How a unit stands, in a word.
pub fn unit_status(state: UnitState) -> &'static str {
    match state {
        UnitState::Clear => "clear",
        UnitState::Late(..) => "late",
        UnitState::Short(_) => "short",
        UnitState::Hold => "hold",
        UnitState::SetAside => "set aside",
    }
}
>>>>>>> main

/// How a pull stands, in a word or two.
pub fn pull_status(status: Status) -> &'static str {
    match status {
        Status::Ready => "ready",
        Status::Arriving => "arriving",
        Status::SpecialRun => "special run",
        Status::Late => "late",
        Status::Short => "short",
    }
}

/// How material is issued, in a word.
pub fn issue_word(issue: Issue) -> &'static str {
    match issue {
        Issue::Kit => "kit",
        Issue::Sequence => "sequence",
        Issue::Bulk => "bulk",
    }
}
