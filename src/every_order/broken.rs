//! `Content` proved for every order: the smallest order of a floorplan that breaks a row.

use super::bill::Bill;
use super::frame::Frame;
use super::model::{AT_ONCE, Model};
use super::states::State;
use super::totals::{Bound, reaches};
use super::units;
use super::witness::{Shown, Witness};
use super::words::{Broken, by_code, counted};
use crate::base::{Quantity, Total};
use crate::check::{Content, Plant};
use crate::configure::Placing;
use itertools::Itertools;

/// An order that breaks a row of `Content`, or that none was found in the work that is allowed.
pub struct Breaks {
    /// The row, by its index.
    pub row: usize,
    /// Whether there are too many.
    pub more: bool,
    /// The order with its build, and the state of changes; `None` where it is not known.
    pub by: Option<(Witness, usize)>,
    /// Whether the state matters.
    pub in_state: bool,
}

/// The rows that some order breaks.
pub fn look(frame: &Frame<'_>, placing: &Placing<'_>, bill: &Bill, states: &[State]) -> Vec<Breaks> {
    let rows = frame.plant.content.iter().enumerate();
    let about = rows.filter(|(_, row)| row.only.is_none_or(|only| frame.given.contains(only))).collect_vec();
    let each = about.into_iter().flat_map(|(i, row)| [(i, row, true), (i, row, false)]).collect_vec();
    let mut found = Vec::new();
    // What one question adds to the clauses makes the next slower.
    for some in each.chunks(AT_ONCE) {
        let mut model = Model::of(frame, false);
        found.extend(some.iter().filter_map(|asked| of_row(&mut model, placing, bill, states, *asked)));
    }
    found
}

fn of_row(
    model: &mut Model<'_>,
    placing: &Placing<'_>,
    bill: &Bill,
    states: &[State],
    (at, row, more): (usize, &Content, bool),
) -> Option<Breaks> {
    let plant = model.frame.plant;
    let when = model.condition(row.when);
    let bound = if more { Bound::Above(number(row.most)) } else { Bound::Below(number(row.least)) };
    let mut asked = Vec::new();
    let mut best: Option<(Witness, usize)> = None;
    let mut unknown = false;
    for (i, state) in states.iter().enumerate() {
        let ways = bill.ways.iter().filter(|way| counted(plant, way, row.kind));
        let mut sums: Vec<(u32, i128)> = ways
            .filter(|way| bill.guards[way.guard as usize].in_state(|c| state.reached[c.at()]))
            .map(|way| (way.guard, number(way.qty)))
            .collect();
        sums.sort_unstable();
        let sums: Vec<(u32, i128)> =
            sums.chunk_by(|a, b| a.0 == b.0).map(|same| (same[0].0, same.iter().map(|(_, qty)| qty).sum())).collect();
        // A state in which the same lines count has nothing new.
        if asked.contains(&sums) {
            continue;
        }
        let terms = sums.iter().map(|(guard, qty)| (model.guard(&bill.guards[*guard as usize]), *qty)).collect_vec();
        asked.push(sums);
        let Some(reached) = reaches(&mut model.solver, &terms, bound) else {
            unknown = true;
            continue;
        };
        match model.smallest(placing, &[when, reached]) {
            Shown::By(found) => {
                let key = |witness: &Witness| (witness.order.len(), by_code(plant, &witness.order));
                if best.as_ref().is_none_or(|(known, _)| key(&found) < key(known)) {
                    best = Some((*found, i));
                }
            }
            Shown::Never => {}
            Shown::Unknown => unknown = true,
        }
    }
    (best.is_some() || unknown).then_some(Breaks { row: at, more, by: best, in_state: asked.len() > 1 })
}

fn number(quantity: Quantity) -> i128 {
    quantity.millionths().into()
}

/// What a build has of the kind of a row: the ways, and the sum.
pub fn of_kind<'p>(
    plant: &'p Plant,
    bill: &Bill,
    state: &State,
    row: &'p Content,
    witness: &Witness,
) -> Option<(Broken<'p>, Vec<usize>)> {
    if !units::applies(plant, row, &witness.names) {
        return None;
    }
    let ways = bill.ways.iter().enumerate().filter(|(_, way)| counted(plant, way, row.kind));
    let holds = |guard: u32| bill.guards[guard as usize].holds(plant, &witness.names, |c| state.reached[c.at()]);
    let there = ways.filter(|(_, way)| holds(way.guard)).map(|(i, _)| i).collect_vec();
    let total = there.iter().map(|way| Total::from(bill.ways[*way].qty)).fold(Total::ZERO, |a, b| a + b);
    Some((Broken::of(row, total)?, there))
}
