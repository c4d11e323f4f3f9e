//! Which run a need goes with, as far as a plan's pulls tell.

use super::code::Code;
use super::rows::Rows;
use crate::base::Moment;
use std::collections::BTreeMap;

/// The runs with which each part goes to each destination and unit: when they leave, and when their picking starts.
pub struct Runs<'r>(BTreeMap<Key<'r>, BTreeMap<Moment, Moment>>, Code);

type Key<'r> = (&'r Code, &'r Code, &'r Code);

impl<'r> Runs<'r> {
    /// Of a plan.
    pub fn of(rows: &'r Rows) -> Self {
        let mut runs: BTreeMap<Key<'r>, BTreeMap<Moment, Moment>> = BTreeMap::new();
        for pull in &rows.pulls {
            runs.entry((&pull.part, &pull.to, &pull.unit)).or_default().insert(pull.wave, pull.pick_start);
        }
        Self(runs, Code::from(""))
    }

    /// The last run at or before a need, of those that bring the unit the part, or else bring it in bulk.
    pub fn serving(&self, part: &Code, to: &Code, unit: &Code, need: Moment) -> Option<(Moment, Moment)> {
        let own = self.0.get(&(part, to, unit)).or_else(|| self.0.get(&(part, to, &self.1)));
        own.and_then(|runs| runs.range(..=need).next_back()).map(|(wave, picked)| (*wave, *picked))
    }
}
