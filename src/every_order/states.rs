//! The states of engineering changes in the order in which they are reached: none, the first, the first two, and so on.

use crate::base::{ChangeId, Moment};
use crate::check::Plant;
use crate::line::Pace;
use itertools::Itertools;

/// Which changes are reached.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct State {
    /// For each change.
    pub reached: Vec<bool>,
    /// The last to be reached; none at the beginning.
    pub last: Vec<ChangeId>,
}

impl State {
    /// The state in words: `before C-1`, `from C-1 on`; nothing where there are no changes.
    pub fn told(&self, plant: &Plant, next: Option<&Self>) -> String {
        let codes = |changes: &[ChangeId]| changes.iter().map(|id| &plant.changes[id.at()].code).join(" and ");
        match (self.last.is_empty(), next) {
            (true, None) => String::new(),
            (true, Some(next)) => format!("before {}", codes(&next.last)),
            (false, None) => format!("from {} on", codes(&self.last)),
            (false, Some(next)) => format!("from {} on, before {}", codes(&self.last), codes(&next.last)),
        }
    }
}

/// All states; changes that are reached at the same moment come together, and such as no unit of the sequence leads last.
pub fn states(plant: &Plant, pace: &Pace) -> Vec<State> {
    let reached_at = |id: &ChangeId| {
        let change = &plant.changes[id.at()];
        let by_unit = change.from_unit.and_then(|first| {
            if plant.units[first.at()].done {
                return Some(Moment::default());
            }
            pace.leads(first).and_then(|leads| pace.enters(plant, leads))
        });
        let by_date = change.from_date.map(|date| date.midnight());
        let first = match (by_date, by_unit) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b),
        };
        (first.is_none(), first)
    };
    let used = used(plant);
    let ids = (0..plant.changes.len()).map(ChangeId::of).filter(|id| used[id.at()]);
    let ordered = ids.sorted_by_key(reached_at).collect_vec();
    let mut state = State { reached: vec![false; plant.changes.len()], last: Vec::new() };
    let mut all = vec![state.clone()];
    for together in ordered.chunk_by(|a, b| reached_at(a) == reached_at(b)) {
        together.iter().for_each(|id| state.reached[id.at()] = true);
        state.last = together.to_vec();
        all.push(state.clone());
    }
    all
}

/// The changes that a bill line speaks of.
fn used(plant: &Plant) -> Vec<bool> {
    let mut used = vec![false; plant.changes.len()];
    for change in plant.bills.iter().flat_map(|line| [line.from, line.until]).flatten() {
        used[change.at()] = true;
    }
    used
}
