//! What all pieces that are not there do, in sums: worked out part by part, for where supply is bad no list holds them all.

use super::Plan;
use super::consequences::{self, Consequence, Judge, Outcome};
use super::delays::Delays;
use super::doubts::Doubt;
use super::loss::{Adds, Loss, Waits};
use super::stops::Stop;
use crate::base::{Date, DestId, Moment, OwnerId, PartId, Quantity};
use crate::check::DestKind;
use crate::netting::{Cover, Demand};
use crate::supply::Covered;
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// So many consequences are kept: those that stop the line, each kind by the unit's arrival, rank, place and part.
pub const FIRST_ROWS: usize = 1_000;
/// Consequences that are put in order at a time, about.
const AT_A_TIME: usize = 1 << 20;

/// What the pieces of a plan do that are not there.
#[derive(Debug, Default)]
pub struct Effects {
    /// For each owner how long the line stops for pieces at its stations; `None` where it does not.
    pub(super) stops: Vec<Option<Stop>>,
    /// For each owner how many pieces at its stations that is.
    pub(super) stopping: Vec<usize>,
    /// What the lines lose for the pieces whose time is known.
    pub loss: Loss,
    /// The pieces that decide it.
    pub(super) adds: Adds,
    /// How many pieces at stations take a run of their own.
    pub special_runs: usize,
    /// How many pieces at stations can follow.
    pub can_follow: usize,
    /// How many consequences there are, those of pieces at shops among them.
    pub rows: usize,
    /// How many of them are pieces that the line waits for.
    pub waited_for: usize,
    /// The first consequences, those that stop the line before those that can follow, then special runs.
    pub first: Vec<Consequence>,
}

/// What of a bought part or a by-product is late or short.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// The part.
    pub part: PartId,
    /// Whether something waits in the coming week; if so, the next two speak of that week alone.
    pub soon: bool,
    /// What it does at worst; `None` where only owners that are on no line wait.
    pub outcome: Option<Outcome>,
    /// What waits first: of what stops the line, where something does.
    pub first: Demand,
    /// How much comes too late.
    pub late: Quantity,
    /// How much never comes.
    pub short: Quantity,
    /// How many pieces wait.
    pub pieces: usize,
    /// When the first of them is needed.
    pub since: Moment,
    /// On how many different days they are needed.
    pub days: usize,
    /// How many different ones wait, whose material it is.
    pub owners: usize,
}

/// A consequence in the order in which the first are kept.
#[derive(PartialEq, Eq)]
struct Ranked(Consequence);

impl Ranked {
    fn key(&self) -> impl Ord + use<> {
        (Reverse(self.0.outcome), consequences::order(&self.0), self.0.qty)
    }
}

impl PartialOrd for Ranked {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ranked {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        self.key().cmp(&other.key())
    }
}

/// Effects and troubles of some parts.
struct Found {
    effects: Effects,
    waits: Waits,
    first: BinaryHeap<Ranked>,
    troubles: Vec<Trouble>,
}

impl Effects {
    /// Of a plan, and what of each part is late or short, in order of parts.
    pub(super) fn of(plan: &Plan<'_>) -> (Self, Vec<Trouble>) {
        let parts = plan.plant.parts.len();
        let pieces = (parts / 64).clamp(1, rayon::current_num_threads() * 4);
        let piece = |i: usize| (parts * i / pieces..parts * (i + 1) / pieces).map(PartId::of);
        let found: Vec<Found> = (0..pieces).into_par_iter().map(|i| Found::of(plan, piece(i))).collect();
        let mut all = Found::new(plan);
        found.into_iter().for_each(|more| all.join(more));
        let mut effects = all.effects;
        (effects.loss, effects.adds) = all.waits.loss(plan);
        effects.first = all.first.into_sorted_vec().into_iter().map(|ranked| ranked.0).collect();
        (effects, all.troubles)
    }

    /// Takes in a consequence.
    fn take(&mut self, plan: &Plan<'_>, row: &Consequence, waits: &mut Waits) {
        self.rows += 1;
        self.waited_for += usize::from(row.outcome == Outcome::StopsTheLine);
        if !matches!(plan.plant.dest(row.to).what, DestKind::Station { .. }) {
            return;
        }
        match row.outcome {
            Outcome::StopsTheLine => {
                self.stops[row.owner.at()].get_or_insert_default().add(row.stop_minutes);
                self.stopping[row.owner.at()] += 1;
                waits.take(plan, row);
            }
            Outcome::SpecialRun => self.special_runs += 1,
            Outcome::CanFollow => self.can_follow += 1,
        }
    }

    fn join(&mut self, other: Self) {
        for (own, other) in self.stops.iter_mut().zip(other.stops) {
            *own = match (*own, other) {
                (Some(own), Some(other)) => Some(own.and(other)),
                (own, other) => own.or(other),
            };
        }
        self.stopping.iter_mut().zip(other.stopping).for_each(|(own, other)| *own += other);
        self.special_runs += other.special_runs;
        self.can_follow += other.can_follow;
        self.rows += other.rows;
        self.waited_for += other.waited_for;
    }
}

impl Found {
    fn new(plan: &Plan<'_>) -> Self {
        let owners = plan.pace.owners.len();
        let effects = Effects { stops: vec![None; owners], stopping: vec![0; owners], ..Effects::default() };
        Self { effects, waits: Waits::default(), first: BinaryHeap::new(), troubles: Vec::new() }
    }

    fn of(plan: &Plan<'_>, parts: impl Iterator<Item = PartId>) -> Self {
        let mut found = Self::new(plan);
        let (mut doubts, mut rows, mut owners) = (Vec::new(), Vec::new(), Vec::new());
        for part in parts {
            plan.put_doubts(part, &mut doubts);
            plan.judge().put_rows(doubts.iter().copied(), &mut rows);
            rows.iter().for_each(|row| found.effects.take(plan, row, &mut found.waits));
            rows.iter().for_each(|row| found.keep(*row));
            found.troubles.extend(trouble(plan, part, &doubts, &rows, &mut owners));
        }
        found
    }

    /// Keeps a consequence if it is one of the first.
    fn keep(&mut self, row: Consequence) {
        let row = Ranked(row);
        if self.first.len() < FIRST_ROWS {
            self.first.push(row);
        } else if self.first.peek().is_some_and(|last| row < *last) {
            self.first.pop();
            self.first.push(row);
        }
    }

    fn join(&mut self, other: Self) {
        self.effects.join(other.effects);
        self.waits.join(other.waits);
        other.first.into_iter().for_each(|row| self.keep(row.0));
        self.troubles.extend(other.troubles);
    }
}

/// The pieces of a part that come too late or never, and which a buyer can do something about: none that shops make.
pub fn waiting(doubts: &[Doubt]) -> impl Iterator<Item = &Doubt> + Clone {
    let bought = |doubt: &&Doubt| matches!(doubt.cover, Cover::Receipt(_) | Cover::None);
    doubts.iter().filter(bought).filter(|doubt| doubt.covered() != Covered::InTime)
}

/// What of a part is late or short, given what its pieces do; `owners` is room to count them.
fn trouble(
    plan: &Plan<'_>,
    part: PartId,
    doubts: &[Doubt],
    rows: &[Consequence],
    owners: &mut Vec<OwnerId>,
) -> Option<Trouble> {
    let week = plan.week();
    let first = waiting(doubts).next()?.demand;
    let soon = first.need.date() <= week;
    let (mut late, mut short, mut pieces, mut days) = (Quantity::ZERO, Quantity::ZERO, 0, 0);
    let mut last = None;
    owners.clear();
    for doubt in waiting(doubts) {
        *(if doubt.cover == Cover::None { &mut short } else { &mut late }) += doubt.qty;
        pieces += 1;
        let day = doubt.demand.need.date();
        days += usize::from(last.replace(day) != Some(day));
        owners.push(doubt.demand.owner);
    }
    owners.sort_unstable();
    owners.dedup();
    let counts = waiting(doubts).take_while(|doubt| !soon || doubt.demand.need.date() <= week);
    let (outcome, first) = worst(counts, rows).map_or((None, first), |(outcome, first)| (Some(outcome), first));
    let since = waiting(doubts).next()?.demand.need;
    Some(Trouble { part, soon, outcome, first, late, short, pieces, since, days, owners: owners.len() })
}

/// What some pieces of a part do at worst, and the first of those that stop the line, or of all; `None` where they do nothing.
fn worst<'d>(pieces: impl Iterator<Item = &'d Doubt> + Clone, rows: &[Consequence]) -> Option<(Outcome, Demand)> {
    let first = pieces.clone().next()?.demand;
    let same = |row: &&Consequence, demand: &Demand| (row.owner, row.to) == (demand.owner, demand.to);
    // Most often the first piece stops the line, and stands among the first rows.
    let near = rows.iter().take(4).filter(|row| same(row, &first)).map(|row| row.outcome).max();
    if near == Some(Outcome::StopsTheLine) {
        return Some((Outcome::StopsTheLine, first));
    }
    let mut outcomes: Vec<((OwnerId, DestId), Outcome)> =
        rows.iter().map(|row| ((row.owner, row.to), row.outcome)).collect();
    outcomes.sort_unstable();
    // The worst of each stands last.
    let outcome = |demand: &Demand| {
        let key = (demand.owner, demand.to);
        let after = outcomes.partition_point(|(other, _)| *other <= key);
        after.checked_sub(1).map(|last| outcomes[last]).filter(|(other, _)| *other == key).map(|(_, outcome)| outcome)
    };
    let stops = pieces.clone().find(|doubt| outcome(&doubt.demand) == Some(Outcome::StopsTheLine));
    match stops {
        Some(stops) => Some((Outcome::StopsTheLine, stops.demand)),
        None => Some((pieces.filter_map(|doubt| outcome(&doubt.demand)).max()?, first)),
    }
}

impl Plan<'_> {
    /// The last day of the coming week.
    pub fn week(&self) -> Date {
        self.plant.as_of.date().plus(7)
    }

    /// What the pieces of a part do that are not there, by the unit's arrival, rank and place.
    pub fn consequences_of(&self, part: PartId) -> Vec<Consequence> {
        self.judge().rows(self.doubts(part).into_iter())
    }

    /// Shows what all pieces do that are not there, some at a time, by the unit's arrival, rank, place and part.
    pub fn some_consequences(&self, mut visit: impl FnMut(&[Consequence])) {
        let parts = || (0..self.plant.parts.len()).into_par_iter().map(PartId::of);
        if self.effects.rows <= AT_A_TIME {
            let mut all: Vec<Consequence> = parts().flat_map_iter(|part| self.consequences_of(part)).collect();
            all.par_sort_by_key(consequences::order);
            return visit(&all);
        }
        // When the unit of each piece arrives, in which part it stands, and its number among the part's.
        let places = parts().flat_map_iter(|part| {
            let rows = self.doubts(part).into_iter().map(|doubt| self.judge().row(&doubt)).zip(0_u32..);
            rows.filter_map(move |(row, number)| Some((row?.arrives, part, number)))
        });
        let mut places: Vec<(Moment, PartId, u32)> = places.collect();
        places.par_sort_unstable();
        let mut left = places.as_slice();
        while let Some(some) = left.get(..left.len().min(AT_A_TIME)).filter(|some| !some.is_empty()) {
            // Those alike arrive together: all of a moment's are shown at once.
            let last = some[some.len() - 1].0;
            let more = left[some.len()..].partition_point(|place| place.0 == last);
            let (now, after) = left.split_at(some.len() + more);
            visit(&self.consequences_at(now));
            left = after;
        }
    }

    /// What the pieces at some places do.
    fn consequences_at(&self, places: &[(Moment, PartId, u32)]) -> Vec<Consequence> {
        let mut places: Vec<(PartId, u32)> = places.iter().map(|place| (place.1, place.2)).collect();
        places.par_sort_unstable();
        let of_parts: Vec<&[(PartId, u32)]> = places.chunk_by(|a, b| a.0 == b.0).collect();
        let rows = of_parts.into_par_iter().flat_map_iter(|places| {
            let numbers: Vec<u32> = places.iter().map(|place| place.1).collect();
            self.judge().rows(self.doubts_at(places[0].0, &numbers).into_iter())
        });
        let mut rows: Vec<Consequence> = rows.collect();
        rows.par_sort_by_key(consequences::order);
        rows
    }

    /// What of each part is late or short, in order of parts.
    pub fn troubles(&self) -> &[Trouble] {
        &self.troubles
    }

    pub(super) fn judge(&self) -> Judge<'_> {
        Judge { plan: self, delays: Delays { shops: self.shops(), there: &self.there, moved: &self.none_moved } }
    }
}
