//! Who waits for which job, as the shops have it.

use super::doubts::Doubt;
use super::slots::{NONE, Slot};
use crate::base::{DestId, Moment, OwnerId, PartId, numbered};
use crate::check::Plant;
use crate::netting::{Cover, Demand};
use crate::shops::{self, Job};
use rayon::prelude::*;
use std::collections::HashMap;

/// What there is of a unit's by-product at one moment: it is there when the last of the jobs is that it comes off.
#[derive(Debug, Default)]
pub(super) struct Heap {
    /// These jobs, in order.
    pub(super) givers: Vec<u32>,
    /// The demands that it serves.
    pub(super) takers: Vec<Demand>,
}

/// Jobs and what they give, by who waits for it: what is bought changes nothing of it.
#[derive(Debug, Default)]
pub(super) struct Links {
    /// Jobs that have not begun, in the order in which their material is needed, then of unit, shop and their numbers.
    pub(super) by_material: Vec<(Moment, OwnerId, DestId, u32)>,
    /// By-products that come off jobs.
    pub(super) heaps: Vec<Heap>,
    heap_of: HashMap<(OwnerId, PartId, Moment), u32>,
    /// For each slot the place of its first job in `by_material`, or [`NONE`]; where there is only one, and all that is needed there is
    /// for it, that job, marked [`ALONE`].
    pub(super) at_slots: Vec<u32>,
}

impl Links {
    /// Of all jobs, given all slots, those at which extras are needed, in order, and the pieces that by-products cover.
    pub(super) fn of(
        plant: &Plant,
        jobs: &[Job],
        (slots, of_extras): (&[Slot], &[u32]),
        by_products: impl Iterator<Item = Doubt>,
    ) -> Self {
        let mut links = Self::default();
        for (job, number) in jobs.iter().zip(0..) {
            if !job.started {
                let (to, need) = (plant.shop(job.shop).dest, shops::material_need(plant, job));
                links.by_material.push((need, job.owner, to, number));
            }
            for (part, _) in &job.below.gives {
                links.heap((job.owner, *part, job.available)).givers.push(number);
            }
        }
        links.by_material.par_sort_unstable();
        links.at_slots = links.jobs_at(slots, of_extras);
        for Doubt { demand, cover, available, .. } in by_products {
            let (Cover::ByProduct, Some(at)) = (cover, available) else { continue };
            if let Some(heap) = links.heap_of.get(&(demand.owner, demand.part, at)) {
                links.heaps[*heap as usize].takers.push(demand);
            }
        }
        links
    }

    /// The heap of a unit's by-product that is there at a moment, a new one where there is none.
    fn heap(&mut self, key: (OwnerId, PartId, Moment)) -> &mut Heap {
        let new = || {
            self.heaps.push(Heap::default());
            numbered(self.heaps.len() - 1)
        };
        let number = *self.heap_of.entry(key).or_insert_with(new);
        &mut self.heaps[number as usize]
    }

    /// The number of the heap of a unit's by-product that is there at a moment, where it comes off jobs.
    pub(super) fn heap_of(&self, owner: OwnerId, part: PartId, available: Moment) -> Option<u32> {
        self.heap_of.get(&(owner, part, available)).copied()
    }

    /// The heaps that a job gives to, of those that serve anybody.
    pub(super) fn heaps_from(&self, job: &Job) -> impl Iterator<Item = u32> {
        let heaps = job.below.gives.iter().filter_map(|(part, _)| self.heap_of(job.owner, *part, job.available));
        heaps.filter(|heap| !self.heaps[*heap as usize].takers.is_empty())
    }

    /// Where the jobs of each slot stand: both come in order.
    fn jobs_at(&self, slots: &[Slot], of_extras: &[u32]) -> Vec<u32> {
        let mut first = 0;
        let place = |&(need, owner, to, _): &(Moment, OwnerId, DestId, u32)| (need, owner, to);
        let of_slot = |(number, slot): (usize, &Slot)| {
            let wanted = (slot.need, slot.owner, slot.to);
            while self.by_material.get(first).is_some_and(|job| place(job) < wanted) {
                first += 1;
            }
            let here = self.by_material[first..].iter().take(2).take_while(|job| place(job) == wanted).count();
            let extra = || of_extras.binary_search(&numbered(number)).is_ok();
            match here {
                0 => NONE,
                1 if self.by_material[first].3 < ALONE && !extra() => self.by_material[first].3 | ALONE,
                _ => numbered(first),
            }
        };
        slots.iter().enumerate().map(of_slot).collect()
    }
}

/// Marks a slot with only one job.
pub(super) const ALONE: u32 = 1 << 31;
