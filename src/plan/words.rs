//! The words and codes by which a plan names its jobs and what covers something.

use super::{Outcome, Plan, UnitState};
use crate::base::DestId;
use crate::netting::Cover;
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

/// The code of a station or shop.
pub fn dest_code<'p>(plan: &Plan<'p>, dest: DestId) -> &'p str {
    &plan.plant.dest(dest).code
}

/// What a piece does that is not there, in a few words.
pub fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::SpecialRun => "special run",
        Outcome::CanFollow => "can follow",
        Outcome::StopsTheLine => "stops the line",
    }
}
