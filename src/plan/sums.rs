//! What pieces do, summed up as they pass by: those at stations in the walk over all parts, the others once jobs are known.

use super::Settled;
use super::arrivals::Handing;
use super::consequences::{self, Consequence, Outcome, There};
use super::doubts::Doubt;
use super::effects::{Effects, FIRST_ROWS};
use super::loss::Waits;
use super::on_line::OnLine;
use super::stops::Stop;
use super::troubles::{Tally, Trouble};
use crate::base::{Moment, PartId, Seconds};
use crate::netting::{Cover, Demand};
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::BinaryHeap;

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

/// What is told of a piece as it passes by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Told {
    /// It is there when its run is picked.
    Nothing,
    /// What it does.
    Does(Outcome),
    /// Nothing yet: it waits for jobs, or what it does is looked at for itself.
    Later,
}

/// What pieces do, as they pass by, and the trouble with each part.
pub(super) struct Sums {
    effects: Effects,
    first: BinaryHeap<Ranked>,
    waits: Waits,
    /// For each move by its place among those with which units arrive: a piece that is there before this decides nothing at it.
    decides_from: Vec<Moment>,
    tallies: Vec<Tally>,
}

impl Sums {
    /// Of so many owners, before anything has passed by.
    pub(super) fn new(owners: usize) -> Self {
        let effects = Effects { stops: vec![(0, Stop::default()); owners], ..Effects::default() };
        Self {
            effects,
            first: BinaryHeap::new(),
            waits: Waits::default(),
            decides_from: Vec::new(),
            tallies: Vec::new(),
        }
    }

    /// Takes in the trouble with the next part, as far as it is known.
    pub(super) fn take_tally(&mut self, tally: Tally) {
        self.tallies.push(tally);
    }

    /// Takes in what a piece does that is fitted where it is needed, if that is a station.
    pub(super) fn take_at_station(&mut self, handing: &mut Handing<'_>, doubt: &Doubt) -> Told {
        let &Doubt { demand: Demand { need, owner, to, .. }, for_its_run, .. } = doubt;
        if for_its_run {
            return Told::Nothing;
        }
        // No unit has left a station where it is yet to come, and none comes there before its material is needed.
        let for_good = doubt.cover == Cover::None && need > handing.on.plant.as_of && handing.on.is_station(to);
        if for_good && !self.may_keep(Outcome::StopsTheLine, need) {
            self.effects.take_at_station(owner, Outcome::StopsTheLine, None);
            return Told::Does(Outcome::StopsTheLine);
        }
        let Some((outcome, stop_minutes, arrival)) = handing.outcome(to, owner, doubt.there()) else {
            return Told::Later;
        };
        self.effects.take_at_station(owner, outcome, stop_minutes);
        let place = arrival.by as usize;
        let in_time = |from: &Moment| doubt.there() < There::At(*from);
        let may_decide = || {
            !self.decides_from.get(place).is_some_and(in_time)
                && self.waits.may_decide(handing.on, &doubt.demand, doubt.there(), arrival.at)
        };
        if self.may_keep(outcome, arrival.at) || stop_minutes.is_some() && may_decide() {
            let row = Consequence::at_station(handing.on, doubt);
            row.into_iter().for_each(|row| self.take_row(handing.on, row));
            if let Some(from) = self.waits.decides_from(handing.on, owner, to) {
                self.decides_from.resize(self.decides_from.len().max(place + 1), Moment::from_seconds(Seconds::MIN));
                self.decides_from[place] = from;
            }
        }
        Told::Does(outcome)
    }

    /// The effects of all pieces and what of each part is late or short, in order of parts, now that it is known when jobs are done.
    pub(super) fn finish(mut self, plan: &Settled<'_>) -> (Effects, Vec<Trouble>) {
        let parts: Vec<_> = plan.parts_in_groups().collect();
        let tallies = &self.tallies;
        let found: Vec<_> = parts.into_par_iter().map(|parts| Self::of_later(plan, parts, tallies)).collect();
        let mut troubles = Vec::new();
        for (sums, some) in found {
            self.join(sums);
            troubles.extend(some);
        }
        (self.effects.loss, self.effects.adds) = self.waits.loss(plan);
        self.effects.first = self.first.into_sorted_vec().into_iter().map(|ranked| ranked.0).collect();
        (self.effects, troubles)
    }

    /// Of the pieces of some parts that were left for later, and what of these parts is late or short.
    fn of_later(plan: &Settled<'_>, parts: impl Iterator<Item = PartId>, tallies: &[Tally]) -> (Self, Vec<Trouble>) {
        let (mut sums, mut troubles) = (Self::new(plan.pace.owners.len()), Vec::new());
        let (mut doubts, mut rows) = (Vec::new(), Vec::new());
        for part in parts {
            plan.put_later(part, &mut doubts);
            plan.judge().put_rows(doubts.iter().copied(), &mut rows);
            rows.iter().for_each(|row| sums.effects.take(plan, row));
            rows.iter().for_each(|row| sums.take_row(plan.on_line(), *row));
            troubles.extend(tallies[part.at()].finish(&doubts, &rows));
        }
        (sums, troubles)
    }

    /// Whether a consequence may be among the first, as far as its outcome and the unit's arrival say.
    fn may_keep(&self, outcome: Outcome, arrives: Moment) -> bool {
        let last = self.first.peek().filter(|_| self.first.len() == FIRST_ROWS);
        last.is_none_or(|last| (Reverse(outcome), arrives) <= (Reverse(last.0.outcome), last.0.arrives))
    }

    /// Takes in a consequence that may be one of the first, or decide what the line loses.
    fn take_row(&mut self, on: OnLine<'_>, row: Consequence) {
        if row.stop_minutes.is_some() && on.is_station(row.to) {
            self.waits.take(on, &row);
        }
        if self.may_keep(row.outcome, row.arrives) {
            self.keep(row);
        }
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
        self.waits.join(other.waits);
        other.first.into_iter().for_each(|row| self.keep(row.0));
        self.tallies.extend(other.tallies);
    }
}
