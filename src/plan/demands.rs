//! The demands for bought parts, part by part, made from the bills when they are wanted: a plan never holds them all.

use super::slots::{Slot, Slots};
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity, UnitId};
use crate::check::Plant;
use crate::explode::{Explosions, GuardId, Guards};
use crate::line::Owner;
use crate::netting::Demand;
use crate::shops::Job;

/// A path to a part, for the units of a floorplan.
#[derive(Clone, Copy, Debug)]
struct ToPart {
    floorplan: u32,
    station: DestId,
    guard: GuardId,
    qty: Quantity,
}

/// What all demands for bought parts are made from.
#[derive(Debug, Default)]
pub(super) struct Demands {
    slots: Slots,
    guards: Guards,
    /// For each part the paths to it.
    paths: Grouped<ToPart>,
    /// For each part the jobs that need it, and where it stands among what they need.
    jobs: Grouped<(u32, u32)>,
    /// For each part what extras ask for.
    extras: Grouped<(u32, Quantity)>,
    /// For each floorplan its units on the plan, by rank.
    units: Vec<Vec<(OwnerId, UnitId)>>,
}

impl Demands {
    /// Sorts by part what asks for bought parts.
    pub(super) fn of(
        plant: &Plant,
        owners: &[Owner],
        explosions: Explosions<'_>,
        slots: Slots,
        jobs: &[Job],
        extras: &[Demand],
    ) -> Self {
        let mut units = vec![Vec::new(); explosions.floorplans.len()];
        for (i, owner) in owners.iter().enumerate().filter(|(_, owner)| owner.planned) {
            let of = owner.unit.and_then(|unit| Some((unit, explosions.floorplan_of(unit)?)));
            of.into_iter().for_each(|(unit, floorplan)| units[floorplan].push((OwnerId::of(i), unit)));
        }
        let paths = explosions.floorplans.iter().enumerate().flat_map(|(floorplan, paths)| {
            paths.all.iter().filter(|path| plant.part(path.part).bought()).map(move |path| {
                let &crate::explode::Path { part, station, guard, qty, .. } = path;
                (part, ToPart { floorplan: floorplan as u32, station, guard, qty })
            })
        });
        let needs = jobs.iter().enumerate().filter(|(i, _)| slots.of_job(*i).is_some()).flat_map(|(i, job)| {
            let needs = job.below.needs.iter().enumerate().filter(|(_, need)| plant.part(need.0).bought());
            needs.map(move |(at, (part, _))| (*part, (i as u32, at as u32)))
        });
        let extras = extras.iter().enumerate().map(|(i, extra)| (extra.part, (slots.of_extra(i), extra.qty)));
        let parts = plant.parts.len();
        Self {
            paths: Grouped::of(parts, paths),
            jobs: Grouped::of(parts, needs),
            extras: Grouped::of(parts, extras),
            guards: explosions.guards,
            slots,
            units,
        }
    }

    /// The slot of a number.
    pub(super) fn slot(&self, number: u32) -> Slot {
        self.slots.all[number as usize]
    }

    /// The need up to which a share of all needs comes.
    pub(super) fn share_of_needs(&self, share: usize, all: usize) -> Option<Moment> {
        let number = self.slots.all.len() as u128 * share as u128 / all.max(1) as u128;
        self.slots.all.get(usize::try_from(number).ok()?).map(|slot| slot.need)
    }

    /// How many demands there are at most.
    pub(super) fn at_most(&self) -> usize {
        let units = |path: &ToPart| self.units[path.floorplan as usize].len();
        self.paths.all.iter().map(units).sum::<usize>() + self.jobs.all.len() + self.extras.all.len()
    }

    /// A part's demands in the order in which they are served, each with its slot.
    pub(super) fn of_part(&self, part: PartId, jobs: &[Job]) -> (Vec<Demand>, Vec<u32>) {
        let mut asked: Vec<(u32, Quantity)> = Vec::new();
        for path in self.paths.of_part(part) {
            let units = self.units[path.floorplan as usize].iter();
            let taking = units.filter(|(_, unit)| self.guards.holds(path.guard, Some(*unit)));
            asked.extend(taking.filter_map(|(owner, _)| Some((self.slots.of_bill(*owner, path.station)?, path.qty))));
        }
        for &(job, at) in self.jobs.of_part(part) {
            let slot = self.slots.of_job(job as usize);
            asked.extend(slot.map(|slot| (slot, jobs[job as usize].below.needs[at as usize].1)));
        }
        asked.extend(self.extras.of_part(part));
        // Each path's units come in order, so this merges them.
        asked.sort_by_key(|(slot, _)| *slot);
        let (mut demands, mut slots): (Vec<Demand>, Vec<u32>) = (Vec::with_capacity(asked.len()), Vec::new());
        for (number, qty) in asked {
            if let (Some(last), true) = (demands.last_mut(), slots.last() == Some(&number)) {
                last.qty += qty;
                continue;
            }
            let Slot { need, owner, to } = self.slot(number);
            demands.push(Demand { part, need, owner, to, qty });
            slots.push(number);
        }
        (demands, slots)
    }
}

/// Values in groups, all in one piece.
#[derive(Debug)]
struct Grouped<T> {
    all: Vec<T>,
    starts: Vec<usize>,
}

impl<T> Default for Grouped<T> {
    fn default() -> Self {
        Self { all: Vec::new(), starts: vec![0] }
    }
}

impl<T: Copy> Grouped<T> {
    /// Puts the values of each part side by side, in the order in which they come.
    fn of(parts: usize, values: impl Iterator<Item = (PartId, T)> + Clone) -> Self {
        let mut starts = vec![0_usize; parts + 1];
        values.clone().for_each(|(part, _)| starts[part.at() + 1] += 1);
        (0..parts).for_each(|part| starts[part + 1] += starts[part]);
        let mut next = starts.clone();
        let Some((_, first)) = values.clone().next() else { return Self { all: Vec::new(), starts } };
        let mut all = vec![first; starts[parts]];
        for (part, value) in values {
            all[next[part.at()]] = value;
            next[part.at()] += 1;
        }
        Self { all, starts }
    }
}

impl<T> Grouped<T> {
    /// The values of a part.
    fn of_part(&self, part: PartId) -> &[T] {
        &self.all[self.starts[part.at()]..self.starts[part.at() + 1]]
    }
}
