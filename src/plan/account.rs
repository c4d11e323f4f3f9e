//! What all demands of a bought part come to: worked out where they pass by, for a plan never holds them all.
//!
//! Rules `balance`, `planned-orders`.

use super::deliveries::Deliveries;
use crate::base::{Date, Moment, OwnerId, PartId, Quantity};
use crate::check::Plant;
use crate::netting::{Cover, Demand};
use crate::supply::{Balance, Covered, Supply};
use crate::waves::Runs;
use std::collections::BTreeMap;

/// On so many days on which something happens the balance is kept.
pub const FIRST_DAYS: usize = 10;
/// So many runs that lean on an overdue delivery are kept.
pub const FIRST_RUNS: usize = 3;
/// So many of those who take pieces with one run are kept.
pub const FIRST_TAKERS: usize = 3;

/// A bought part's whole supply in sums.
#[derive(Clone, Debug, Default)]
pub struct Account {
    /// All that is demanded.
    pub asked: Quantity,
    /// Where the balance begins.
    pub begins: Quantity,
    /// What is left at the end of each of the first days on which something happens: at most [`FIRST_DAYS`].
    pub first_days: Vec<(Date, Quantity)>,
    /// What is left when the sequence ends.
    pub at_end: Quantity,
    /// What is left when all has been taken and all that is open or planned has come.
    pub ends: Quantity,
    /// All orders that the balance plans, by day.
    pub planned: Vec<Planned>,
    /// What the sequence takes of each of the part's deliveries.
    pub taken: Vec<Taken>,
    /// Who needs it first by when, and how that need is covered.
    pub first: Option<(Moment, OwnerId, Covered)>,
    /// When the first delivery is there of which the sequence takes something.
    pub comes: Option<Moment>,
}

/// An order that a balance plans.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Planned {
    /// The day on which the balance needs it.
    pub day: Date,
    /// How much.
    pub qty: Quantity,
    /// The last day to order it.
    pub release: Date,
}

/// What the whole sequence takes of a delivery.
#[derive(Clone, Debug, Default)]
pub struct Taken {
    /// How much.
    pub qty: Quantity,
    /// With how many runs the pieces of an overdue delivery go; 0 of another.
    pub runs: usize,
    /// When the last of these is picked.
    pub last: Option<Moment>,
    /// The first of these to be picked: at most [`FIRST_RUNS`].
    pub first: Vec<Leaning>,
    /// With how many runs those pieces go that come after they are needed.
    pub late_runs: usize,
    /// When the first of these runs is picked.
    pub first_late: Option<Moment>,
}

/// The pieces of a delivery that go with one run.
#[derive(Clone, Debug)]
pub struct Leaning {
    /// When the run is picked.
    pub by: Moment,
    /// How many by then, those of runs picked earlier included.
    pub qty: Quantity,
    /// The first who take one: at most [`FIRST_TAKERS`].
    pub takers: Vec<Demand>,
    /// How many more take one.
    pub more: usize,
}

/// What accounts are made with.
#[derive(Clone, Copy)]
pub(super) struct Accounting<'g> {
    pub(super) plant: &'g Plant,
    pub(super) deliveries: &'g Deliveries<'g>,
    pub(super) runs: &'g Runs,
    /// The day on which the sequence ends.
    pub(super) end: Date,
}

impl Account {
    /// What a part's whole supply comes to; nothing for parts that are not bought.
    pub(super) fn of(with: Accounting<'_>, part: PartId, supply: &Supply) -> Self {
        if !with.plant.part(part).bought() {
            return Self::default();
        }
        let balances = &supply.balances;
        let until_end = balances.partition_point(|day| day.date <= with.end);
        let (taken, comes) = taken(with, part, supply);
        let planned = |day: &Balance| Some(Planned { day: day.date, qty: day.planned, release: day.release? });
        Self {
            asked: supply.asked(),
            begins: supply.begins,
            first_days: balances.iter().take(FIRST_DAYS).map(|day| (day.date, day.available)).collect(),
            at_end: until_end.checked_sub(1).map_or(supply.begins, |last| balances[last].available),
            ends: balances.last().map_or(supply.begins, |last| last.available),
            planned: balances.iter().filter_map(planned).collect(),
            taken,
            first: supply.first(),
            comes,
        }
    }
}

/// What is taken of each delivery of a part, and when the first of it is there.
fn taken(with: Accounting<'_>, part: PartId, supply: &Supply) -> (Vec<Taken>, Option<Moment>) {
    let deliveries = with.deliveries.of_part(part);
    let first = with.deliveries.first_of(part);
    let mut all = vec![Taken::default(); deliveries.len()];
    let mut comes: Option<Moment> = None;
    if all.is_empty() {
        return (all, comes);
    }
    // Of what is overdue the pieces with each run, by when it is picked: a later run may be picked first.
    let mut leaning: Vec<BTreeMap<Moment, Leaning>> = vec![BTreeMap::new(); all.len()];
    // When the runs are picked whose pieces come too late.
    let mut late: Vec<Vec<Moment>> = vec![Vec::new(); all.len()];
    let mut runs = with.runs.in_turn();
    for (demand, peg) in supply.pegged().pieces() {
        let Cover::Receipt(receipt) = peg.cover else { continue };
        let number = with.deliveries.of_receipt(receipt) - first;
        all[number].qty += peg.qty;
        comes = comes.into_iter().chain(peg.available).min();
        let (overdue, is_late) = (deliveries[number].overdue, peg.covered(demand.need) == Covered::Late);
        if !overdue && !is_late {
            continue;
        }
        let by = runs.serving(demand.need).map_or(demand.need, |run| run.picked);
        if overdue {
            let new = || Leaning { by, qty: Quantity::ZERO, takers: Vec::new(), more: 0 };
            leaning[number].entry(by).or_insert_with(new).add(demand, peg.qty);
        }
        if is_late && late[number].last() != Some(&by) {
            late[number].push(by);
        }
    }
    for (taken, (leaning, mut late)) in all.iter_mut().zip(leaning.into_iter().zip(late)) {
        taken.lean(leaning.into_values());
        late.sort_unstable();
        late.dedup();
        (taken.late_runs, taken.first_late) = (late.len(), late.first().copied());
    }
    (all, comes)
}

impl Leaning {
    /// Takes in a piece.
    fn add(&mut self, demand: &Demand, qty: Quantity) {
        self.qty += qty;
        if self.takers.len() < FIRST_TAKERS {
            self.takers.push(*demand);
        } else {
            self.more += 1;
        }
    }
}

impl Taken {
    /// Takes in what goes with each run, in the order in which they are picked.
    fn lean(&mut self, runs: impl Iterator<Item = Leaning>) {
        let mut qty = Quantity::ZERO;
        for mut run in runs {
            qty += run.qty;
            run.qty = qty;
            self.runs += 1;
            self.last = Some(run.by);
            if self.first.len() < FIRST_RUNS {
                self.first.push(run);
            }
        }
    }
}
