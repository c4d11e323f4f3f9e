//! The words and codes that tables and sheets print for ids and states.

use crate::base::DestId;
use crate::check::Issue;
use crate::netting::Cover;
use crate::plan::{Outcome, Plan, UnitState};
use crate::pulls::Status;
use crate::shops::Job;

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
/// The words for what a piece does that is not there.
pub const OUTCOME_WORDS: [&str; 3] = ["special run", "can follow", "stops the line"];
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

/// What covers a peg, in a word.
pub fn cover_word(cover: Cover) -> &'static str {
    match cover {
        Cover::ByProduct => "by-product",
        Cover::Reserved => "reserved",
        Cover::Lineside => "lineside",
        Cover::Stock => "stock",
        Cover::Receipt(_) => "receipt",
        Cover::Job(_) => "job",
        Cover::None => "none",
    }
}

/// What a piece does that is not there, in a few words.
pub fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::SpecialRun => "special run",
        Outcome::CanFollow => "can follow",
        Outcome::StopsTheLine => "stops the line",
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

/// The code of a station or shop.
pub fn dest_code<'p>(plan: &Plan<'p>, dest: DestId) -> &'p str {
    &plan.plant.dest(dest).code
}
