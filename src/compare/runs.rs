//! Which run a need goes with, as far as a plan's pulls tell.

use super::code::Code;
use super::rows::PlanRows;
use crate::base::Moment;

/// The runs with which each part goes to each destination and unit: when they leave, and when their picking starts; in order.
pub struct Runs<'r> {
    lines: Vec<(Key<'r>, Moment, Moment)>,
    bulk: Code,
}

/// Part, destination and unit.
type Key<'r> = (&'r Code, &'r Code, &'r Code);

impl<'r> Runs<'r> {
    /// Of a plan.
    pub fn of(rows: &'r PlanRows) -> Self {
        let lines = rows.pulls.iter().map(|pull| ((&pull.part, &pull.to, &pull.unit), pull.wave, pull.pick_start));
        let mut lines: Vec<(Key<'r>, Moment, Moment)> = lines.collect();
        lines.sort_by_key(|(key, wave, _)| (*key, *wave));
        Self { lines, bulk: Code::from("") }
    }

    /// The last run at or before a need, of those that bring the unit the part, or else bring it in bulk.
    pub fn serving(&self, part: &Code, to: &Code, unit: &Code, need: Moment) -> Option<(Moment, Moment)> {
        let own = self.last((part, to, unit), need);
        own.unwrap_or_else(|| self.last((part, to, &self.bulk), need).flatten())
    }

    /// The last run at or before a need; nothing at all where there is none before it or after it.
    fn last(&self, key: Key<'_>, need: Moment) -> Option<Option<(Moment, Moment)>> {
        let after = self.lines.partition_point(|(line, wave, _)| (*line, *wave) <= (key, need));
        let of_key = |at: usize| self.lines.get(at).filter(|(line, ..)| *line == key);
        match after.checked_sub(1).and_then(of_key) {
            Some((_, wave, picked)) => Some(Some((*wave, *picked))),
            None => of_key(after).map(|_| None),
        }
    }
}
