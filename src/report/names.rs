//! The words and codes that tables and sheets print for ids and states.

use crate::check::Issue;
use crate::netting::Cover;
use crate::plan::{Material, Outcome, UnitState};
use crate::pulls::Status;

pub use crate::plan::words::{dest_code, job_name, outcome_word, unit_status};

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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::{Moment, PartId};
    use crate::plan::words::cover_word;

    /// The words that the plan itself uses stand at the places by which the tables know them.
    #[test]
    fn words_stand_at_their_places() {
        let (part, at) = (PartId::of(0), Moment::default());
        let states =
            [UnitState::Clear, UnitState::Late(part, at), UnitState::Short(part), UnitState::Hold, UnitState::SetAside];
        assert_eq!(states.map(unit_status), UNIT_WORDS);
        assert_eq!(states.map(unit_place), [0, 1, 2, 3, 4]);
        let covers = [
            Cover::ByProduct,
            Cover::Reserved,
            Cover::Lineside,
            Cover::Stock,
            Cover::Receipt(3),
            Cover::Job(3),
            Cover::None,
        ];
        assert_eq!(covers.map(cover_word), COVER_WORDS);
        assert_eq!(covers.map(cover_place), [0, 1, 2, 3, 4, 5, 6]);
        let outcomes = [Outcome::SpecialRun, Outcome::CanFollow, Outcome::StopsTheLine];
        assert_eq!(outcomes.map(outcome_word), OUTCOME_WORDS);
        assert_eq!(outcomes.map(outcome_place), [0, 1, 2]);
    }
}
