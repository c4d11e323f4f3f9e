//! Limits of the work that a proof may take: where one is reached it is told which, and nothing is guessed.

use super::{exact, smallest, solver, sums, totals, witness};

/// What stopped a proof. Each is counted, never timed: the same book comes to the same words on every machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Limit {
    /// The solver met too many dead ends.
    Conflicts,
    /// Too many orders came out otherwise than the clauses allow, since rules undo each other or bring each other about.
    Otherwise,
    /// A sum comes to too many different numbers on the way.
    Numbers,
    /// Rules undo each other among options of which there are too many orders to place them one by one.
    Orders,
    /// Too many options speak of each other for the tables of a sum.
    Tables,
}

impl Limit {
    /// It in words, as the reason for something.
    pub fn told(self) -> String {
        match self {
            Self::Conflicts => format!("the solver met {} dead ends", solver::MOST_CONFLICTS),
            Self::Otherwise => format!(
                "{} orders came out otherwise than each rule by itself says",
                smallest::MOST_TRIES.max(witness::MOST_TRIES)
            ),
            Self::Numbers => {
                format!("adding up what the lines bring takes more than {} sums on the way", totals::MOST_NUMBERS)
            }
            Self::Orders => format!(
                "rules that look whether something is missing join options with more than {} orders",
                exact::MOST_ORDERS
            ),
            Self::Tables => {
                format!("so many options speak of each other that tables of {} rows did not do", sums::MOST_WORK)
            }
        }
    }
}
