//! What happens on the plan's day: which units stop on it, what the lines lose on it, and what comes otherwise.
//!
//! Rule `of-the-day`.

use super::Plan;
use super::consequences::{Consequence, Outcome};
use super::loss::Lost;
use super::stops::Totals;
use crate::base::{DestId, Moment, OwnerId, PartId};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A piece for which a line stops, and the moment from which on it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DayStop {
    /// When the unit arrives at the last station where the piece can be fitted.
    pub at: Moment,
    /// That station.
    pub station: DestId,
    /// What the piece does.
    pub row: Consequence,
}

/// What happens on the plan's day.
#[derive(Debug, Default)]
pub struct OfDay {
    /// The units that stop on it; pieces for units that arrive on it and come otherwise.
    pub totals: Totals,
    /// The one with the least key; `None` where no unit stops on the day.
    pub first: Option<DayStop>,
    /// What the lines lose on it, by line; what they wait for since an earlier day as well.
    pub loss: Vec<Lost>,
    /// Whether some material that is needed by its end is not there when its run is picked, or comes after its need.
    pub something_missing: bool,
}

/// What is found of a part.
#[derive(Default)]
struct Found {
    /// For each unit that stops whether some piece has no known end.
    units: BTreeMap<OwnerId, bool>,
    first: Option<DayStop>,
    special_runs: usize,
    can_follow: usize,
    missing: bool,
}

impl Found {
    fn join(mut self, other: Self) -> Self {
        other.units.into_iter().for_each(|(owner, unknown)| *self.units.entry(owner).or_default() |= unknown);
        self.first = [self.first, other.first].into_iter().flatten().min_by_key(DayStop::key);
        self.special_runs += other.special_runs;
        self.can_follow += other.can_follow;
        self.missing |= other.missing;
        self
    }
}

impl DayStop {
    /// The order of stops.
    pub fn key(&self) -> impl Ord + use<> {
        (self.at, self.row.owner, self.station, self.row.part)
    }
}

impl Plan<'_> {
    /// When and where the line stops for a piece: at the arrival at the last station where it can be fitted. `None` of what stops no line,
    /// and of what a shop waits for, which stops one by what is made of it.
    pub fn stops_at(&self, row: &Consequence) -> Option<DayStop> {
        let until = row.saves_until.filter(|_| row.outcome == Outcome::StopsTheLine)?;
        let unit = self.on_line().unit(row.owner)?;
        let (_, _, station) = self.on_line().positions(unit, row.to, row.part)?;
        Some(DayStop { at: Moment::from_seconds(until.seconds() + self.plant.hand_over), station, row: *row })
    }

    /// What happens on the plan's day.
    pub fn of_day(&self) -> OfDay {
        let parts = (0..self.plant.parts.len()).into_par_iter().map(PartId::of);
        let found = parts.map(|part| self.found_on_day(part)).reduce(Found::default, Found::join);
        let totals = Totals {
            units: found.units.len(),
            unknown: found.units.values().filter(|unknown| **unknown).count(),
            special_runs: found.special_runs,
            can_follow: found.can_follow,
        };
        let lost = self.effects.loss.by_date.iter().filter(|lost| lost.date == self.day);
        let loss = lost.copied().collect();
        OfDay { totals, first: found.first, loss, something_missing: found.missing }
    }

    fn found_on_day(&self, part: PartId) -> Found {
        let doubts = self.doubts_before(part, self.day.plus(1).midnight());
        let mut found =
            Found { missing: doubts.iter().any(|doubt| self.judge().is_missing(doubt)), ..Found::default() };
        // What can be fitted later on may stop the line on this day, though its unit has arrived before.
        for row in self.judge().rows(doubts.into_iter()) {
            let at_station = self.plant.position(row.to).is_some();
            let arrives = at_station && row.arrives.date() == self.day;
            match row.outcome {
                Outcome::SpecialRun => found.special_runs += usize::from(arrives),
                Outcome::CanFollow => found.can_follow += usize::from(arrives),
                Outcome::StopsTheLine => {
                    let Some(stop) = self.stops_at(&row).filter(|stop| stop.at.date() == self.day) else { continue };
                    *found.units.entry(row.owner).or_default() |= row.stop_minutes.is_none();
                    found.first = found.first.into_iter().chain([stop]).min_by_key(DayStop::key);
                }
            }
        }
        found
    }
}
