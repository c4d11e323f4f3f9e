//! Which units stop the line and for how long, and how many pieces come otherwise: the consequences in all.

use super::Plan;
use super::consequences::{Consequence, Outcome};
use crate::base::{DestId, OwnerId, PartId, Quantity, count};
use std::collections::BTreeMap;

/// How long a unit stops; a time that is not known is longer than all others.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stop {
    /// Whether no time is known for some piece.
    pub unknown: bool,
    /// The line's working minutes that are known: those of the piece that takes longest.
    pub minutes: i64,
}

impl Stop {
    /// Adds a piece, with the minutes that the line waits for it.
    pub(super) fn add(&mut self, minutes: Option<i64>) {
        self.unknown |= minutes.is_none();
        self.minutes = self.minutes.max(minutes.unwrap_or_default());
    }

    /// What is known of two groups of an owner's pieces.
    pub(super) fn and(self, other: Self) -> Self {
        Self { unknown: self.unknown || other.unknown, minutes: self.minutes.max(other.minutes) }
    }

    /// Whether it is longer than one before it, if there was any. What is known of it counts only where both are known.
    pub fn longer_than(&self, old: Option<&Self>) -> bool {
        old.is_none_or(|old| !old.unknown && (self.unknown || self.minutes > old.minutes))
    }
}

/// A piece: whose, what, and at which station or shop.
pub type Wait = (OwnerId, PartId, DestId);

/// For how much of each piece the line waits that it waits for, and for how long.
#[derive(Clone, Debug, Default)]
pub struct WaitedFor(BTreeMap<Wait, (Quantity, Stop)>);

impl WaitedFor {
    /// Takes in what a piece does.
    pub fn take(&mut self, row: &Consequence) {
        if row.outcome == Outcome::StopsTheLine {
            let (qty, stop) = self.0.entry((row.owner, row.part, row.to)).or_default();
            *qty += row.qty;
            stop.add(row.stop_minutes);
        }
    }

    /// What the line waits for longer than before, for more of, or waited not for at all; by how many minutes more where it waited
    /// before, too.
    pub fn longer<'w>(&'w self, before: &'w Self) -> impl Iterator<Item = (Wait, Stop, i64)> + 'w {
        self.0.iter().filter_map(|(wait, (qty, stop))| {
            let old = before.0.get(wait);
            let more = old.is_none_or(|old| *qty > old.0) || stop.longer_than(old.map(|old| &old.1));
            more.then(|| (*wait, *stop, (stop.minutes - old.map_or(0, |old| old.1.minutes)).max(0)))
        })
    }
}

/// How long each unit stops that does.
pub fn stops(plan: &Plan<'_>) -> BTreeMap<OwnerId, Stop> {
    let stops = plan.effects.stops.iter().enumerate();
    stops.filter(|(_, (pieces, _))| *pieces > 0).map(|(owner, (_, stop))| (OwnerId::of(owner), *stop)).collect()
}

/// How many units stop, and how many pieces come otherwise. What the line loses for them is [`super::Loss`].
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// Units that stop the line.
    pub units: usize,
    /// Units among them for which no end is known.
    pub unknown: usize,
    /// Pieces that come with a special run.
    pub special_runs: usize,
    /// Pieces that can follow.
    pub can_follow: usize,
}

impl Totals {
    /// Of a plan.
    pub fn of(plan: &Plan<'_>) -> Self {
        let stops = stops(plan);
        Self {
            units: stops.len(),
            unknown: stops.values().filter(|stop| stop.unknown).count(),
            special_runs: plan.effects.special_runs,
            can_follow: plan.effects.can_follow,
        }
    }

    /// `2 units stop`
    pub fn units_words(&self) -> String {
        match self.units {
            0 => "no unit stops".to_owned(),
            units => count(units, "unit stops", "units stop"),
        }
    }

    /// `3 special runs`, `1 can follow`: as far as there are any.
    pub fn others(&self) -> impl Iterator<Item = String> + use<> {
        let runs = (self.special_runs > 0).then(|| count(self.special_runs, "special run", "special runs"));
        let follow = (self.can_follow > 0).then(|| format!("{} can follow", self.can_follow));
        runs.into_iter().chain(follow)
    }
}
