//! Whether a sum of what conditions bring is more, or less, than a number.

use super::solver::{Lit, Solver};
use std::collections::{BTreeMap, BTreeSet};

/// A sum may come to so many different numbers on the way.
pub const MOST_NUMBERS: usize = 40_000;

/// A bound of a sum.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bound {
    /// More than that.
    Above(i128),
    /// Less than that.
    Below(i128),
}

impl Bound {
    /// What is known where so much is there and at most so much may still come.
    fn known(self, there: i128, more: i128) -> Option<bool> {
        match self {
            Self::Above(most) if there > most => Some(true),
            Self::Above(most) if there + more <= most => Some(false),
            Self::Below(least) if there >= least => Some(false),
            Self::Below(least) if there + more < least => Some(true),
            _ => None,
        }
    }
}

/// What can be true only where the sum is so; `None` where it comes to too many different numbers.
pub fn reaches(solver: &mut Solver, terms: &[(Lit, i128)], bound: Bound) -> Option<Lit> {
    let mut rest = vec![0; terms.len() + 1];
    for (i, (_, number)) in terms.iter().enumerate().rev() {
        rest[i] = rest[i + 1] + number;
    }
    let mut layers = vec![BTreeSet::from([0_i128])];
    let mut numbers = 0;
    for (i, (_, number)) in terms.iter().enumerate() {
        let open = layers[i].iter().filter(|there| bound.known(**there, rest[i]).is_none());
        let next: BTreeSet<i128> = open.flat_map(|there| [*there, there + number]).collect();
        numbers += next.len();
        if numbers > MOST_NUMBERS {
            return None;
        }
        layers.push(next);
    }
    let mut behind: BTreeMap<i128, Lit> = BTreeMap::new();
    for (i, layer) in layers.iter().enumerate().rev() {
        let mut here = BTreeMap::new();
        for there in layer {
            let lit = match bound.known(*there, rest[i]) {
                Some(true) => solver.yes(),
                Some(false) => solver.no(),
                None => {
                    let (lit, number) = terms[i];
                    let (with, without) = (behind[&(there + number)], behind[there]);
                    let out = solver.bound();
                    solver.clause(&[!out, !lit, with]);
                    solver.clause(&[!out, lit, without]);
                    out
                }
            };
            here.insert(*there, lit);
        }
        behind = here;
    }
    behind.remove(&0)
}
