//! The words and codes that tables and sheets print for ids and states.

use crate::check::Issue;
use crate::pulls::Status;

pub use crate::plan::words::{cover_word, dest_code, job_name, unit_status};

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
