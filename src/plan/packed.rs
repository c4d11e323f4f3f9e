//! All pulls of a plan in twelve bytes each: a year's are twenty million.

use super::slots::Slot;
use super::{AskedPulls, Settled};
use crate::base::{Date, Moment, MustBe, PartId, Quantity, StorageKey, broken, numbered};
use crate::check::{Issue, Part, Plant};
use crate::netting::Demand;
use crate::pulls::{self, Pull, Status};
use crate::supply::Pegged;
use crate::waves::{DeliveryRun, Runs};

/// A pull of a part. What is not in it follows from the first demand behind it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Packed {
    /// The status in the upper bits; below them the slot of the first demand, or its index among those of a made part.
    first: u32,
    qty: Halves,
}

const STATUS_SHIFT: u32 = 29;
const STATUSES: [Status; 5] = [Status::Ready, Status::Arriving, Status::SpecialRun, Status::Late, Status::Short];

impl Packed {
    fn new(pull: &Pull, first: u32) -> Self {
        let status = STATUSES.iter().position(|status| *status == pull.status).must("a pull stands in no known way");
        if first >= 1 << STATUS_SHIFT {
            broken("a plan has more moments of need than a pull can name");
        }
        Self { first: first | numbered(status) << STATUS_SHIFT, qty: Halves::of(pull.qty) }
    }

    fn first(self) -> u32 {
        self.first & ((1 << STATUS_SHIFT) - 1)
    }

    fn status(self) -> Status {
        STATUSES[(self.first >> STATUS_SHIFT) as usize]
    }
}

/// A quantity's millionths in two halves, so that a row with one is no larger than it must be.
#[derive(Clone, Copy, Debug)]
pub(super) struct Halves([u32; 2]);

impl Halves {
    pub(super) fn of(qty: Quantity) -> Self {
        let [a, b, c, d, rest @ ..] = qty.millionths().to_le_bytes();
        Self([[a, b, c, d], rest].map(u32::from_le_bytes))
    }

    pub(super) fn qty(self) -> Quantity {
        let Self([low, high]) = self;
        Quantity::from_millionths((u64::from(low) | u64::from(high) << 32).cast_signed())
    }
}

/// Puts the pulls of one part, in order of run, destination and owner, into a list.
pub(super) fn pulls(id: PartId, part: &Part, pegged: Pegged<'_>, slots: &[u32], runs: &Runs, into: &mut Vec<Packed>) {
    into.clear();
    let number = |demand: u32| slots.get(demand as usize).copied().unwrap_or(demand);
    pulls::pulls(id, part, pegged, runs, |pull, first| into.push(Packed::new(pull, number(first))));
}

/// How many runs are overdue or leave up to the end of a day.
fn up_to_day(plant: &Plant, runs: &Runs, day: Date) -> usize {
    runs.all().iter().take_while(|run| run.leaves < plant.as_of || run.leaves.date() <= day).count()
}

/// What is needed before this moment goes with one of those.
pub(super) fn after_day(plant: &Plant, runs: &Runs, day: Date) -> Moment {
    runs.all().get(up_to_day(plant, runs, day)).map_or(Moment::NEVER, |run| run.leaves)
}

/// The parts in the order in which a picker walks.
fn walking_order(plant: &Plant) -> Vec<PartId> {
    let mut parts: Vec<PartId> = (0..plant.parts.len()).map(PartId::of).collect();
    parts.sort_by_cached_key(|part| (StorageKey::new(&plant.part(*part).location), *part));
    parts
}

/// A part's pulls that were not shown yet.
struct Shelf<'p> {
    part: PartId,
    bulk: bool,
    /// The demands behind them, where the part is not bought; otherwise they have slots.
    made: Option<&'p [Demand]>,
    left: &'p [Packed],
}

/// How many pulls are put in order at a time, about.
const AT_A_TIME: usize = 1 << 16;

/// Parts whose next pulls are looked up at once.
const SIDE_BY_SIDE: usize = 16;

impl Settled<'_> {
    /// Shows every pull, in the order of their table.
    pub fn each_pull(&self, mut visit: impl FnMut(&Pull)) {
        self.some_pulls(|some| some.iter().for_each(&mut visit));
    }

    /// The same, some pulls at a time.
    pub fn some_pulls(&self, visit: impl FnMut(&[Pull])) {
        self.has_all_pulls();
        self.pulls_of_first(self.runs.all().len(), visit);
    }

    /// The pulls of the first runs. Each part's are read for several runs at a time, since they lie side by side.
    fn pulls_of_first(&self, count: usize, mut visit: impl FnMut(&[Pull])) {
        let runs = self.runs.all();
        let mut shelves = self.shelves();
        let pulls: usize = shelves.iter().map(|shelf| shelf.left.len()).sum();
        let at_a_time = (AT_A_TIME * runs.len() / pulls.max(1)).clamp(1, runs.len().max(1));
        let mut of_run: Vec<Vec<Pull>> = vec![Vec::new(); at_a_time];
        for from in (0..count).step_by(at_a_time) {
            let runs = &runs[from..];
            let some = at_a_time.min(count - from);
            let after = runs.get(some).map(|run| run.leaves);
            for shelves in shelves.chunks_mut(SIDE_BY_SIDE) {
                let due = self.due(shelves, after);
                let due = shelves.iter_mut().zip(due).filter(|(_, due)| *due);
                due.for_each(|(shelf, _)| self.take(shelf, runs, &mut of_run[..some]));
            }
            for pulls in &mut of_run {
                visit(pulls);
                pulls.clear();
            }
        }
    }

    /// A plan that was not asked for all pulls must not show some as if they were all.
    fn has_all_pulls(&self) {
        if self.asked != AskedPulls::All {
            broken("a plan is asked for pulls that it was not made with");
        }
    }

    /// The pulls of one run, in the order of their table: each part's are looked up where they begin.
    pub fn pulls_of(&self, run: DeliveryRun) -> Vec<Pull> {
        self.has_all_pulls();
        let runs = self.runs.all();
        let Some(at) = runs.iter().position(|other| *other == run) else { return Vec::new() };
        // Needs before the first run go with it.
        let begins = (at > 0).then_some(run.leaves);
        let ends = runs.get(at + 1).map(|after| after.leaves);
        let mut pulls = vec![Vec::new()];
        for mut shelf in self.shelves() {
            let before =
                |moment: Moment| shelf.left.partition_point(|packed| self.first_demand(&shelf, *packed).need < moment);
            let (from, to) = (begins.map_or(0, before), ends.map_or(shelf.left.len(), before));
            shelf.left = &shelf.left[from..to];
            self.take(&mut shelf, &runs[at..=at], &mut pulls);
        }
        pulls.concat()
    }

    /// All parts with pulls, in the order in which a picker walks.
    fn shelves(&self) -> Vec<Shelf<'_>> {
        let shelf = |part: &PartId| {
            let bulk = self.plant.part(*part).issue == Issue::Bulk;
            Shelf { part: *part, bulk, made: self.made_demands(*part), left: &self.packed[part.at()] }
        };
        self.walking_order
            .get_or_init(|| walking_order(self.plant))
            .iter()
            .map(shelf)
            .filter(|shelf| !shelf.left.is_empty())
            .collect()
    }

    /// Which parts have pulls before a moment. Each part's lie elsewhere in memory: asking for several at once takes the time of one.
    fn due(&self, shelves: &[Shelf<'_>], before: Option<Moment>) -> [bool; SIDE_BY_SIDE] {
        let mut due = [false; SIDE_BY_SIDE];
        for (due, shelf) in due.iter_mut().zip(shelves) {
            let need = shelf.left.first().map(|packed| self.first_demand(shelf, *packed).need);
            *due = need.is_some_and(|need| before.is_none_or(|before| need < before));
        }
        due
    }

    /// The moment of the first demand behind a pull.
    fn first_demand(&self, shelf: &Shelf<'_>, packed: Packed) -> Slot {
        let Some(demands) = shelf.made else { return self.slot(packed.first()) };
        let Demand { need, owner, to, .. } = demands[packed.first() as usize];
        Slot { need, owner, to }
    }

    /// Takes a part's pulls of the first runs: those of all needs before the next.
    fn take(&self, shelf: &mut Shelf<'_>, runs: &[DeliveryRun], of_run: &mut [Vec<Pull>]) {
        let part = shelf.part;
        let mut at = 0;
        while let Some((packed, rest)) = shelf.left.split_first() {
            let Slot { need, owner, to } = self.first_demand(shelf, *packed);
            while runs.get(at + 1).is_some_and(|after| need >= after.leaves) {
                at += 1;
            }
            let Some(pulls) = of_run.get_mut(at) else { break };
            let owner = Some(owner).filter(|_| !shelf.bulk);
            pulls.push(Pull { run: runs[at], part, qty: packed.qty.qty(), to, owner, need, status: packed.status() });
            shelf.left = rest;
        }
    }

    /// The pulls that are overdue or leave up to the end of the plan's day.
    pub(super) fn pulls_up_to_day(&self) -> Vec<Pull> {
        let mut pulls = Vec::new();
        if self.asked != AskedPulls::None {
            let runs = up_to_day(self.plant, &self.runs, self.day);
            self.pulls_of_first(runs, |some| pulls.extend_from_slice(some));
        }
        pulls
    }
}
