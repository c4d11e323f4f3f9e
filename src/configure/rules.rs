//! The rules that would add something to an order, kept up to date as options join and leave.
//!
//! Rule `added-by-rules`.

use super::choices::Choices;
use crate::base::{NameId, numbered};
use crate::expression::NameSet;
use std::collections::BTreeSet;

/// The rules whose condition holds and that add something missing.
pub struct Waiting(BTreeSet<u32>);

impl Waiting {
    /// Those for what a unit has.
    pub fn of(choices: &Choices<'_>, has: &NameSet) -> Self {
        Self((0..numbered(choices.plant.rules.len())).filter(|rule| adds(choices, has, *rule)).collect())
    }

    /// The first of them.
    pub fn first(&self) -> Option<usize> {
        self.0.first().map(|rule| *rule as usize)
    }

    /// Looks again at the rules that speak of a name that joined or left.
    pub fn look_again(&mut self, choices: &Choices<'_>, has: &NameSet, name: NameId) {
        for rule in &choices.rules_about[name.at()] {
            if adds(choices, has, *rule) {
                self.0.insert(*rule);
            } else {
                self.0.remove(rule);
            }
        }
    }
}

fn adds(choices: &Choices<'_>, has: &NameSet, rule: u32) -> bool {
    let rule = &choices.plant.rules[rule as usize];
    rule.adds.iter().any(|option| !has.contains(*option)) && choices.plant.conditions[rule.when as usize].holds(has)
}
