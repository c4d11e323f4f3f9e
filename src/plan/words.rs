//! The words and codes by which a plan is told: how things stand, what covers something, its jobs and its places. Each word stands here
//! alone; tables know it by its place in its list.

use super::{Material, Outcome, Plan, UnitState};
use crate::base::DestId;
use crate::check::Issue;
use crate::netting::Cover;
use crate::pulls::Status;
use crate::shops::Job;

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

/// The code of a station or shop.
pub fn dest_code<'p>(plan: &Plan<'p>, dest: DestId) -> &'p str {
    &plan.plant.dest(dest).code
}

/// How a unit stands, in a word.
pub fn unit_status(state: UnitState) -> &'static str {
    UNIT_WORDS[unit_place(state)]
}

/// What covers a peg, in a word.
pub fn cover_word(cover: Cover) -> &'static str {
    COVER_WORDS[cover_place(cover)]
}

/// What a piece does that is not there, in a few words.
pub fn outcome_word(outcome: Outcome) -> &'static str {
    OUTCOME_WORDS[outcome_place(outcome)]
}

/// How a job's material stands, in a word.
pub fn material_word(material: Material) -> &'static str {
    MATERIAL_WORDS[material_place(material)]
}

/// How a pull stands, in a word or two.
pub fn pull_status(status: Status) -> &'static str {
    PULL_WORDS[pull_place(status)]
}

/// How material is issued, in a word.
pub fn issue_word(issue: Issue) -> &'static str {
    ISSUE_WORDS[issue_place(issue)]
}

/// The place of the word for how a unit stands.
pub fn unit_place(state: UnitState) -> usize {
    match state {
        UnitState::Clear => 0,
        UnitState::Late(..) => 1,
        UnitState::Short(_) => 2,
        UnitState::Hold => 3,
        UnitState::SetAside => 4,
    }
}

/// The place of the word for how a pull stands.
pub fn pull_place(status: Status) -> usize {
    match status {
        Status::Ready => 0,
        Status::Arriving => 1,
        Status::SpecialRun => 2,
        Status::Late => 3,
        Status::Short => 4,
    }
}

/// The place of the word for what covers a peg.
pub fn cover_place(cover: Cover) -> usize {
    match cover {
        Cover::ByProduct => 0,
        Cover::Reserved => 1,
        Cover::Lineside => 2,
        Cover::Stock => 3,
        Cover::Receipt(_) => 4,
        Cover::Job(_) => 5,
        Cover::None => 6,
    }
}

/// The place of the word for how material is issued.
pub fn issue_place(issue: Issue) -> usize {
    match issue {
        Issue::Kit => 0,
        Issue::Sequence => 1,
        Issue::Bulk => 2,
    }
}

/// The place of the word for what a piece does that is not there.
pub fn outcome_place(outcome: Outcome) -> usize {
    match outcome {
        Outcome::SpecialRun => 0,
        Outcome::CanFollow => 1,
        Outcome::StopsTheLine => 2,
    }
}

/// The place of the word for how a job's material stands.
pub fn material_place(material: Material) -> usize {
    match material {
        Material::Ready => 0,
        Material::Late(_) => 1,
        Material::Short => 2,
        Material::Issued => 3,
    }
}
