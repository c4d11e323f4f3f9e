//! Who needs bought parts where by when: every such moment once, in the order in which demands are served.

use super::exploded::Exploded;
use crate::base::{DestId, Moment, MustBe, OwnerId, numbered};
use crate::check::{Plant, Source};
use crate::netting::Demand;
use crate::shops::{Job, material_need};
use rayon::prelude::*;
use std::ops::Range;

/// A moment at which an owner needs something at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Slot {
    pub(super) need: Moment,
    pub(super) owner: OwnerId,
    pub(super) to: DestId,
}

/// What a slot is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum For {
    /// The bill of a unit, at a station.
    Bill,
    /// A job, by its index.
    Job(u32),
    /// An extra, by its index among those asked for.
    Extra(u32),
}

/// No slot.
pub(super) const NONE: u32 = u32::MAX;

/// All slots, and who has which.
#[derive(Debug, Default)]
pub(super) struct Slots {
    /// In order.
    pub(super) all: Vec<Slot>,
    /// For each place the number of its row among those that have slots of bills, or [`NONE`].
    rows: Vec<u32>,
    /// For each row and owner, or [`NONE`].
    of_bill: Vec<u32>,
    /// The needs of these.
    needs_of_bill: Vec<Moment>,
    /// For each place, whether its bills' come in order of owners.
    ranked: Vec<bool>,
    of_job: Vec<u32>,
    of_extra: Vec<u32>,
    owners: usize,
}

/// The moments at which units, jobs and extras need bought parts; for jobs by-products, too.
pub(super) fn wanted(exploded: &Exploded<'_>, jobs: &[Job], extras: &[Demand]) -> Vec<(Slot, For)> {
    let mut wanted = at_stations(exploded);
    for (i, job) in jobs.iter().enumerate().filter(|(_, job)| !job.started) {
        let made = |part| matches!(exploded.plant.part(part).source, Source::Make(_));
        let made = job.below.not_bought.iter().filter(|(part, _)| made(*part)).count();
        if job.below.needs.len() > made {
            let to = exploded.plant.shop(job.shop).dest;
            let slot = Slot { need: material_need(exploded.plant, job), owner: job.owner, to };
            wanted.push((slot, For::Job(numbered(i))));
        }
    }
    let of_extra = |(i, extra): (usize, &Demand)| {
        (Slot { need: extra.need, owner: extra.owner, to: extra.to }, For::Extra(numbered(i)))
    };
    wanted.extend(extras.iter().enumerate().map(of_extra));
    wanted
}

/// Those of all units on the plan that have a configuration, at stations whose material is not issued.
fn at_stations(exploded: &Exploded<'_>) -> Vec<(Slot, For)> {
    let (pace, explosions) = (&exploded.pace, &exploded.explosions);
    let mut wanted = Vec::new();
    for (i, owner) in pace.owners.iter().enumerate().filter(|(_, owner)| owner.planned) {
        let unit = owner.unit.must("a planned owner is no unit of the sequence");
        let Some(floorplan) = explosions.floorplan_of(unit) else { continue };
        let stops = explosions.floorplans[floorplan].stops.chunk_by(|a, b| a.0 == b.0);
        let asked = stops.filter(|stop| stop.iter().any(|(_, guard)| explosions.guards.holds(*guard, Some(unit))));
        let open = asked.map(|stop| stop[0].0).filter(|to| !exploded.plant.issued(unit, *to));
        let need = |to| pace.need(exploded.plant, unit, to).must("a planned unit has no time at a station");
        let slot = |to| Slot { need: need(to), owner: OwnerId::of(i), to };
        wanted.extend(open.map(slot).map(|slot| (slot, For::Bill)));
    }
    wanted
}

impl Slots {
    /// Puts slots in order.
    pub(super) fn of(mut wanted: Vec<(Slot, For)>, plant: &Plant, owners: usize, jobs: usize, extras: usize) -> Self {
        wanted.par_sort_unstable();
        let (rows, count) = rows(&wanted, plant.dests.len());
        let mut slots = Self {
            all: Vec::with_capacity(wanted.len()),
            rows,
            of_bill: vec![NONE; count * owners],
            needs_of_bill: vec![Moment::default(); count * owners],
            ranked: Vec::new(),
            of_job: vec![NONE; jobs],
            of_extra: vec![NONE; extras],
            owners,
        };
        for (slot, what) in wanted {
            if slots.all.last() != Some(&slot) {
                slots.all.push(slot);
            }
            let number = numbered(slots.all.len() - 1);
            match what {
                For::Bill => {
                    let place = slots.rows[slot.to.at()] as usize * owners + slot.owner.at();
                    (slots.of_bill[place], slots.needs_of_bill[place]) = (number, slot.need);
                }
                For::Job(job) => slots.of_job[job as usize] = number,
                For::Extra(extra) => slots.of_extra[extra as usize] = number,
            }
        }
        let ranked = |to| slots.of_bills(DestId::of(to)).iter().filter(|slot| **slot != NONE).is_sorted();
        slots.ranked = (0..plant.dests.len()).map(ranked).collect();
        slots
    }

    /// Those of all owners' bills at a place; [`NONE`] where there is none, or its material is issued or delivered. Nothing at all
    /// where no bill asks for anything there.
    pub(super) fn of_bills(&self, to: DestId) -> &[u32] {
        &self.of_bill[self.row(to)]
    }

    /// The needs of all owners' bills at a place, where they have a slot.
    pub(super) fn needs_of_bills(&self, to: DestId) -> &[Moment] {
        &self.needs_of_bill[self.row(to)]
    }

    /// Where a place's row stands; nowhere where no bill asks for anything there.
    fn row(&self, to: DestId) -> Range<usize> {
        match self.rows[to.at()] {
            NONE => 0..0,
            row => row as usize * self.owners..(row as usize + 1) * self.owners,
        }
    }

    /// Whether the slots of bills at a place come in order of owners, as they do unless units overtake each other.
    pub(super) fn ranked(&self, to: DestId) -> bool {
        self.ranked[to.at()]
    }

    /// That of a job; none where its material is issued or delivered.
    pub(super) fn of_job(&self, job: usize) -> Option<u32> {
        Some(self.of_job[job]).filter(|slot| *slot != NONE)
    }

    /// That of an extra.
    pub(super) fn of_extra(&self, extra: usize) -> u32 {
        self.of_extra[extra]
    }
}

/// For each place its row, where bills ask for something there, and how many rows there are: a plant may have many shops.
fn rows(wanted: &[(Slot, For)], places: usize) -> (Vec<u32>, usize) {
    let mut rows = vec![NONE; places];
    let mut count = 0;
    for (slot, _) in wanted.iter().filter(|(_, what)| *what == For::Bill) {
        let row = &mut rows[slot.to.at()];
        if *row == NONE {
            *row = count;
            count += 1;
        }
    }
    (rows, count as usize)
}
