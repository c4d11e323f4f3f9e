//! What all pieces that are not there do, in sums: worked out part by part, for where supply is bad no list holds them all.

use super::consequences::{Consequence, Judge, Outcome};
use super::delays::Delays;
use super::doubts::Doubt;
use super::loss::{Adds, Loss};
use super::stops::Stop;
use super::troubles::Trouble;
use super::{Plan, Settled};
use crate::base::{Date, Moment, OwnerId, PartId};
use crate::check::Plant;

/// So many consequences are kept: those that stop the line, each kind by the unit's arrival, rank, place and part.
pub const FIRST_ROWS: usize = 1_000;

/// What the pieces of a plan do that are not there.
#[derive(Debug, Default)]
pub struct Effects {
    /// For each owner for how many pieces at its stations the line stops, and how long.
    pub(super) stops: Vec<(u32, Stop)>,
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

impl Effects {
    /// Takes in a consequence.
    pub(super) fn take(&mut self, plan: &Settled<'_>, row: &Consequence) {
        if plan.plant.position(row.to).is_some() {
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
    pub(super) fn take_at_station(&mut self, owner: OwnerId, outcome: Outcome, stop_minutes: Option<i64>) {
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

    /// With those of other parts.
    pub(super) fn join(&mut self, other: Self) {
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

/// The last day of the coming week.
pub(super) fn week(plant: &Plant) -> Date {
    plant.as_of.date().plus(7)
}

impl Plan<'_> {
    /// What of each part is late or short, in order of parts.
    pub fn troubles(&self) -> &[Trouble] {
        &self.troubles
    }
}

impl Settled<'_> {
    /// The last day of the coming week.
    pub fn week(&self) -> Date {
        week(self.plant)
    }

    /// What the pieces of a part do that are not there, by the unit's arrival, rank and place.
    pub fn consequences_of(&self, part: PartId) -> Vec<Consequence> {
        self.judge().rows(self.doubts(part).into_iter())
    }

    /// When the first piece of a bought part is needed that stops the line; `None` where none does. Pieces behind it are not looked at.
    pub fn first_stop(&self, part: PartId) -> Option<Moment> {
        let stops = |doubt: &Doubt| self.judge().row(doubt).is_some_and(|row| row.outcome == Outcome::StopsTheLine);
        self.bought_doubts(part).find(stops).map(|doubt| doubt.demand.need)
    }

    /// What a piece does that may not be there in time; `None` where it is there for its run, or is for no unit on its line.
    pub fn consequence_of(&self, doubt: &Doubt) -> Option<Consequence> {
        self.judge().row(doubt)
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
