//! The smallest order that shows something: fewest options ordered or taken away, then by their codes.

use super::limit::Limit;
use super::mentions::Mentions;
use super::model::Model;
use super::solver::{Answer, Lit};
use super::witness::{Shown, Witness};
use crate::base::{NameId, fold};
use crate::configure::Placing;
use crate::expression::NameSet;
use itertools::Itertools;

/// So many orders may come out otherwise than meant before the search for the smallest is given up.
pub const MOST_TRIES: usize = 2_000;
/// So many mentions are counted at first, and so many times more each time that does not do.
const FIRST: usize = 4;

impl Model<'_> {
    /// The smallest order whose build makes these true, its mentions in code order; where the search is stopped, one that may
    /// not be the smallest and says so.
    pub fn smallest(&mut self, placing: &Placing<'_>, goal: &[Lit]) -> Shown {
        let limit = match self.by_size(placing, goal) {
            Shown::Unknown(limit) => limit,
            known => return known,
        };
        match self.show(placing, goal) {
            Shown::By(witness) => {
                let order = self.trimmed(placing, &witness);
                Shown::By(Box::new(Witness { order, stopped: Some(limit), ..*witness }))
            }
            other => other,
        }
    }

    /// Orders of one mention more each time, until one shows it.
    fn by_size(&mut self, placing: &Placing<'_>, goal: &[Lit]) -> Shown {
        if self.solver.ask(goal) == Answer::Never {
            return Shown::Never;
        }
        let mut most = 0;
        for _ in 0..MOST_TRIES {
            let all = loop {
                let within = self.at_most(most);
                let all: Vec<Lit> = goal.iter().copied().chain(within).collect();
                match self.solver.ask(&all) {
                    Answer::Unknown => return Shown::Unknown(Limit::Conflicts),
                    Answer::Never if within.is_none() => return Shown::Never,
                    Answer::Never => most += 1,
                    Answer::Can => break all,
                }
            };
            let Some((has, order)) = self.first_by_code(all) else { return Shown::Unknown(Limit::Conflicts) };
            if let Some(witness) = self.placed(placing, &has, order) {
                return Shown::By(Box::new(witness));
            }
        }
        Shown::Unknown(Limit::Otherwise)
    }

    /// That so many options at most are ordered or taken away; `None` where that is no limit.
    fn at_most(&mut self, most: usize) -> Option<Lit> {
        if most >= self.more_than.len() {
            let no = self.solver.no();
            let all = self.ordered.iter().chain(&self.away).copied().filter(|lit| *lit != no).collect_vec();
            if most >= all.len() {
                return None;
            }
            let room = (self.more_than.len() * 3).max(FIRST).max(most + 1).min(all.len());
            self.more_than = self.solver.counted(&all, room - 1);
        }
        Some(!self.more_than[most])
    }

    /// Of all orders that the clauses allow with these the first by code, see `Mentions::first`.
    fn first_by_code(&mut self, assumed: Vec<Lit>) -> Option<(NameSet, Vec<(NameId, bool)>)> {
        let by_code = self.by_code.take().unwrap_or_else(|| Mentions::of(self));
        let first = by_code.first(self, assumed);
        self.by_code = Some(by_code);
        first
    }

    /// An order without the mentions that its build has without them.
    fn trimmed(&self, placing: &Placing<'_>, witness: &Witness) -> Vec<(NameId, bool)> {
        let code = |(option, away): &(NameId, bool)| (fold(&self.frame.plant.options[option.at()].code), *away);
        let mut order = witness.order.iter().copied().sorted_by_cached_key(code).collect_vec();
        for at in (0..order.len()).rev() {
            let less = [&order[..at], &order[at + 1..]].concat();
            let placed = placing.place(self.frame.floorplan, self.frame.line, less.clone());
            if placed.right && placed.names == witness.names {
                order = less;
            }
        }
        order
    }
}
