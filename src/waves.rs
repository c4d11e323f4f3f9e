//! Delivery runs: when each leaves the stores, when its picking starts, and which one a need goes with.
//!
//! Rule `delivery-runs`.

use crate::base::{Date, Moment};
use crate::check::Plant;

/// One delivery run on one date.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DeliveryRun {
    /// When it leaves.
    pub leaves: Moment,
    /// When its picking starts.
    pub picked: Moment,
}

/// The delivery runs of a stretch of time, in order.
#[derive(Debug)]
pub struct Runs(Vec<DeliveryRun>);

impl Runs {
    /// All runs that needs between two moments can go with.
    pub fn between(plant: &Plant, first_need: Moment, last_need: Moment) -> Self {
        let mut runs = Vec::new();
        let mut day = first_need.date();
        while day <= last_need.date() {
            runs_of(plant, day, &mut runs);
            day = day.plus(1);
        }
        // Needs before the stretch's first run go with the last one before it.
        let mut before = Vec::new();
        let mut day = first_need.date();
        let stretch = plant.stores_calendar().dated_stretch();
        let earliest = day.min(stretch.0).plus(-14);
        while runs.first().is_none_or(|run| run.leaves > first_need) && before.is_empty() && day > earliest {
            day = day.plus(-1);
            runs_of(plant, day, &mut before);
        }
        before.append(&mut runs);
        Self(before)
    }

    /// The last run at or before a need; `None` where the stores have never worked before it.
    pub fn serving(&self, need: Moment) -> Option<DeliveryRun> {
        let after = self.0.partition_point(|run| run.leaves <= need);
        after.checked_sub(1).map(|i| self.0[i])
    }

    /// The same for needs that come in order.
    pub fn in_turn(&self) -> InTurn<'_> {
        InTurn { runs: &self.0, next: 0 }
    }

    /// All of them, in order.
    pub fn all(&self) -> &[DeliveryRun] {
        &self.0
    }

    /// The moment before which all needs go with runs up to the last one of a kind: when the run after that one leaves.
    pub fn end_of(&self, kind: impl Fn(DeliveryRun) -> bool) -> Moment {
        let after = self.0.iter().rposition(|run| kind(*run)).map_or(0, |last| last + 1);
        self.0.get(after).map_or(Moment::NEVER, |run| run.leaves)
    }

    /// The runs of a date.
    pub fn on(&self, date: Date) -> impl Iterator<Item = DeliveryRun> {
        self.0.iter().copied().filter(move |run| run.leaves.date() == date)
    }
}

/// Runs for needs in order, the earliest first.
pub struct InTurn<'r> {
    runs: &'r [DeliveryRun],
    next: usize,
}

impl InTurn<'_> {
    /// The last run at or before a need that is not before the last one asked for.
    pub fn serving(&mut self, need: Moment) -> Option<DeliveryRun> {
        while self.runs.get(self.next).is_some_and(|run| run.leaves <= need) {
            self.next += 1;
        }
        self.next.checked_sub(1).map(|i| self.runs[i])
    }
}

/// Adds the runs of a date, in order of time.
fn runs_of(plant: &Plant, date: Date, runs: &mut Vec<DeliveryRun>) {
    let stores = plant.stores_calendar();
    let mut add = |leaves: Moment, pick| {
        let picked = stores.starts(stores.worked(leaves) - pick);
        runs.push(DeliveryRun { leaves, picked });
    };
    if plant.waves.is_empty() && stores.open_on(date) {
        add(stores.starts(stores.worked(date.midnight())), 0);
    }
    for (i, wave) in plant.waves.iter().enumerate() {
        let leaves = Moment::at(date, wave.time);
        let twice = i > 0 && plant.waves[i - 1].time == wave.time;
        if !twice && stores.works_or_just_stopped(leaves) {
            add(leaves, wave.pick);
        }
    }
}

/// The first day from the as-of date on whose first run is not being picked yet.
pub fn next_pull_day(plant: &Plant) -> Option<Date> {
    let today = plant.as_of.date();
    let stretch = plant.stores_calendar().dated_stretch();
    let last = today.max(stretch.1).plus(14);
    (today.days()..=last.days()).map(Date::from_days).find(|day| {
        let mut runs = Vec::new();
        runs_of(plant, *day, &mut runs);
        runs.iter().min().is_some_and(|run| run.picked >= plant.as_of)
    })
}
