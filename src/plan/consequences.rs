//! What pieces that are not there do to the line: which come with a special run, which can follow, and which stop it.

use super::Plan;
use super::delays::Delays;
pub use super::delays::There;
use crate::base::{DestId, LineId, Moment, OwnerId, PartId, Quantity, Seconds, UnitId, numbered};
use crate::check::DestKind;
use crate::netting::{Cover, Demand, Peg};
use rayon::prelude::*;
use std::cmp::Reverse;

/// What a piece that is not there does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// It comes before the unit does: a run of its own brings it.
    SpecialRun,
    /// It is fitted at a later station, which the book allows.
    CanFollow,
    /// The line waits for it.
    StopsTheLine,
}

/// A piece that is not there when the picking of its run starts, and what it does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Consequence {
    /// The unit.
    pub owner: OwnerId,
    /// What is not there.
    pub part: PartId,
    /// Where it is needed: a station, or the shop whose job waits for it.
    pub to: DestId,
    /// How much of it.
    pub qty: Quantity,
    /// When the unit arrives where it, or what is made of it, is needed.
    pub arrives: Moment,
    /// When it is there.
    pub there: There,
    /// What it does.
    pub outcome: Outcome,
    /// The line's working minutes that it stops, rounded up; `None` where it does not, or no time is known.
    pub stop_minutes: Option<i64>,
    /// The station at which it is handed over.
    pub hand_over_at: Option<DestId>,
}

/// The consequences of a plan, by the unit's arrival, rank, place and part.
///
/// `doubtful` holds at least the pieces that are not there when the picking of their run starts, and those that jobs and
/// by-products cover.
pub(super) fn of(plan: &Plan<'_>, doubtful: &[(Demand, Peg)]) -> Vec<Consequence> {
    of_some(plan, doubtful, &(0..numbered(plan.jobs.len())).collect::<Vec<_>>())
}

/// Those of some owners: `doubtful` holds their pieces, and `jobs` the numbers of their jobs.
pub(super) fn of_some(plan: &Plan<'_>, doubtful: &[(Demand, Peg)], jobs: &[u32]) -> Vec<Consequence> {
    let delays = Delays::of(plan, doubtful, jobs);
    let found = doubtful.par_iter().filter_map(|(demand, peg)| consequence(plan, &delays, demand, peg));
    in_order(found.collect())
}

/// The order of consequences: by all but the quantity, so that those alike come together.
pub(super) fn order(row: &Consequence) -> impl Ord + use<> {
    let place = (row.arrives, row.owner, row.to, row.part, row.there);
    (place, row.outcome, row.stop_minutes, row.hand_over_at)
}

fn in_order(mut found: Vec<Consequence>) -> Vec<Consequence> {
    found.sort_by_key(order);
    // Pieces alike in all but quantity are one.
    found.dedup_by(|later, first| {
        let alike = Consequence { qty: later.qty, ..*first } == *later;
        if alike {
            first.qty += later.qty;
        }
        alike
    });
    found
}

/// What a piece of a demand does, where it is not there in time for its run.
fn consequence(plan: &Plan<'_>, delays: &Delays<'_>, demand: &Demand, peg: &Peg) -> Option<Consequence> {
    let there = not_there(plan, delays, demand, peg)?;
    let unit = planned(plan, demand.owner)?;
    let effect = match plan.plant.dest(demand.to).what {
        DestKind::Station { .. } => Effect::of(plan, unit, demand.to, demand.part, there)?,
        DestKind::Shop(_) => below_job(plan, delays, unit, demand)?,
    };
    Some(effect.row(demand, peg.qty, there))
}

/// When a piece is there that is not when the picking of its run starts.
fn not_there(plan: &Plan<'_>, delays: &Delays<'_>, demand: &Demand, peg: &Peg) -> Option<There> {
    match peg.cover {
        Cover::None => Some(There::Unknown),
        Cover::Receipt(_) => {
            let picked = plan.runs.serving(demand.need).map_or(demand.need, |run| run.picked);
            peg.available.filter(|at| *at > picked).map(There::At)
        }
        Cover::Job(job) => Some(delays.job(job as usize)).filter(|there| *there > There::At(demand.need)),
        Cover::ByProduct => {
            let at = delays.by_product(demand, peg.available?);
            Some(at).filter(|there| *there > There::At(demand.need))
        }
        Cover::Reserved | Cover::Lineside | Cover::Stock => None,
    }
}

/// What material of a job does: the worst of what the pieces do that wait for the job, of those alike the first.
fn below_job(plan: &Plan<'_>, delays: &Delays<'_>, unit: UnitId, demand: &Demand) -> Option<Effect> {
    let pieces = delays.pieces_of(demand).into_iter();
    let effects = pieces.filter_map(|(to, part, need, at)| {
        let effect = Effect::of(plan, unit, to, part, at)?;
        // A piece that is there when it is needed does no more than that its material takes a run of its own.
        let in_time = Effect { outcome: Outcome::SpecialRun, stop: None, hand_over_at: Some(to), ..effect };
        Some((to, if at > There::At(need) { effect } else { in_time }))
    });
    let how_bad = |effect: &Effect| (effect.outcome, effect.stop.is_none(), effect.stop);
    let worst = effects.max_by_key(|(to, effect)| (how_bad(effect), Reverse((effect.arrives, *to))))?;
    Some(worst.1)
}

fn planned(plan: &Plan<'_>, owner: OwnerId) -> Option<UnitId> {
    let owner = &plan.pace.owners[owner.at()];
    owner.unit.filter(|_| owner.planned)
}

/// What a piece that is there at some moment does to a unit.
#[derive(Clone, Copy)]
struct Effect {
    arrives: Moment,
    outcome: Outcome,
    stop: Option<i64>,
    hand_over_at: Option<DestId>,
}

impl Effect {
    fn of(plan: &Plan<'_>, unit: UnitId, to: DestId, part: PartId, there: There) -> Option<Self> {
        let plant = plan.plant;
        let line = plant.units[unit.at()].line;
        let (own, last, fit_by) = positions(plan, unit, to, part)?;
        let (arrives, latest) = (plan.pace.arrives(plant, unit, own)?, plan.pace.arrives(plant, unit, last)?);
        let There::At(there) = there else {
            return Some(Self { arrives, outcome: Outcome::StopsTheLine, stop: None, hand_over_at: None });
        };
        let handed = Moment::from_seconds(there.seconds() + plant.hand_over);
        let (outcome, stop, hand_over_at) = if handed <= arrives {
            (Outcome::SpecialRun, None, to)
        } else if handed <= latest {
            let at = standing_at(plan, unit, (own, last), handed)?;
            // A station of its own before others at the same position.
            let station = if at == own {
                Some(to)
            } else if at == last {
                Some(fit_by)
            } else {
                station_at(plan, line, at)
            };
            (Outcome::CanFollow, None, station.unwrap_or(fit_by))
        } else {
            let calendar = plant.calendar(plant.lines[line.at()].calendar);
            let seconds = calendar.worked(handed) - calendar.worked(latest);
            (Outcome::StopsTheLine, Some(minutes(seconds)), fit_by)
        };
        Some(Self { arrives, outcome, stop, hand_over_at: Some(hand_over_at) })
    }

    fn row(self, demand: &Demand, qty: Quantity, there: There) -> Consequence {
        let Self { arrives, outcome, stop, hand_over_at } = self;
        let (owner, part, to) = (demand.owner, demand.part, demand.to);
        Consequence { owner, part, to, qty, arrives, there, outcome, stop_minutes: stop, hand_over_at }
    }
}

/// The position at which a unit needs a piece, the last one at which it can be fitted, and the station there.
fn positions(plan: &Plan<'_>, unit: UnitId, to: DestId, part: PartId) -> Option<(u32, u32, DestId)> {
    let plant = plan.plant;
    let line = plant.units[unit.at()].line;
    let position = |dest: DestId| match plant.dest(dest).what {
        DestKind::Station { line: own, position, .. } if own == line => Some(position),
        _ => None,
    };
    let own = position(to)?;
    let fit_by = plant.part(part).fit_by.filter(|station| position(*station) > Some(own)).unwrap_or(to);
    Some((own, position(fit_by)?, fit_by))
}

/// By when a piece for a unit's station must be there so that the line does not wait for it.
pub fn latest(plan: &Plan<'_>, owner: OwnerId, to: DestId, part: PartId) -> Option<Moment> {
    let unit = planned(plan, owner)?;
    let (_, last, _) = positions(plan, unit, to, part)?;
    let arrives = plan.pace.arrives(plan.plant, unit, last)?;
    Some(Moment::from_seconds(arrives.seconds() - plan.plant.hand_over))
}

/// The position at which a unit stands at a moment.
fn standing_at(plan: &Plan<'_>, unit: UnitId, (first, last): (u32, u32), at: Moment) -> Option<u32> {
    let stands = |position: &u32| plan.pace.arrives(plan.plant, unit, *position).is_some_and(|arrives| arrives <= at);
    (first..=last).rev().find(stands)
}

/// The station at a position of a line, the first by code where several share it.
fn station_at(plan: &Plan<'_>, line: LineId, position: u32) -> Option<DestId> {
    let here = |what: DestKind| matches!(what, DestKind::Station { line: own, position: at, .. } if own == line && at == position);
    plan.plant.dests.iter().position(|dest| here(dest.what)).map(DestId::of)
}

/// Seconds as minutes, rounded up.
fn minutes(seconds: Seconds) -> i64 {
    (seconds + 59).div_euclid(60)
}
