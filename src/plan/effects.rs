//! What all pieces that are not there do, in sums: worked out part by part, for where supply is bad no list holds them all.

use super::Plan;
use super::arrivals::Handing;
use super::consequences::{self, Consequence, Judge, Outcome};
use super::delays::Delays;
use super::doubts::Doubt;
use super::on_line::Effect;
use super::stops::Stop;
use super::troubles::{Tally, Trouble};
use crate::base::{Date, Moment, OwnerId, PartId};
use crate::check::{DestKind, Plant};
use crate::netting::{Cover, Demand};
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// So many consequences are kept: those that stop the line, each kind by the unit's arrival, rank, place and part.
pub const FIRST_ROWS: usize = 1_000;

/// What the pieces of a plan do that are not there.
#[derive(Debug, Default)]
pub struct Effects {
    /// For each owner for how many pieces at its stations the line stops, and how long.
    pub(super) stops: Vec<(u32, Stop)>,
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

impl Effects {
    /// Takes in a consequence.
    fn take(&mut self, plan: &Plan<'_>, row: &Consequence) {
        if matches!(plan.plant.dest(row.to).what, DestKind::Station { .. }) {
            self.take_at_station(row.owner, row.outcome, row.stop_minutes);
        } else {
            self.count(row.outcome);
        }
    }

    fn count(&mut self, outcome: Outcome) {
        self.rows += 1;
        self.waited_for += usize::from(outcome == Outcome::StopsTheLine);
    }

    /// Takes in what a piece at a station does.
    fn take_at_station(&mut self, owner: OwnerId, outcome: Outcome, stop_minutes: Option<i64>) {
        self.count(outcome);
        match outcome {
            Outcome::StopsTheLine => {
                let (pieces, stop) = &mut self.stops[owner.at()];
                *pieces += 1;
                stop.add(stop_minutes);
            }
            Outcome::SpecialRun => self.special_runs += 1,
            Outcome::CanFollow => self.can_follow += 1,
        }
    }

    fn join(&mut self, other: Self) {
        for ((own_pieces, own), (pieces, stop)) in self.stops.iter_mut().zip(other.stops) {
            *own_pieces += pieces;
            *own = own.and(stop);
        }
        self.special_runs += other.special_runs;
        self.can_follow += other.can_follow;
        self.rows += other.rows;
        self.waited_for += other.waited_for;
    }
}

/// What pieces do, as they pass by, and the trouble with each part.
pub(super) struct Sums {
    effects: Effects,
    first: BinaryHeap<Ranked>,
    tallies: Vec<Tally>,
}

impl Sums {
    /// Of so many owners, before anything has passed by.
    pub(super) fn new(owners: usize) -> Self {
        let effects = Effects { stops: vec![(0, Stop::default()); owners], ..Effects::default() };
        Self { effects, first: BinaryHeap::new(), tallies: Vec::new() }
    }

    /// Takes in the trouble with the next part, as far as it is known.
    pub(super) fn take_tally(&mut self, tally: Tally) {
        self.tallies.push(tally);
    }

    /// Takes in what a piece at a station does that is fitted there; `None` where it is none.
    pub(super) fn take_at_station(&mut self, handing: &mut Handing<'_>, doubt: &Doubt) -> Option<Option<Outcome>> {
        let &Doubt { demand: Demand { need, owner, to, part, .. }, for_its_run, .. } = doubt;
        // No unit has left a station where it is yet to come, and none comes there before its material is needed.
        let for_good = doubt.cover == Cover::None && need > handing.on.plant.as_of && handing.on.is_station(to);
        if for_good && !self.may_keep(Outcome::StopsTheLine, need) {
            self.effects.take_at_station(owner, Outcome::StopsTheLine, None);
            return Some(Some(Outcome::StopsTheLine));
        }
        let (outcome, stop_minutes, arrives) = handing.outcome(to, owner, doubt.there())?;
        if for_its_run {
            return Some(None);
        }
        self.effects.take_at_station(owner, outcome, stop_minutes);
        if self.may_keep(outcome, arrives) {
            let unit = handing.on.unit(owner)?;
            let effect = Effect::of(handing.on, unit, to, part, doubt.there())?;
            self.keep(effect.row(&doubt.demand, doubt.qty, doubt.there()));
        }
        Some(Some(outcome))
    }

    /// The effects of all pieces and what of each part is late or short, in order of parts, given the plan, which knows when jobs are
    /// done.
    pub(super) fn finish(mut self, plan: &Plan<'_>) -> (Effects, Vec<Trouble>) {
        let parts: Vec<_> = plan.parts_in_groups().collect();
        let tallies = &self.tallies;
        let found: Vec<_> = parts.into_par_iter().map(|parts| Self::of_later(plan, parts, tallies)).collect();
        let mut troubles = Vec::new();
        for (sums, some) in found {
            self.join(sums);
            troubles.extend(some);
        }
        self.effects.first = self.first.into_sorted_vec().into_iter().map(|ranked| ranked.0).collect();
        (self.effects, troubles)
    }

    /// Of the pieces of some parts that were left for later, and what of these parts is late or short.
    fn of_later(plan: &Plan<'_>, parts: impl Iterator<Item = PartId>, tallies: &[Tally]) -> (Self, Vec<Trouble>) {
        let (mut sums, mut troubles) = (Self::new(plan.pace.owners.len()), Vec::new());
        let (mut doubts, mut rows) = (Vec::new(), Vec::new());
        for part in parts {
            plan.put_later(part, &mut doubts);
            plan.judge().put_rows(doubts.iter().copied(), &mut rows);
            rows.iter().for_each(|row| sums.effects.take(plan, row));
            rows.iter().for_each(|row| sums.keep(*row));
            troubles.extend(tallies[part.at()].finish(&doubts, &rows));
        }
        (sums, troubles)
    }

    /// Whether a consequence may be among the first, as far as its outcome and the unit's arrival say.
    fn may_keep(&self, outcome: Outcome, arrives: Moment) -> bool {
        let last = self.first.peek().filter(|_| self.first.len() == FIRST_ROWS);
        last.is_none_or(|last| (Reverse(outcome), arrives) <= (Reverse(last.0.outcome), last.0.arrives))
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

    /// With those of the parts that come next.
    pub(super) fn join(&mut self, other: Self) {
        self.effects.join(other.effects);
        other.first.into_iter().for_each(|row| self.keep(row.0));
        self.tallies.extend(other.tallies);
    }
}

/// The last day of the coming week.
pub(super) fn week(plant: &Plant) -> Date {
    plant.as_of.date().plus(7)
}

impl Plan<'_> {
    /// The last day of the coming week.
    pub fn week(&self) -> Date {
        week(self.plant)
    }

    /// What the pieces of a part do that are not there, by the unit's arrival, rank and place.
    pub fn consequences_of(&self, part: PartId) -> Vec<Consequence> {
        self.judge().rows(self.doubts(part).into_iter())
    }

    /// What of each part is late or short, in order of parts.
    pub fn troubles(&self) -> &[Trouble] {
        &self.troubles
    }

    pub(super) fn judge(&self) -> Judge<'_> {
        Judge { plan: self, delays: self.delays() }
    }

    /// When jobs are really done.
    pub(super) fn delays(&self) -> Delays<'_> {
        Delays { shops: self.shops(), there: &self.there, heaps: &self.heaps_there, moved: &self.none_moved }
    }

    /// All parts in groups, in order, for threads to share.
    pub(super) fn parts_in_groups(&self) -> impl Iterator<Item = impl Iterator<Item = PartId> + Clone + use<>> + use<> {
        let parts = self.plant.parts.len();
        let groups = (parts / 64).clamp(1, rayon::current_num_threads() * 4);
        (0..groups).map(move |i| (parts * i / groups..parts * (i + 1) / groups).map(PartId::of))
    }
}
