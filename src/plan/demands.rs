//! The demands for bought parts, part by part, made from the bills when they are wanted: a plan never holds them all.
//!
//! Rules `need-at-a-station`, `need-in-a-shop`, `one-demand`.

use super::slots::{NONE, Slot, Slots};
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity, add_equals, numbered};
use crate::check::Plant;
use crate::check::limits::MOST_DEMANDS;
use crate::explode::{Below, Explosions, GuardId, Guards};
use crate::line::Owner;
use crate::netting::Demand;
use crate::shops::Job;
use itertools::Itertools;
use std::collections::HashMap;
use std::sync::Arc;

/// A path to a part, for the units of a floorplan.
#[derive(Clone, Copy, Debug)]
struct ToPart {
    floorplan: u32,
    station: DestId,
    guard: GuardId,
    qty: Quantity,
}

/// A slot for which so much is asked.
type SlotQty = (u32, Quantity);

/// What all demands for bought parts are made from.
#[derive(Debug, Default)]
pub(super) struct Demands {
    slots: Slots,
    guards: Guards,
    /// For each part the paths to it, by station.
    paths: Grouped<ToPart>,
    /// For each part the slots of the jobs that need it, and where the quantities stand.
    jobs: Grouped<(u32, u32)>,
    /// All quantities that jobs need.
    quantities: Vec<Quantity>,
    /// For each part what extras ask for.
    extras: Grouped<SlotQty>,
    /// For each floorplan a bit for each owner whose bill it is: 64 owners to a word, as for guards.
    units: Vec<Vec<u64>>,
    /// The slots at which extras are needed, in order.
    extra_slots: Vec<u32>,
    at_most: usize,
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
        let units = units(owners, &explosions);
        let paths = explosions.floorplans.iter().enumerate().flat_map(|(floorplan, paths)| {
            paths.all.iter().filter(|path| plant.part(path.part).bought()).map(move |path| {
                let &crate::explode::Path { part, station, guard, qty, .. } = path;
                (part, ToPart { floorplan: numbered(floorplan), station, guard, qty })
            })
        });
        let paths = paths.sorted_by_key(|(_, path)| path.station).collect_vec();
        let needs = Needs::of(plant, jobs);
        let of_jobs = (0..jobs.len()).filter_map(|job| Some((slots.of_job(job)?, needs.of_job(job))));
        let of_jobs = of_jobs.flat_map(|(slot, needs)| needs.iter().map(move |(part, at)| (*part, (slot, *at))));
        let extras = extras.iter().enumerate().map(|(i, extra)| (extra.part, (slots.of_extra(i), extra.qty)));
        let parts = plant.parts.len();
        let extra_slots = extras.clone().map(|(_, (slot, _))| slot).sorted().dedup().collect();
        let mut demands = Self {
            extra_slots,
            paths: Grouped::of(parts, paths.iter().copied()),
            jobs: Grouped::of(parts, of_jobs),
            extras: Grouped::of(parts, extras),
            guards: explosions.guards,
            quantities: needs.quantities,
            slots,
            units,
            at_most: 0,
        };
        demands.at_most = demands.count_at_most();
        demands
    }

    /// All slots, in order.
    pub(super) fn slots(&self) -> &[Slot] {
        &self.slots.all
    }

    /// All slots, and the numbers of those at which extras are needed, in order.
    pub(super) fn slots_and_extras(&self) -> (&[Slot], &[u32]) {
        (&self.slots.all, &self.extra_slots)
    }

    /// The number of a slot.
    pub(super) fn find(&self, slot: Slot) -> Option<u32> {
        self.slots.all.binary_search(&slot).ok().map(numbered)
    }

    /// That of a job; none where its material is issued or delivered.
    pub(super) fn slot_of_job(&self, job: u32) -> Option<u32> {
        self.slots.of_job(job as usize)
    }

    /// Whether extras ask for a part.
    pub(super) fn has_extras(&self, part: PartId) -> bool {
        !self.extras.of_part(part).is_empty()
    }

    /// What they ask for.
    pub(super) fn extras_for(&self, part: PartId) -> Vec<Demand> {
        let demand = |(slot, qty): &SlotQty| {
            let Slot { need, owner, to } = self.slots.all[*slot as usize];
            Demand { part, need, owner, to, qty: *qty }
        };
        self.extras.of_part(part).iter().map(demand).collect()
    }

    /// How many demands there are at most.
    pub(super) fn at_most(&self) -> usize {
        self.at_most
    }

    /// How many demands bills, jobs and extras make, where that could be too many; at least as many.
    pub(super) fn count_where_many(&self) -> u64 {
        if self.at_most as u64 <= MOST_DEMANDS {
            return self.at_most as u64;
        }
        let at_one_station = |paths: &[ToPart]| {
            let words = paths.iter().map(|path| self.units[path.floorplan as usize].len()).max().unwrap_or(0);
            let taking = |word: usize, path: &ToPart| {
                self.units[path.floorplan as usize][word] & self.guards.owners(path.guard)[word]
            };
            let of_word = |word| paths.iter().fold(0, |all, path| all | taking(word, path)).count_ones();
            (0..words).map(|word| u64::from(of_word(word))).sum::<u64>()
        };
        let of_part =
            |part| self.paths.of_part(part).chunk_by(|a, b| a.station == b.station).map(at_one_station).sum::<u64>();
        let of_bills: u64 = (0..self.paths.starts.len() - 1).map(PartId::of).map(of_part).sum::<u64>();
        of_bills + self.jobs.all.len() as u64 + self.extras.all.len() as u64
    }

    fn count_at_most(&self) -> usize {
        let units = |units: &Vec<u64>| units.iter().map(|word| word.count_ones() as usize).sum();
        let units: Vec<usize> = self.units.iter().map(units).collect();
        let of_paths = self.paths.all.iter().map(|path| units[path.floorplan as usize]);
        of_paths.sum::<usize>() + self.jobs.all.len() + self.extras.all.len()
    }

    /// A part's demands in the order in which they are served, each with its slot.
    pub(super) fn of_part(&self, part: PartId, desk: &mut Desk, demands: &mut Vec<Demand>) {
        self.first_of_part(part, NONE, desk, demands);
    }

    /// Those of them that are needed before a moment.
    pub(super) fn of_part_before(&self, part: PartId, until: Moment, desk: &mut Desk, demands: &mut Vec<Demand>) {
        let end = self.slots.all.partition_point(|slot| slot.need < until);
        self.first_of_part(part, numbered(end), desk, demands);
    }

    /// A part's demands at the slots before one, in order.
    fn first_of_part(&self, part: PartId, end: u32, desk: &mut Desk, demands: &mut Vec<Demand>) {
        demands.clear();
        desk.slots.clear();
        match self.only_station(part) {
            Some(station) => self.at_station(part, station, end, &mut desk.slots, demands),
            None => self.merged(part, end, desk, demands),
        }
    }

    /// The station at which alone a part is needed, where its units take it in order of rank.
    fn only_station(&self, part: PartId) -> Option<DestId> {
        let paths = self.paths.of_part(part);
        let (first, last) = (paths.first()?, paths.last()?);
        let no_others = self.jobs.of_part(part).is_empty() && self.extras.of_part(part).is_empty();
        (no_others && first.station == last.station && self.slots.ranked(first.station)).then_some(first.station)
    }

    /// The demands of a part that is needed at one station alone: nothing needs to be merged, and needs lie side by side.
    fn at_station(&self, part: PartId, to: DestId, end: u32, slots: &mut Vec<u32>, demands: &mut Vec<Demand>) {
        let needs = self.slots.needs_of_bills(to);
        self.each_unit(self.paths.of_part(part), end, |owner, slot, qty| {
            demands.push(Demand { part, need: needs[owner], owner: OwnerId::of(owner), to, qty });
            slots.push(slot);
        });
    }

    /// The demands of any part.
    fn merged(&self, part: PartId, end: u32, desk: &mut Desk, demands: &mut Vec<Demand>) {
        let Desk { asked, slots } = desk;
        asked.clear();
        for paths in self.paths.of_part(part).chunk_by(|a, b| a.station == b.station) {
            self.each_unit(paths, end, |_, slot, qty| asked.push((slot, qty)));
        }
        let of_jobs = self.jobs.of_part(part).iter().filter(|(slot, _)| *slot < end);
        asked.extend(of_jobs.map(|(slot, at)| (*slot, self.quantities[*at as usize])));
        asked.extend(self.extras.of_part(part).iter().filter(|(slot, _)| *slot < end));
        // Each station's units come in order, and so do the jobs of a shop: this merges them.
        asked.sort_by_key(|(slot, _)| *slot);
        add_equals(asked);
        slots.extend(asked.iter().map(|(slot, _)| *slot));
        demands.extend(asked.iter().map(|&(slot, qty)| {
            let Slot { need, owner, to } = self.slots.all[slot as usize];
            Demand { part, need, owner, to, qty }
        }));
    }

    /// Shows what units ask for along all paths at one station, by rank: the owner, the slot and how much. Only slots before
    /// one, or all.
    fn each_unit(&self, paths: &[ToPart], end: u32, mut show: impl FnMut(usize, u32, Quantity)) {
        let Some(first) = paths.first() else { return };
        let slots = self.slots.of_bills(first.station);
        let words = self.units[first.floorplan as usize].len();
        let ranked = self.slots.ranked(first.station);
        let mut sums = [Quantity::ZERO; 64];
        for (word, slots) in slots.chunks(64).take(words).enumerate() {
            // Slots come in order here, so that those of later words are later, too.
            if ranked && slots.iter().find(|slot| **slot != NONE).is_some_and(|slot| *slot >= end) {
                break;
            }
            let mut all = 0;
            for path in paths {
                let taking = self.units[path.floorplan as usize][word] & self.guards.owners(path.guard)[word];
                each_bit(taking, |owner| sums[owner] += path.qty);
                all |= taking;
            }
            each_bit(all, |owner| {
                let qty = std::mem::take(&mut sums[owner]);
                if slots[owner] < end {
                    show(word * 64 + owner, slots[owner], qty);
                }
            });
        }
    }
}

/// For each floorplan a bit for each owner whose bill it is.
pub(super) fn units(owners: &[Owner], explosions: &Explosions<'_>) -> Vec<Vec<u64>> {
    let planned = owners.iter().take_while(|owner| owner.planned);
    let words = planned.clone().count().div_ceil(64);
    let mut units = vec![vec![0; words]; explosions.floorplans.len()];
    for (i, unit) in planned.enumerate().filter_map(|(i, owner)| Some((i, owner.unit?))) {
        let floorplan = explosions.floorplan_of(unit);
        floorplan.into_iter().for_each(|floorplan| units[floorplan][i / 64] |= 1 << (i % 64));
    }
    units
}

/// Shows the places of the bits that are set, the lowest first.
fn each_bit(mut word: u64, mut show: impl FnMut(usize)) {
    while word != 0 {
        show(word.trailing_zeros() as usize);
        word &= word - 1;
    }
}

/// Room in which the demands of one part after the other are put together.
#[derive(Default)]
pub(super) struct Desk {
    asked: Vec<SlotQty>,
    /// The slots of the part's demands.
    pub(super) slots: Vec<u32>,
}

/// The bought parts that jobs need, each list once for all jobs that share it.
struct Needs {
    /// For each list its parts, and where the quantities stand.
    lists: Vec<Vec<(PartId, u32)>>,
    /// For each job its list.
    of_job: Vec<u32>,
    quantities: Vec<Quantity>,
}

impl Needs {
    fn of(plant: &Plant, jobs: &[Job]) -> Self {
        let bought: Vec<bool> = plant.parts.iter().map(|part| part.bought()).collect();
        let mut known: HashMap<*const Below, u32> = HashMap::new();
        let mut needs = Self { lists: Vec::new(), of_job: Vec::with_capacity(jobs.len()), quantities: Vec::new() };
        for job in jobs {
            let list = *known.entry(Arc::as_ptr(&job.below)).or_insert_with(|| {
                let first = numbered(needs.quantities.len());
                let of_list = job.below.needs.iter().filter(|(part, _)| bought[part.at()]);
                needs.quantities.extend(of_list.clone().map(|(_, qty)| *qty));
                needs.lists.push(of_list.zip(first..).map(|((part, _), at)| (*part, at)).collect());
                numbered(needs.lists.len() - 1)
            });
            needs.of_job.push(list);
        }
        needs
    }

    fn of_job(&self, job: usize) -> &[(PartId, u32)] {
        &self.lists[self.of_job[job] as usize]
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
