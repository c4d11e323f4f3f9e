//! What pieces that are not there do to the line: which come with a special run, which can follow, and which stop it.
//!
//! Rule `outcomes`.

pub use super::delays::There;
use super::delays::{Below, Delays};
use super::doubts::Doubt;
use super::on_line::{Effect, OnLine};
use super::{Plan, Settled};
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity, UnitId};
use crate::check::DestKind;
use crate::netting::Cover;
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
    /// Whose material it is: the owner of a unit on the plan.
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

impl Consequence {
    /// Of a piece for a station that is not there for its run; `None` for who is not on its line.
    pub(super) fn at_station(on: OnLine<'_>, doubt: &Doubt) -> Option<Self> {
        let (demand, there) = (&doubt.demand, doubt.there());
        let effect = Effect::of(on, on.unit(demand.owner)?, demand.to, demand.part, there)?;
        Some(effect.row(demand, doubt.qty, there))
    }
}

/// What pieces are judged by: the plan, and when jobs are really done.
#[derive(Clone, Copy)]
pub(super) struct Judge<'p> {
    pub(super) plan: &'p Settled<'p>,
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
        let unit = self.plan.on_line().unit(demand.owner)?;
        let effect = match self.plan.plant.dest(demand.to).what {
            DestKind::Station { .. } => Effect::of(self.plan.on_line(), unit, demand.to, demand.part, there)?,
            DestKind::Shop(_) => self.below_jobs(unit, doubt)?,
        };
        Some(effect.row(demand, doubt.qty, there))
    }

    /// Whether a piece is not there when the picking of its run starts, or, brought by a job or a by-product, when it is needed.
    pub(super) fn is_missing(self, doubt: &Doubt) -> bool {
        self.not_there(doubt).is_some()
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
        let worst = if self.delays.moved.is_empty() {
            // Many jobs may give to one heap: what waits for it is looked at once.
            let below = self.delays.below_jobs(jobs);
            let of_heap = |heap: &u32| {
                let known = &self.plan.below_heap[*heap as usize];
                *known.get_or_init(|| self.worst(unit, &self.delays.below_heap(*heap)))
            };
            worse(below.heaps.iter().filter_map(of_heap).chain(self.worst(unit, &below)))
        } else {
            self.worst(unit, &self.delays.below_jobs_and_heaps(jobs))
        };
        Some(Effect { saves_until, ..worst?.1 })
    }

    /// The worst of what some pieces do.
    fn worst(self, unit: UnitId, below: &Below) -> Option<(DestId, Effect)> {
        worse(below.pieces.iter().filter_map(|&(to, part, need, at)| {
            let effect = Effect::of(self.plan.on_line(), unit, to, part, at)?;
            // A piece that is there when it is needed does no more than that its material takes a run of its own.
            let in_time = Effect { outcome: Outcome::SpecialRun, stop: None, hand_over_at: Some(to), ..effect };
            Some((to, if at > There::At(need) { effect } else { in_time }))
        }))
    }
}

/// The worst of what pieces do at stations, of those alike the first.
fn worse(effects: impl Iterator<Item = (DestId, Effect)>) -> Option<(DestId, Effect)> {
    let how_bad = |effect: &Effect| (effect.outcome, effect.stop.is_none(), effect.stop);
    effects.max_by_key(|(to, effect)| (how_bad(effect), Reverse((effect.arrives, *to, effect.hand_over_at))))
}

/// Puts consequences in order; those alike in all but quantity become one.
pub(super) fn merge_alike(found: &mut Vec<Consequence>) {
    let place = |row: &Consequence| (row.arrives, row.owner, row.to);
    // Most are told apart by where they wait.
    found.sort_by(|one, other| place(one).cmp(&place(other)).then_with(|| order(one).cmp(&order(other))));
    found.dedup_by(|later, first| {
        let alike = Consequence { qty: later.qty, ..*first } == *later;
        if alike {
            first.qty += later.qty;
        }
        alike
    });
}

/// The last station at which a piece for a unit's station can be fitted, where the unit has left it by now.
pub fn left_behind(plan: &Plan<'_>, owner: OwnerId, to: DestId, part: PartId) -> Option<DestId> {
    let unit = plan.on_line().unit(owner)?;
    let (_, last, fit_by) = plan.on_line().positions(unit, to, part)?;
    plan.on_line().has_left(unit, last).then_some(fit_by)
}

/// The later station at which a piece for a unit's station can still be fitted; `None` where that is its own, and for what waits in a shop.
pub fn fitted_later(plan: &Plan<'_>, owner: OwnerId, to: DestId, part: PartId) -> Option<DestId> {
    let unit = plan.on_line().unit(owner)?;
    let (_, _, fit_by) = plan.on_line().positions(unit, to, part)?;
    Some(fit_by).filter(|station| *station != to)
}

/// By when a piece for a unit's station must be there so that the line does not wait for it.
pub fn latest(plan: &Plan<'_>, owner: OwnerId, to: DestId, part: PartId) -> Option<Moment> {
    let unit = plan.on_line().unit(owner)?;
    let (_, last, _) = plan.on_line().positions(unit, to, part)?;
    let arrives = plan.on_line().arrives(unit, last)?;
    Some(Moment::from_seconds(arrives.seconds() - plan.plant.hand_over))
}
