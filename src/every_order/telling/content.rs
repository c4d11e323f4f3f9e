//! Rows of `Content` that an order breaks, and parts that come twice.

use super::super::broken::{Breaks, ways_of_kind};
use super::super::limit::Limit;
use super::super::twice::Twice;
use super::super::witness::Witness;
use super::super::words::Broken;
use super::Teller;
use crate::book::Table;
use crate::check::kinds;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

impl<'t, 'a: 't> Teller<'t, 'a> {
    /// Rows of `Content` that an order breaks: for each floorplan the smallest.
    pub(super) fn content(&mut self) {
        let mut told: BTreeSet<(usize, bool, usize)> = BTreeSet::new();
        let (plant, found) = (self.plant, self.found);
        let of_kind = found.iter().map(|found| ways_of_kind(plant, found.bill)).collect_vec();
        // On several lines the smallest order is told, and what is not known only where nothing is.
        let all = found.iter().enumerate().flat_map(|(at, found)| found.breaks.iter().map(move |breaks| (at, breaks)));
        let key = |(at, breaks): &(usize, &Breaks)| (found[*at].frame.floorplan, breaks.row, breaks.size(plant), *at);
        for (at, breaks) in all.sorted_by_cached_key(key) {
            if told.insert((breaks.row, breaks.more, found[at].frame.floorplan.at())) {
                self.breaks(at, breaks, &of_kind[at]);
            }
        }
    }

    fn breaks(&mut self, at: usize, breaks: &Breaks, of_kind: &BTreeMap<u32, Vec<usize>>) {
        let row = &self.plant.content[breaks.row];
        let column = if breaks.more { "most" } else { "least" };
        let place = self.plant.place(Table::Content, row.row, column);
        let value = if breaks.more { row.most } else { row.least }.to_string();
        let (witness, state) = match &breaks.by {
            Ok(by) => by,
            Err(limit) => {
                let what = format!("it is not known whether every order of {} keeps to it", self.name(at));
                self.not_proved(place, &value, &what, *limit);
                return;
            }
        };
        let bill = self.found[at].bill;
        let ways = of_kind.get(&row.kind).map_or(&[][..], Vec::as_slice);
        let reached = &self.states[*state].reached;
        let holds = |guard: u32| bill.guards[guard as usize].holds(self.plant, &witness.names, |c| reached[c.at()]);
        if let Some(broken) = Broken::of(row, bill, ways, holds) {
            let who = format!("{} has", self.order(at, witness, breaks.in_state.then_some(*state)));
            let message = broken.told(self.plant, &who, bill) + &perhaps_smaller(witness);
            self.add(&kinds::CONTENT_CAN_BREAK, place, &value, message);
        }
    }

    /// Parts that come twice to one place, once for the same two lines.
    pub(super) fn twice(&mut self) {
        let mut told: BTreeSet<(u32, u32)> = BTreeSet::new();
        let found = self.found;
        let all = found.iter().enumerate().flat_map(|(at, found)| found.twice.iter().map(move |twice| (at, twice)));
        // What is proved of one floorplan is told before what is not known of another.
        for (at, twice) in all.sorted_by_key(|(_, twice)| twice.by.is_err()) {
            if told.insert(twice.lines) {
                self.pair(at, twice);
            }
        }
    }

    fn pair(&mut self, at: usize, twice: &Twice) {
        let row = |line: u32| self.plant.bills[line as usize].row;
        let place = self.plant.place(Table::Bills, row(twice.lines.1), "when");
        let other = self.plant.place(Table::Bills, row(twice.lines.0), "");
        let part = &self.plant.part(twice.part).code;
        match &twice.by {
            Ok((witness, state)) => {
                let order = self.order(at, witness, twice.in_state.then_some(*state));
                let smaller = perhaps_smaller(witness);
                let message = format!("{order} has {part} by this line and by {other}, in the same place{smaller}");
                self.add(&kinds::PART_TWICE, place, "", message);
            }
            Err(limit) => {
                let name = self.name(at);
                let what = format!(
                    "it is not known whether an order of {name} has {part} twice in the same place, by this line, by {other} or by others"
                );
                self.not_proved(place, "", &what, *limit);
            }
        }
    }
}

/// Said where the search for the smallest order was stopped.
fn perhaps_smaller(witness: &Witness) -> String {
    let told = |limit: Limit| format!(" (a smaller order may show it, too: {})", limit.told());
    witness.stopped.map(told).unwrap_or_default()
}
