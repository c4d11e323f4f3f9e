//! `Content` proved for every order: the smallest order of a floorplan that breaks a row.

use super::bill::{Bill, Way};
use super::frame::Frame;
use super::limit::Limit;
use super::model::{AT_ONCE, Model};
use super::states::State;
use super::totals::{Bound, reaches};
use super::witness::{Shown, Witness};
use super::words::by_code;
use crate::base::Quantity;
use crate::check::{Content, Plant};
use crate::configure::Placing;
use itertools::Itertools;
use std::collections::BTreeMap;

/// The order with its build, and the state of changes; or what stopped the search.
type Found = Result<(Witness, usize), Limit>;

/// An order that breaks a row of `Content`, or that none was found in the work that is allowed.
pub struct Breaks {
    /// The row, by its index.
    pub row: usize,
    /// Whether there are too many.
    pub more: bool,
    /// The order with its build, and the state of changes; or what stopped the search.
    pub by: Found,
    /// Whether the state matters.
    pub in_state: bool,
}

impl Breaks {
    /// What tells a smaller order from a larger one; what is not known comes last.
    pub fn size(&self, plant: &Plant) -> (bool, usize, Vec<(String, bool)>) {
        let order = self.by.as_ref().map_or(&[][..], |(witness, _)| &witness.order);
        (self.by.is_err(), order.len(), by_code(plant, order))
    }
}

/// The rows that some order breaks.
pub fn look(frame: &Frame<'_>, placing: &Placing<'_>, bill: &Bill, states: &[State]) -> Vec<Breaks> {
    let rows = frame.plant.content.iter().enumerate();
    let about = rows.filter(|(_, row)| row.only.is_none_or(|only| frame.given.contains(only))).collect_vec();
    let each = about.into_iter().flat_map(|(i, row)| [(i, row, true), (i, row, false)]).collect_vec();
    let of_kind = ways_of_kind(frame.plant, bill);
    let mut found = Vec::new();
    // What one question adds to the clauses makes the next slower.
    for some in each.chunks(AT_ONCE) {
        let mut model = Model::of(frame, false);
        for (at, row, more) in some {
            let ways = of_kind.get(&row.kind).map_or(&[][..], Vec::as_slice);
            let asked = ContentSide { row, more: *more, ways, bill, states };
            found.extend(asked.look(&mut model, placing).map(|(by, in_state)| Breaks {
                row: *at,
                more: *more,
                by,
                in_state,
            }));
        }
    }
    found
}

/// Of each kind the ways that count for it.
pub fn ways_of_kind(plant: &Plant, bill: &Bill) -> BTreeMap<u32, Vec<usize>> {
    let counted = |(i, way): (usize, &Way)| plant.part(way.part).kind.filter(|_| !way.gives).map(|kind| (kind, i));
    bill.ways.iter().enumerate().filter_map(counted).into_group_map().into_iter().collect()
}

/// Whether some order has more, or fewer, of a kind than a row says.
struct ContentSide<'a> {
    row: &'a Content,
    more: bool,
    ways: &'a [usize],
    bill: &'a Bill,
    states: &'a [State],
}

impl ContentSide<'_> {
    /// The smallest such order of all states, and whether these differ; `None` where it is proved that there is none.
    fn look(&self, model: &mut Model<'_>, placing: &Placing<'_>) -> Option<(Found, bool)> {
        let plant = model.frame.plant;
        let when = model.condition(self.row.when);
        let mut asked = Vec::new();
        let mut best: Option<(Witness, usize)> = None;
        let mut stopped = None;
        for (i, state) in self.states.iter().enumerate() {
            let sums = self.sums(state);
            // A state in which the same lines count has nothing new.
            if asked.contains(&sums) {
                continue;
            }
            let shown = self.ask(model, placing, when, &sums);
            asked.push(sums);
            match shown {
                Shown::By(found) => {
                    let key = |witness: &Witness| (witness.order.len(), by_code(plant, &witness.order));
                    stopped = stopped.or(found.stopped);
                    if best.as_ref().is_none_or(|(known, _)| key(&found) < key(known)) {
                        best = Some((*found, i));
                    }
                }
                Shown::Never => {}
                Shown::Unknown(limit) => stopped = Some(limit),
            }
        }
        let by = match (best, stopped) {
            (Some((witness, state)), stopped) => Ok((Witness { stopped, ..witness }, state)),
            (None, Some(limit)) => Err(limit),
            (None, None) => return None,
        };
        Some((by, asked.len() > 1))
    }

    /// What the lines bring that count in a state: how much by what each asks.
    fn sums(&self, state: &State) -> Vec<(u32, i128)> {
        let mut sums: BTreeMap<u32, i128> = BTreeMap::new();
        for way in self.ways.iter().map(|way| &self.bill.ways[*way]) {
            if self.bill.guards[way.guard as usize].in_state(|change| state.reached[change.at()]) {
                *sums.entry(way.guard).or_default() += number(way.qty);
            }
        }
        sums.into_iter().collect()
    }

    fn ask(
        &self,
        model: &mut Model<'_>,
        placing: &Placing<'_>,
        when: super::solver::Lit,
        sums: &[(u32, i128)],
    ) -> Shown {
        let bound = if self.more { Bound::Above(number(self.row.most)) } else { Bound::Below(number(self.row.least)) };
        let guards = &self.bill.guards;
        let terms = sums.iter().map(|(guard, qty)| (model.guard(&guards[*guard as usize]), *qty)).collect_vec();
        match reaches(&mut model.solver, &terms, bound) {
            Some(reached) => model.smallest(placing, &[when, reached]),
            None => Shown::Unknown(Limit::Numbers),
        }
    }
}

fn number(quantity: Quantity) -> i128 {
    quantity.millionths().into()
}
