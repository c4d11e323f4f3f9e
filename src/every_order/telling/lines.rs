//! Bill lines that no build has.

use super::super::possible::Seen;
use super::Teller;
use crate::base::{ChangeId, numbered};
use crate::book::Table;
use crate::check::kinds;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

impl<'t, 'a: 't> Teller<'t, 'a> {
    /// Bill lines that no build has, but for those below such a line.
    pub(super) fn lines(&mut self) {
        let mut seen = vec![Seen::Elsewhere; self.plant.bills.len()];
        // For each line the first way of it whose parent some build has, and on how many floorplans there is one.
        let mut first: BTreeMap<u32, (usize, usize)> = BTreeMap::new();
        let mut on: Vec<(usize, usize)> = vec![(0, usize::MAX); self.plant.bills.len()];
        for (at, found) in self.found.iter().enumerate().filter(|(_, found)| !found.possible.guards.is_empty()) {
            for (i, way) in found.bill.ways.iter().enumerate() {
                let known = &mut seen[way.line as usize];
                *known = (*known).max(found.possible.guards[way.guard as usize]);
                let (count, last) = &mut on[way.line as usize];
                *count += usize::from(*last != at);
                *last = at;
                if found.possible.guards[way.parent_guard as usize] == Seen::Some {
                    first.entry(way.line).or_insert((at, i));
                }
            }
        }
        let mut unknown = Vec::new();
        for (line, (at, way)) in first {
            match seen[line as usize] {
                Seen::Never => self.never(at, way, on[line as usize].0 - 1),
                Seen::Unknown(limit) => unknown.push((line, limit)),
                Seen::Elsewhere | Seen::Some => {}
            }
        }
        if let Some((line, limit)) = unknown.first() {
            let place = self.plant.place(Table::Bills, self.plant.bills[*line as usize].row, "when");
            let n = unknown.len();
            let what = if n == 1 {
                "it is not known whether any build has this line".to_owned()
            } else {
                format!("it is not known of {n} bill lines, this one the first, whether any build has them")
            };
            self.not_proved(place, "", &what, *limit);
        }
    }

    /// A line that no build has; `others` are the other floorplans it belongs to.
    fn never(&mut self, at: usize, way: usize, others: usize) {
        let line = self.found[at].bill.ways[way].line;
        let row = &self.plant.bills[line as usize];
        let reason = self.changes_reason(at, way).unwrap_or_else(|| {
            let likewise = if others > 0 {
                format!(" (so on {}; on {others} others neither)", self.name(at))
            } else {
                String::new()
            };
            self.reason_of_way(at, way) + &likewise
        });
        let part = &self.plant.part(row.part).code;
        let place = self.plant.place(Table::Bills, row.row, if row.when == 0 { "part" } else { "when" });
        self.add(&kinds::LINE_NEVER_USED, place, "", format!("no build has this line of {part}: {reason}"));
    }

    /// Where the changes on a way never let it count: which.
    fn changes_reason(&self, at: usize, way: usize) -> Option<String> {
        let bill = self.found[at].bill;
        let guard = &bill.guards[bill.ways[way].guard as usize];
        if self.states.iter().any(|state| guard.in_state(|change| state.reached[change.at()])) {
            return None;
        }
        let codes = |changes: &[ChangeId]| changes.iter().map(|id| &self.plant.changes[id.at()].code).join(" and ");
        let (from, until) = (codes(&guard.from), codes(&guard.until));
        Some(format!("it holds from {from} on, but until {until}, which is reached no later"))
    }

    /// Bills of parts to which no floorplan leads.
    pub(super) fn orphans(&mut self) {
        let mut used: BTreeSet<u32> = BTreeSet::new();
        self.found.iter().for_each(|found| used.extend(found.bill.ways.iter().map(|way| way.line)));
        let plant = self.plant;
        for part in &plant.parts {
            let lines = part.bill.clone().filter(|line| !plant.bills[*line].factor.is_zero()).collect_vec();
            let Some(first) = lines.first() else { continue };
            if lines.iter().all(|line| !used.contains(&numbered(*line))) {
                let place = plant.place(Table::Bills, plant.bills[*first].row, "parent");
                let n = lines.len();
                let message = format!(
                    "no floorplan's bill leads to {}, so its {n} line{} count for nothing",
                    part.code,
                    if n == 1 { "" } else { "s" }
                );
                self.add(&kinds::LINE_NEVER_USED, place, &part.code, message);
            }
        }
    }
}
