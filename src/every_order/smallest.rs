//! The smallest order that shows something: fewest options ordered or taken away, then by their codes.

use super::limit::Limit;
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
        if most >= self.mentions.len() {
            let no = self.solver.no();
            let all = self.ordered.iter().chain(&self.away).copied().filter(|lit| *lit != no).collect_vec();
            if most >= all.len() {
                return None;
            }
            let room = (self.mentions.len() * 3).max(FIRST).max(most + 1).min(all.len());
            self.mentions = self.solver.more_than(&all, room - 1);
        }
        Some(!self.mentions[most])
    }

    /// The options in the order of their codes.
    fn by_code(&self) -> Vec<NameId> {
        let code = |option: &NameId| fold(&self.frame.plant.options[option.at()].code);
        self.frame.options().sorted_by_cached_key(code).collect()
    }

    /// Of all orders that the clauses allow with these, none of which has fewer mentions than the last question found, the first
    /// by code, and the build that it is meant to lead to; `None` where the solver was stopped.
    fn first_by_code(&mut self, mut all: Vec<Lit>) -> Option<(NameSet, Vec<(NameId, bool)>)> {
        let (mut has, mut order) = (self.build(), self.order());
        let by_code = self.by_code();
        let mut fixed = 0;
        for (option, away) in by_code.iter().flat_map(|option| [(*option, false), (*option, true)]) {
            if fixed == order.len() {
                break;
            }
            let lit = if away { self.away[option.at()] } else { self.ordered[option.at()] };
            if lit == self.solver.no() {
                continue;
            }
            all.push(lit);
            if !order.contains(&(option, away)) {
                match self.solver.ask(&all) {
                    Answer::Unknown => return None,
                    Answer::Can => (has, order) = (self.build(), self.order()),
                    Answer::Never => {
                        all.pop();
                        all.push(!lit);
                        continue;
                    }
                }
            }
            fixed += 1;
        }
        Some((has, self.in_code_order(&order)))
    }

    fn in_code_order(&self, order: &[(NameId, bool)]) -> Vec<(NameId, bool)> {
        let mentions = |option: NameId| order.iter().filter(move |(own, _)| *own == option).copied();
        self.by_code().into_iter().flat_map(mentions).collect()
    }

    /// An order without the mentions that its build has without them.
    fn trimmed(&self, placing: &Placing<'_>, witness: &Witness) -> Vec<(NameId, bool)> {
        let mut order = self.in_code_order(&witness.order);
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
