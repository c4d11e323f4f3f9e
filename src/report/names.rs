//! The words and codes that tables and sheets print for ids and states.

use crate::check::Issue;
use crate::plan::Material;
use crate::pulls::Status;

pub use crate::plan::words::{cover_word, dest_code, job_name, outcome_word, unit_status};

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

/// How a job's material stands, in a word.
pub fn material_word(material: Material) -> &'static str {
    match material {
        Material::Ready => "ready",
        Material::Late(_) => "late",
        Material::Short => "short",
        Material::Issued => "issued",
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
