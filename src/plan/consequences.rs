//! What pieces that are not there do to the line: which come with a special run, which can follow, and which stop it.

use super::Plan;
use super::delays::Delays;
pub use super::delays::There;
use super::doubts::Doubt;
use crate::base::{DestId, LineId, Moment, OwnerId, PartId, Quantity, Seconds, UnitId};
use crate::check::DestKind;
use crate::netting::{Cover, Demand};
use std::cmp::Reverse;

/// What a piece that is not there does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    /// It comes before the unit does: a run of its own brings it.
    SpecialRun,
    /// It is fitted at a later station, which the book allows; or the unit has left the last such station by now, so that
    /// nothing waits for it.
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
    /// The last moment at which it may be there without stopping the line, other late material left aside; `None` where nothing
    /// that it brings can stop the line, or no moment is soon enough, for its job waits for itself.
    pub saves_until: Option<Moment>,
    /// The station at which it is handed over; `None` where no time is known, or the unit has left its line by then.
    pub hand_over_at: Option<DestId>,
}

/// The order of consequences: by all but the quantity, so that those alike come together.
pub(super) fn order(row: &Consequence) -> impl Ord + use<> {
    let place = (row.arrives, row.owner, row.to, row.part, row.there);
    (place, row.outcome, row.stop_minutes, row.saves_until, row.hand_over_at)
}

/// What pieces are judged by: the plan, and when jobs are really done.
#[derive(Clone, Copy)]
pub(super) struct Judge<'p> {
    pub(super) plan: &'p Plan<'p>,
    pub(super) delays: Delays<'p>,
}

impl Judge<'_> {
    /// What some pieces of one part do, by the unit's arrival, rank and place; those alike are one.
    pub(super) fn rows(self, doubts: impl Iterator<Item = Doubt>) -> Vec<Consequence> {
        let mut found = Vec::new();
        self.put_rows(doubts, &mut found);
        found
    }

    /// The same, put into a list instead of what it holds.
    pub(super) fn put_rows(self, doubts: impl Iterator<Item = Doubt>, found: &mut Vec<Consequence>) {
        found.clear();
        found.extend(doubts.filter_map(|doubt| self.row(&doubt)));
        let place = |row: &Consequence| (row.arrives, row.owner, row.to);
        if !found.is_sorted_by(|one, other| place(one) < place(other)) {
            merge_alike(found);
        }
    }

    /// What a piece of a demand does, where it is not there in time for its run.
    pub(super) fn row(self, doubt: &Doubt) -> Option<Consequence> {
        let there = self.not_there(doubt)?;
        let demand = &doubt.demand;
        let unit = planned(self.plan, demand.owner)?;
        let effect = match self.plan.plant.dest(demand.to).what {
            DestKind::Station { .. } => Effect::of(self.plan, unit, demand.to, demand.part, there)?,
            DestKind::Shop(_) => self.below_jobs(unit, doubt)?,
        };
        Some(effect.row(demand, doubt.qty, there))
    }

    /// When a piece is there that is not when the picking of its run starts.
    fn not_there(self, &Doubt { demand, cover, available, for_its_run, .. }: &Doubt) -> Option<There> {
        match cover {
            _ if for_its_run => None,
            Cover::None => Some(There::Unknown),
            Cover::Receipt(_) => available.map(There::At),
            Cover::Job(job) => Some(self.delays.job(job)).filter(|there| *there > There::At(demand.need)),
            Cover::ByProduct => {
                let at = self.delays.by_product(&demand, available?);
                Some(at).filter(|there| *there > There::At(demand.need))
            }
            Cover::Reserved | Cover::Lineside | Cover::Stock => None,
        }
    }

    /// What material of jobs does.
    fn below_jobs(self, unit: UnitId, doubt: &Doubt) -> Option<Effect> {
        match self.delays.shops.only_taker(doubt).filter(|_| self.delays.moved.is_empty()) {
            Some(job) => *self.plan.below_job[job as usize].get_or_init(|| self.worst_below(unit, vec![job])),
            None => self.worst_below(unit, self.delays.shops.takers_of(doubt).collect()),
        }
    }

    /// The worst of what the pieces do that wait for some jobs, of those alike the first.
    fn worst_below(self, unit: UnitId, jobs: Vec<u32>) -> Option<Effect> {
        let saves_until = self.plan.saves().of_material(jobs.iter().copied());
        let pieces = self.delays.pieces_of(jobs).into_iter();
        let effects = pieces.filter_map(|(to, part, need, at)| {
            let effect = Effect::of(self.plan, unit, to, part, at)?;
            // A piece that is there when it is needed does no more than that its material takes a run of its own.
            let in_time = Effect { outcome: Outcome::SpecialRun, stop: None, hand_over_at: Some(to), ..effect };
            Some((to, if at > There::At(need) { effect } else { in_time }))
        });
        let how_bad = |effect: &Effect| (effect.outcome, effect.stop.is_none(), effect.stop);
        let worst = effects
            .max_by_key(|(to, effect)| (how_bad(effect), Reverse((effect.arrives, *to, effect.hand_over_at))))?;
        Some(Effect { saves_until, ..worst.1 })
    }
}

/// Puts consequences in order; those alike in all but quantity become one.
pub(super) fn merge_alike(found: &mut Vec<Consequence>) {
    found.sort_by_key(order);
    found.dedup_by(|later, first| {
        let alike = Consequence { qty: later.qty, ..*first } == *later;
        if alike {
            first.qty += later.qty;
        }
        alike
    });
}

fn planned(plan: &Plan<'_>, owner: OwnerId) -> Option<UnitId> {
    let owner = &plan.pace.owners[owner.at()];
    owner.unit.filter(|_| owner.planned)
}

/// What a piece that is there at some moment does to a unit.
#[derive(Clone, Copy, Debug)]
pub(super) struct Effect {
    arrives: Moment,
    outcome: Outcome,
    stop: Option<i64>,
    saves_until: Option<Moment>,
    hand_over_at: Option<DestId>,
}

impl Effect {
    fn of(plan: &Plan<'_>, unit: UnitId, to: DestId, part: PartId, there: There) -> Option<Self> {
        let plant = plan.plant;
        let line = plant.units[unit.at()].line;
        let (own, last, fit_by) = positions(plan, unit, to, part)?;
        let (latest, leaves) = plan.pace.stay(plant, unit, last)?;
        let arrives = if own == last { latest } else { arrives(plan, unit, own)? };
        let left = leaves <= plant.as_of;
        let late = if left { Outcome::CanFollow } else { Outcome::StopsTheLine };
        let saves_until = (!left).then(|| latest.plus(-plant.hand_over));
        let There::At(there) = there else {
            return Some(Self { arrives, outcome: late, stop: None, saves_until, hand_over_at: None });
        };
        let handed = Moment::from_seconds(there.seconds() + plant.hand_over);
        // A station of its own before others at the same position.
        let station = |position: u32| match station_at(plan, line, position)? {
            (at, _) if at == own => Some(to),
            (at, _) if at == last => Some(fit_by),
            (_, other) => Some(other),
        };
        let (outcome, stop, hand_over_at) = if handed <= arrives {
            (Outcome::SpecialRun, None, Some(to))
        } else if handed <= latest {
            let at = standing_at(plan, unit, (own, last), handed)?;
            (Outcome::CanFollow, None, station(at))
        } else if left {
            let end = plant.lines[line.at()].positions;
            let on_line = plan.pace.leaves_line(plant, unit)? > handed;
            let at = on_line.then(|| standing_at(plan, unit, (last, end), handed)).flatten();
            (Outcome::CanFollow, None, at.and_then(station))
        } else {
            let calendar = plant.calendar(plant.lines[line.at()].calendar);
            let seconds = calendar.worked(handed) - calendar.worked(latest);
            (Outcome::StopsTheLine, Some(minutes(seconds)), Some(fit_by))
        };
        Some(Self { arrives, outcome, stop, saves_until, hand_over_at })
    }

    fn row(self, demand: &Demand, qty: Quantity, there: There) -> Consequence {
        let Self { arrives, outcome, stop, saves_until, hand_over_at } = self;
        let (owner, part, to) = (demand.owner, demand.part, demand.to);
        Consequence { owner, part, to, qty, arrives, there, outcome, stop_minutes: stop, saves_until, hand_over_at }
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

/// When a unit arrives at a position.
fn arrives(plan: &Plan<'_>, unit: UnitId, position: u32) -> Option<Moment> {
    Some(plan.pace.stay(plan.plant, unit, position)?.0)
}

/// Whether a unit has left a position by now. The line waits for nothing that could be fitted no later than there.
fn has_left(plan: &Plan<'_>, unit: UnitId, position: u32) -> bool {
    plan.pace.stay(plan.plant, unit, position).is_some_and(|(_, leaves)| leaves <= plan.plant.as_of)
}

/// The last station at which a piece for a unit's station can be fitted, where the unit has left it by now.
pub fn left_behind(plan: &Plan<'_>, owner: OwnerId, to: DestId, part: PartId) -> Option<DestId> {
    let unit = planned(plan, owner)?;
    let (_, last, fit_by) = positions(plan, unit, to, part)?;
    has_left(plan, unit, last).then_some(fit_by)
}

/// By when a piece for a unit's station must be there so that the line does not wait for it.
pub fn latest(plan: &Plan<'_>, owner: OwnerId, to: DestId, part: PartId) -> Option<Moment> {
    let unit = planned(plan, owner)?;
    let (_, last, _) = positions(plan, unit, to, part)?;
    let arrives = arrives(plan, unit, last)?;
    Some(Moment::from_seconds(arrives.seconds() - plan.plant.hand_over))
}

/// Until when a piece of a demand at a station may be there without stopping the line; `None` where it can't stop it.
pub(super) fn until_at_station(plan: &Plan<'_>, demand: &Demand) -> Option<Moment> {
    let unit = planned(plan, demand.owner)?;
    let (_, last, _) = positions(plan, unit, demand.to, demand.part)?;
    let (arrives, leaves) = plan.pace.stay(plan.plant, unit, last)?;
    (leaves > plan.plant.as_of).then(|| arrives.plus(-plan.plant.hand_over))
}

/// Of some positions one behind the other the one at which a unit stands at a moment: the last that it has reached.
fn standing_at(plan: &Plan<'_>, unit: UnitId, (first, last): (u32, u32), at: Moment) -> Option<u32> {
    let reached = |position: u32| arrives(plan, unit, position).is_some_and(|arrives| arrives <= at);
    let (mut low, mut high) = (first, last);
    while low < high {
        let middle = high - (high - low) / 2;
        if reached(middle) { low = middle } else { high = middle - 1 }
    }
    Some(low).filter(|position| reached(*position))
}

/// The station at a position of a line, the first by code where several share it; where there is none, the last before it. With
/// its own position.
fn station_at(plan: &Plan<'_>, line: LineId, position: u32) -> Option<(u32, DestId)> {
    let of_line = |what: DestKind| match what {
        DestKind::Station { line: own, position: at, .. } if own == line && at <= position => Some(at),
        _ => None,
    };
    let stations = plan.plant.dests.iter().enumerate().filter_map(|(i, dest)| Some((of_line(dest.what)?, Reverse(i))));
    stations.max().map(|(at, Reverse(i))| (at, DestId::of(i)))
}

/// Seconds as minutes, rounded up.
fn minutes(seconds: Seconds) -> i64 {
    (seconds + 59).div_euclid(60)
}
