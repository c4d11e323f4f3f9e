//! The smallest order that shows something: fewest options ordered or taken away, then by their codes.

use super::model::Model;
use super::solver::{Answer, Lit};
use super::witness::{Shown, Witness};
use crate::base::{NameId, fold};
use crate::configure::Placing;
use itertools::Itertools;

/// So many orders may come out otherwise than meant before the search for the smallest is given up.
const MOST_TRIES: usize = 2_000;
/// So many mentions are counted at first, and so many times more each time that does not do.
const FIRST: usize = 4;

impl Model<'_> {
    /// The smallest order whose build makes these true, its mentions in code order.
    pub fn smallest(&mut self, placing: &Placing<'_>, goal: &[Lit]) -> Shown {
        if self.solver.ask(goal) == Answer::Never {
            return Shown::Never;
        }
        let mut tries = 0;
        let mut most = 0;
        while tries < MOST_TRIES {
            let within = self.at_most(most);
            let all: Vec<Lit> = goal.iter().copied().chain(within).collect();
            match self.solver.ask(&all) {
                Answer::Unknown => return Shown::Unknown,
                Answer::Never if within.is_none() => return Shown::Never,
                Answer::Never => most += 1,
                Answer::Can => {
                    tries += 1;
                    if let Some(witness) = self.first_of(placing, all, most) {
                        return Shown::By(Box::new(witness));
                    }
                }
            }
        }
        Shown::Unknown
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

    /// Of all orders with so many mentions the first by code, where §4 comes to what it was meant to.
    fn first_of(&mut self, placing: &Placing<'_>, mut all: Vec<Lit>, most: usize) -> Option<Witness> {
        let (mut has, mut order) = (self.build(), self.order());
        let plant = self.frame.plant;
        let by_code =
            self.frame.options().sorted_by_cached_key(|option| fold(&plant.options[option.at()].code)).collect_vec();
        let mut found: Vec<(NameId, bool)> = Vec::new();
        let mentions = by_code.iter().flat_map(|option| [(*option, false), (*option, true)]);
        for (option, away) in mentions {
            if found.len() == most.min(order.len()) {
                break;
            }
            let lit = if away { self.away[option.at()] } else { self.ordered[option.at()] };
            if lit == self.solver.no() {
                continue;
            }
            all.push(lit);
            if order.contains(&(option, away)) {
                found.push((option, away));
            } else if self.solver.ask(&all) == Answer::Can {
                (has, order) = (self.build(), self.order());
                found.push((option, away));
            } else {
                all.pop();
                all.push(!lit);
            }
        }
        let order =
            by_code.iter().flat_map(|option| order.iter().filter(move |(own, _)| own == option)).copied().collect();
        self.placed(placing, &has, order)
    }
}
