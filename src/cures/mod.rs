//! Cures: for each piece that stops the line what can be done, tried on the plan itself, and what it would cost others.

mod candidates;
mod change;
mod cost;
mod on_hand;
mod piece;
mod search;
mod together;

pub use candidates::{Candidate, Kind};
pub use change::{Change, changed, goods};
pub use cost::{Cost, Given};
pub use piece::Piece;

use crate::base::OwnerId;
use crate::plan::Plan;
use std::collections::BTreeSet;

/// How many pieces are looked at; of more, those that stop the line first.
pub const MOST_PIECES: usize = 60;

/// How many demands are planned anew in all: a large plan is tried fewer times than a small one, and so is one of which much is
/// not there.
const MOST_DEMANDS: usize = 24_000_000;
/// What a piece that is not there counts beside a demand: all of them are compared before and after.
const DEMANDS_A_ROW: usize = 16;

/// How many times a whole plan may be made anew for one of so many questions.
fn tries(plan: &Plan<'_>, questions: usize) -> usize {
    let weight = plan.demands_at_most() + plan.effects.rows * DEMANDS_A_ROW;
    MOST_DEMANDS / weight.max(1) / questions.max(1)
}

/// Something that was tried for a piece, and what came of it.
#[derive(Clone, Debug)]
pub struct Cure {
    /// What was tried.
    pub candidate: Candidate,
    /// Whether the line no longer waits for the piece, and no other piece stops it that did not, or for longer.
    pub works: bool,
    /// Whether the line no longer waits for the piece.
    pub cures: bool,
    /// What others pay.
    pub cost: Cost,
    /// Whose piece on hand was given, and when it is refilled.
    pub given: Vec<Given>,
    /// Whether it is an order that would come inside its lead time.
    pub inside_lead_time: bool,
}

/// What is advised for a piece.
#[derive(Clone, Debug)]
pub enum Advice {
    /// Something to do: the first in order that works, or else the best that was found.
    Do(Box<Cure>),
    /// Nothing more: what is done for other pieces, by their index, serves it too; each of them is needed.
    With(Vec<usize>),
    /// Nothing was found.
    Nothing,
}

impl Advice {
    /// The cure, where there is one that works.
    pub fn working(&self) -> Option<&Cure> {
        match self {
            Self::Do(cure) if cure.works => Some(cure),
            _ => None,
        }
    }
}

/// All advice of a plan.
#[derive(Clone, Debug, Default)]
pub struct Cures {
    /// Each piece that stops the line, by the unit's arrival, rank, place and part.
    pub pieces: Vec<(Piece, Advice)>,
    /// How many pieces were not looked at.
    pub left_out: usize,
    /// The units that stop before anything is done.
    pub stopped: BTreeSet<OwnerId>,
    /// The units among them that keep moving with all that works done at once.
    pub moving: BTreeSet<OwnerId>,
    /// Those of them that need an order to come inside its lead time.
    pub inside_lead_time: BTreeSet<OwnerId>,
}

impl Cures {
    /// Looks for them.
    pub fn of(plan: &Plan<'_>) -> Self {
        search::search(plan)
    }

    /// How many of the units that stop keep moving, orders inside their lead time not counted; how many more with them; and
    /// how many stop.
    pub fn units(&self) -> (usize, usize, usize) {
        let inside = self.inside_lead_time.len();
        (self.moving.len() - inside, inside, self.stopped.len())
    }

    /// All changes that are advised and work, in the order in which they were found.
    pub fn changes(&self) -> Vec<&Change> {
        self.pieces.iter().filter_map(|(_, advice)| advice.working()).flat_map(|cure| &cure.candidate.changes).collect()
    }
}
