//! What the pieces of one bought part do by themselves, all other material being there in time: so that it can be told what the line
//! loses where some calls succeed and others fail.
//!
//! Rule `alone`.

use super::consequences::{Consequence, Judge, Outcome};
use super::delays::{Delays, Latest, Moved, There, material};
use super::doubts::{Doubt, Look};
use super::goods::Goods;
use super::loss::{StopAt, wait_of};
use super::{Loss, Plan};
use crate::base::{OwnerId, PartId, numbered};
use crate::netting::Cover;
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A piece at a station for which the line stops.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Waiting {
    /// Whose it is.
    pub owner: OwnerId,
    /// Of a piece that a job or a by-product brings its number among its owner's: one that several parts' material holds up is one
    /// piece. `None` of a bought one.
    pub made: Option<u32>,
    /// At which move the line waits, and until when; `None` where no time is known.
    pub at: Option<StopAt>,
}

/// What some pieces come to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Worth {
    /// What the lines lose for those with a known time.
    pub loss: Loss,
    /// How many units stop with no known end, which count beside.
    pub no_end: usize,
}

/// A delivery that the sequence takes something of and that nobody has promised, and what comes of it if it does not come.
#[derive(Clone, Debug)]
pub struct Without {
    /// The delivery, by its number.
    pub delivery: usize,
    /// What the lines lose without it, and how many units stop with no known end.
    pub worth: Worth,
}

/// The shops with nothing bought late, beside which each part is looked at by itself.
pub struct Alone<'p> {
    plan: &'p Plan<'p>,
    there: Vec<There>,
    heaps: Vec<There>,
}

impl<'p> Alone<'p> {
    /// Of a plan.
    pub fn of(plan: &'p Plan<'p>) -> Self {
        let materials = Latest::of(plan.jobs.len());
        (0..numbered(plan.jobs.len())).into_par_iter().for_each(|job| {
            if never(plan, job) {
                materials.note(job, There::Unknown);
            }
        });
        let there = plan.shops().settled(&materials);
        let heaps = 0..numbered(plan.links.heaps.len());
        let heaps = heaps.map(|heap| plan.shops().heap_there(heap, |job| there[job as usize])).collect();
        Self { plan, there, heaps }
    }

    /// What the pieces are taken from.
    pub fn plan(&self) -> &'p Plan<'p> {
        self.plan
    }

    /// What stops the line though all that is bought is there in time: for this nobody can be called.
    pub fn nobodys(&self) -> Vec<Waiting> {
        let owners = (0..self.plan.pace.owners.len()).map(OwnerId::of);
        let none = Moved::default();
        owners
            .flat_map(|owner| {
                self.made(owner, &none).filter_map(|(number, row)| self.waiting(&row, Some(number))).collect_vec()
            })
            .collect()
    }

    /// What the pieces of a bought part do by themselves; with other stock and receipts of it, where some are given.
    pub fn part(&self, part: PartId, goods: Option<&Goods<'_>>) -> Vec<Waiting> {
        let doubts = match goods {
            None => self.plan.doubts(part),
            Some(goods) => {
                let look = Look { receipts: &goods.receipts, there: &[], ..self.plan.look() };
                self.plan.supply_with(part, goods).1.read(part, look).collect()
            }
        };
        let (mut found, mut late): (Vec<Waiting>, BTreeMap<OwnerId, BTreeMap<u32, There>>) = Default::default();
        for doubt in &doubts {
            if let Some(there) = material(self.plan.plant, doubt) {
                let jobs = late.entry(doubt.demand.owner).or_default();
                for job in self.plan.shops().takers_of(doubt) {
                    let last = jobs.entry(job).or_insert(there);
                    *last = there.max(*last);
                }
            } else if self.plan.on_line().is_station(doubt.demand.to) {
                found.extend(self.plan.judge().row(doubt).and_then(|row| self.waiting(&row, None)));
            }
        }
        late.into_iter().for_each(|(owner, jobs)| found.extend(self.held_up(owner, &jobs)));
        found
    }

    /// An owner's pieces that come later for late material of some jobs, and stop the line.
    fn held_up(&self, owner: OwnerId, jobs: &BTreeMap<u32, There>) -> Vec<Waiting> {
        let numbers = &self.plan.by_owner().jobs[owner.at()];
        let material = |job: u32| {
            let never = never(self.plan, job).then_some(There::Unknown);
            jobs.get(&job).copied().max(never)
        };
        let there = self.plan.shops().settled_some(numbers, material);
        let mut moved = Moved::default();
        moved.take(self.plan.shops(), &self.there, numbers, there);
        let none = Moved::default();
        let before: BTreeMap<u32, There> = self.made(owner, &none).map(|(number, row)| (number, row.there)).collect();
        let later = self.made(owner, &moved).filter(|(number, row)| before.get(number) != Some(&row.there));
        later.filter_map(|(number, row)| self.waiting(&row, Some(number))).collect()
    }

    /// What an owner's pieces at stations do that jobs or by-products bring, where jobs are done at other moments.
    fn made<'m>(&'m self, owner: OwnerId, moved: &'m Moved) -> impl Iterator<Item = (u32, Consequence)> + 'm {
        let delays = Delays { shops: self.plan.shops(), there: &self.there, heaps: &self.heaps, moved };
        let judge = Judge { plan: self.plan, delays };
        let pieces = self.plan.by_owner().made[owner.at()].iter().zip(0..);
        let at_station = |doubt: &Doubt| self.plan.plant.position(doubt.demand.to).is_some();
        pieces
            .filter(move |(doubt, _)| at_station(doubt))
            .filter_map(move |(doubt, number)| Some((number, judge.row(doubt)?)))
    }

    /// Of a piece for which the line stops.
    fn waiting(&self, row: &Consequence, made: Option<u32>) -> Option<Waiting> {
        let stops = row.outcome == Outcome::StopsTheLine;
        stops.then(|| Waiting { owner: row.owner, made, at: wait_of(self.plan.on_line(), row) })
    }
}

/// Whether some material of a job that is not bought never comes.
fn never(plan: &Plan<'_>, job: u32) -> bool {
    plan.made_material(job).any(|(_, peg)| peg.cover == Cover::None)
}

impl Worth {
    /// Of pieces, each of which is there with the last of what it is told to wait for.
    pub fn of(plan: &Plan<'_>, pieces: impl Iterator<Item = Waiting>) -> Self {
        let mut no_end: Vec<OwnerId> = Vec::new();
        let mut waits: Vec<StopAt> = Vec::new();
        let mut made: BTreeMap<(OwnerId, u32), Option<StopAt>> = BTreeMap::new();
        for piece in pieces {
            match (piece.made, piece.at) {
                (Some(number), at) => {
                    let known = made.entry((piece.owner, number)).or_insert(at);
                    *known = known.zip(at).map(|(one, other)| if one.until >= other.until { one } else { other });
                }
                (None, Some(at)) => waits.push(at),
                (None, None) => no_end.push(piece.owner),
            }
        }
        for ((owner, _), at) in made {
            match at {
                Some(at) => waits.push(at),
                None => no_end.push(owner),
            }
        }
        no_end.sort_unstable();
        no_end.dedup();
        Self { loss: Loss::of(plan, &waits).0, no_end: no_end.len() }
    }

    /// What a plan as it is comes to.
    pub fn of_plan(plan: &Plan<'_>) -> Self {
        let no_end = plan.effects.stops.iter().filter(|(pieces, stop)| *pieces > 0 && stop.unknown).count();
        Self { loss: plan.effects.loss.clone(), no_end }
    }

    /// Whether it is nothing.
    pub fn is_nothing(&self) -> bool {
        *self == Self::default()
    }
}
