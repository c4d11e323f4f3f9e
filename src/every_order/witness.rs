//! Orders that show what can be: each is placed and resolved by §4 itself; where it comes out otherwise it is ruled out.

use super::limit::Limit;
use super::model::Model;
use super::solver::{Answer, Lit};
use crate::base::NameId;
use crate::configure::{Placed, Placing};
use crate::expression::NameSet;

/// So many orders may come out otherwise than they were meant to before a question is given up.
pub const MOST_TRIES: usize = 2_000;

/// An order and what it leads to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Witness {
    /// Options ordered, and (`true`) taken away, in the order of the table.
    pub order: Vec<(NameId, bool)>,
    /// The names that are true for its build.
    pub names: NameSet,
    /// Where the smallest order was looked for: what stopped the search, so that a smaller one may show it, too.
    pub stopped: Option<Limit>,
}

/// What a question about all orders comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shown {
    /// This order shows it.
    By(Box<Witness>),
    /// No order does: that is proved.
    Never,
    /// The work that is allowed for it did not do.
    Unknown(Limit),
}

impl Model<'_> {
    /// An order whose build makes these true.
    pub fn show(&mut self, placing: &Placing<'_>, goal: &[Lit]) -> Shown {
        for _ in 0..MOST_TRIES {
            match self.solver.ask(goal) {
                Answer::Never => return Shown::Never,
                Answer::Unknown => return Shown::Unknown(Limit::Conflicts),
                Answer::Can => {}
            }
            let (has, order) = (self.build(), self.order());
            let whole = self.frame.whole_order(&has);
            for order in [whole, order] {
                if let Some(witness) = self.placed(placing, &has, order) {
                    return Shown::By(Box::new(witness));
                }
            }
        }
        Shown::Unknown(Limit::Otherwise)
    }

    /// What the build has that the last question found.
    pub(super) fn build(&self) -> NameSet {
        let mut has = self.frame.given.clone();
        self.frame.options().filter(|o| self.solver.holds(self.has[o.at()])).for_each(|o| _ = has.insert(o));
        has
    }

    /// The order that the last question found.
    pub(super) fn order(&self) -> Vec<(NameId, bool)> {
        let mention = |option: NameId| {
            let away = self.solver.holds(self.away[option.at()]);
            (away || self.solver.holds(self.ordered[option.at()])).then_some((option, away))
        };
        self.frame.options().filter_map(mention).collect()
    }

    /// The order with its build, where §4 comes to that; else the solver is told what it comes to.
    pub(super) fn placed(
        &mut self,
        placing: &Placing<'_>,
        has: &NameSet,
        order: Vec<(NameId, bool)>,
    ) -> Option<Witness> {
        let placed = placing.place(self.frame.floorplan, self.frame.line, order.clone());
        if placed.right && placed.names == *has {
            return Some(Witness { order, names: placed.names, stopped: None });
        }
        self.learn(has, &order, &placed);
        None
    }

    /// Tells the solver what becomes of an order, in each set of options that belong together by itself.
    fn learn(&mut self, has: &NameSet, order: &[(NameId, bool)], placed: &Placed) {
        let sets = &self.frame.part_of;
        let mut wrong: Vec<usize> = has.differing(&placed.names).map(|option| sets[option.at()]).collect();
        wrong.sort_unstable();
        wrong.dedup();
        for set in &wrong {
            let otherwise = self.otherwise(order, |of| of == *set);
            for option in self.frame.options().filter(|option| sets[option.at()] == *set) {
                let has = self.has[option.at()];
                let then = if placed.names.contains(option) { has } else { !has };
                let clause: Vec<Lit> = otherwise.iter().copied().chain([then]).collect();
                self.solver.clause(&clause);
            }
        }
        if wrong.is_empty() {
            // It comes to that build, but rules that added something no longer apply: each by itself is reason enough.
            let plant = self.frame.plant;
            let rules = placed.fired.iter().map(|at| &plant.rules[*at]);
            let undone = rules.filter(|rule| !plant.conditions[rule.when as usize].holds(&placed.names));
            let undone: Vec<usize> = undone.filter_map(|rule| Some(sets[rule.adds.first()?.at()])).collect();
            for set in undone {
                let otherwise = self.otherwise(order, |of| of == set);
                self.solver.clause(&otherwise);
            }
        }
    }

    /// That something in these sets is ordered or taken away otherwise.
    fn otherwise(&self, order: &[(NameId, bool)], within: impl Fn(usize) -> bool) -> Vec<Lit> {
        let options = self.frame.options().filter(|option| within(self.frame.part_of[option.at()]));
        let other = |option: NameId| {
            let flip = |lit: Lit, there: bool| if there { !lit } else { lit };
            let (ordered, away) = (order.contains(&(option, false)), order.contains(&(option, true)));
            [flip(self.ordered[option.at()], ordered), flip(self.away[option.at()], away)]
        };
        options.flat_map(other).collect()
    }
}
