//! When units arrive at stations, looked up once: where supply is bad, thousands of pieces wait at each.

use super::There;
use super::consequences::Outcome;
use super::loss::move_to;
use super::on_line::{OnLine, minutes};
use crate::base::{DestId, LineId, Moment, OwnerId, Seconds, numbered};
use crate::check::DestKind;
use itertools::Itertools;
use rayon::prelude::*;

/// The arrival of an owner's unit at a station.
#[derive(Clone, Copy, Debug)]
pub(super) struct Arrival {
    /// When that is.
    pub(super) at: Moment,
    /// The line's working seconds by then; [`LEFT`] where the unit has left the station by now, and [`NEVER`] where it is on another
    /// line or none.
    work: Seconds,
    /// The place of the move with which it comes among all such moves; 0 where it never comes.
    pub(super) by: u32,
}

const LEFT: Seconds = Seconds::MIN;
const NEVER: Seconds = Seconds::MAX;

/// All of them.
pub(super) struct Arrivals {
    /// For each place those of all owners; nothing for a shop.
    by_place: Vec<Vec<Arrival>>,
}

impl Arrivals {
    /// On all lines.
    pub(super) fn of(on: OnLine<'_>) -> Self {
        let owners = || (0..on.pace.owners.len()).map(OwnerId::of);
        let stations = (0..on.plant.dests.len()).map(DestId::of).filter(|to| on.is_station(*to));
        let moves = stations.flat_map(|to| owners().filter_map(move |owner| move_to(on, owner, to)));
        let moves = moves.sorted_unstable().dedup().collect_vec();
        let place = |to| match on.plant.dest(to).what {
            DestKind::Station { .. } => owners().map(|owner| Arrival::of(on, to, owner, &moves)).collect(),
            DestKind::Shop(_) => Vec::new(),
        };
        Self { by_place: (0..on.plant.dests.len()).into_par_iter().map(|to| place(DestId::of(to))).collect() }
    }

    /// That of an owner at a station; `None` at a shop, or where the unit never comes there.
    fn at(&self, to: DestId, owner: OwnerId) -> Option<Arrival> {
        self.by_place[to.at()].get(owner.at()).copied().filter(|arrival| arrival.work != NEVER)
    }
}

impl Arrival {
    fn of(on: OnLine<'_>, to: DestId, owner: OwnerId, moves: &[(LineId, i64)]) -> Self {
        let Some((at, leaves)) = on.stay(owner, to) else { return Self { at: Moment::NEVER, work: NEVER, by: 0 } };
        let work = match on.plant.dest(to).what {
            DestKind::Station { line, .. } if leaves > on.plant.as_of => on.worked(line, at),
            _ => LEFT,
        };
        let by = move_to(on, owner, to).map_or(0, |at| moves.partition_point(|other| *other < at));
        Self { at, work, by: numbered(by) }
    }
}

/// Tells what pieces do that are fitted at the station where they are needed; of the last delivery it remembers by how many
/// working seconds it is handed over.
pub(super) struct Handing<'g> {
    pub(super) on: OnLine<'g>,
    arrivals: &'g Arrivals,
    last: Option<(Moment, LineId, Seconds)>,
}

impl<'g> Handing<'g> {
    /// Given the arrivals of all units.
    pub(super) fn of(on: OnLine<'g>, arrivals: &'g Arrivals) -> Self {
        Self { on, arrivals, last: None }
    }

    /// What a piece does that is not there for its run, for how many minutes the line stops, rounded up, where that is known, and how
    /// the unit arrives; `None` at a shop, or where the unit never comes there.
    pub(super) fn outcome(
        &mut self,
        to: DestId,
        owner: OwnerId,
        there: There,
    ) -> Option<(Outcome, Option<i64>, Arrival)> {
        let arrival = self.arrivals.at(to, owner)?;
        let (outcome, stop) = match there {
            There::At(at) if self.handed(at) <= arrival.at => (Outcome::SpecialRun, None),
            _ if arrival.work == LEFT => (Outcome::CanFollow, None),
            There::At(at) => (Outcome::StopsTheLine, Some(minutes(self.handed_work(at, to)? - arrival.work))),
            There::Unknown => (Outcome::StopsTheLine, None),
        };
        Some((outcome, stop, arrival))
    }

    /// When a piece is handed over that is there at a moment.
    fn handed(&self, there: Moment) -> Moment {
        Moment::from_seconds(there.seconds() + self.on.plant.hand_over)
    }

    /// The working seconds of a station's line until then.
    fn handed_work(&mut self, there: Moment, to: DestId) -> Option<Seconds> {
        let DestKind::Station { line, .. } = self.on.plant.dest(to).what else { return None };
        if let Some((_, _, work)) = self.last.filter(|(at, of, _)| (*at, *of) == (there, line)) {
            return Some(work);
        }
        let work = self.on.worked(line, self.handed(there));
        self.last = Some((there, line, work));
        Some(work)
    }
}
