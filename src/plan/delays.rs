//! What late material does to jobs: each starts when the last of it is there, and what waits for the job waits longer.
//!
//! Rule `waiting-jobs`.

use super::doubts::Doubt;
use super::links::{ALONE, Links};
use super::slots::NONE;
use crate::base::{DestId, Moment, MustBe, OwnerId, PartId};
use crate::check::{DestKind, Plant};
use crate::netting::{Cover, Demand};
use crate::shops::Job;
use foldhash::fast::FixedState;
use itertools::Itertools;
use std::collections::{HashMap, HashSet};
use std::sync::atomic::{AtomicI64, AtomicU64, Ordering};

/// When something is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum There {
    /// At a moment.
    At(Moment),
    /// Nothing says when.
    Unknown,
}

/// For each number the last of what is noted for it, from all sides at once.
pub(super) struct Latest(Vec<AtomicI64>);

impl Latest {
    const NOTHING: i64 = i64::MIN;
    const UNKNOWN: i64 = i64::MAX;

    /// Of so many numbers, with nothing noted.
    pub(super) fn of(count: usize) -> Self {
        Self((0..count).map(|_| AtomicI64::new(Self::NOTHING)).collect())
    }

    /// Notes something for a number.
    pub(super) fn note(&self, number: u32, there: There) {
        let at = match there {
            There::At(at) => at.seconds(),
            There::Unknown => Self::UNKNOWN,
        };
        let last = &self.0[number as usize];
        // Most often as much is known already, and looking costs less than writing.
        if last.load(Ordering::Relaxed) < at {
            last.fetch_max(at, Ordering::Relaxed);
        }
    }

    /// The last of what was noted for a number.
    pub(super) fn last(&self, number: u32) -> Option<There> {
        match self.0[number as usize].load(Ordering::Relaxed) {
            Self::NOTHING => None,
            Self::UNKNOWN => Some(There::Unknown),
            at => Some(There::At(Moment::from_seconds(at))),
        }
    }
}

/// Numbers that are marked, from all sides at once.
pub(super) struct Marks(Vec<AtomicU64>);

impl Marks {
    /// Of so many numbers, with none marked.
    pub(super) fn of(count: usize) -> Self {
        Self((0..count.div_ceil(64)).map(|_| AtomicU64::new(0)).collect())
    }

    /// Marks a number.
    pub(super) fn mark(&self, number: u32) {
        self.0[number as usize / 64].fetch_or(1 << (number % 64), Ordering::Relaxed);
    }

    /// Whether a number is marked; one that is out of reach is not.
    pub(super) fn has(&self, number: u32) -> bool {
        let word = self.0.get(number as usize / 64);
        word.is_some_and(|word| word.load(Ordering::Relaxed) >> (number % 64) & 1 == 1)
    }
}

/// When a piece is there that is material of a shop and in no time for its run; `None` where it is no such piece.
pub(super) fn material(plant: &Plant, doubt: &Doubt) -> Option<There> {
    if !matches!(plant.dest(doubt.demand.to).what, DestKind::Shop(_)) {
        return None;
    }
    match (doubt.cover, doubt.available) {
        (Cover::None, _) => Some(There::Unknown),
        (Cover::Receipt(_), Some(at)) if !doubt.for_its_run => Some(There::At(at)),
        _ => None,
    }
}

/// The jobs of a plan with who waits for which.
#[derive(Clone, Copy)]
pub(super) struct Shops<'p> {
    pub(super) plant: &'p Plant,
    pub(super) jobs: &'p [Job],
    pub(super) links: &'p Links,
}

impl<'p> Shops<'p> {
    /// The jobs that a demand at a shop is for.
    pub(super) fn takers(self, demand: &Demand) -> impl Iterator<Item = u32> + 'p {
        self.takers_after(demand, &mut 0)
    }

    /// The same, found soon where the demand comes a little after the one before it: `at` is where that one's jobs stand.
    pub(super) fn takers_after(self, demand: &Demand, at: &mut usize) -> impl Iterator<Item = u32> + use<'p> {
        let place = (demand.need, demand.owner, demand.to);
        let at_shop = matches!(self.plant.dest(demand.to).what, DestKind::Shop(_));
        let all: &[_] = if at_shop { &self.links.by_material } else { &[] };
        let before = |&(need, owner, to, _): &(Moment, OwnerId, DestId, u32)| (need, owner, to) < place;
        if at_shop {
            *at = first_from(all, *at, before);
        }
        let jobs = all.get(*at..).unwrap_or_default().iter();
        let jobs = jobs.take_while(move |&&(need, owner, to, _)| (need, owner, to) == place);
        let part = demand.part;
        let takes =
            move |number: &u32| self.jobs[*number as usize].below.needs.binary_search_by_key(&part, |n| n.0).is_ok();
        jobs.map(|(.., number)| *number).filter(takes)
    }

    /// Notes when a material is there for the jobs that need it; whether that is a job which is alone at its slot.
    pub(super) fn note(self, materials: &Latest, doubt: &Doubt, there: There) -> bool {
        let alone = self.only_taker(doubt);
        match alone {
            Some(job) => materials.note(job, there),
            None => self.takers_of(doubt).for_each(|job| materials.note(job, there)),
        }
        alone.is_some()
    }

    /// The job that alone a piece at a shop is for, where that is known from its slot.
    pub(super) fn only_taker(self, doubt: &Doubt) -> Option<u32> {
        let place = *self.links.at_slots.get(doubt.slot as usize)?;
        (place != NONE && place & ALONE != 0).then_some(place & !ALONE)
    }

    /// The jobs that a piece at a shop is for.
    pub(super) fn takers_of(self, doubt: &Doubt) -> impl Iterator<Item = u32> + use<'p> {
        let alone = self.only_taker(doubt);
        let known = self.links.at_slots.get(doubt.slot as usize).filter(|place| **place != NONE && alone.is_none());
        let mut near = known.map_or(0, |place| *place as usize);
        let others = alone.is_none().then(|| self.takers_after(&doubt.demand, &mut near));
        alone.into_iter().chain(others.into_iter().flatten())
    }

    /// When what a job builds is there, if something it needs is there at a moment only.
    pub(super) fn done(self, job: &Job, material: There) -> There {
        let There::At(at) = material else { return There::Unknown };
        let shop = self.plant.shop(job.shop);
        let calendar = self.plant.calendar(shop.calendar);
        let start = job.slot.start.max(calendar.worked(at) + shop.ahead);
        let done = calendar.ends(job.slot.finish + (start - job.slot.start) + shop.transit);
        // Past the end of a calendar of dates alone nothing says when.
        if done.is_real() { There::At(done.max(job.available)) } else { There::Unknown }
    }

    /// When a heap is there, given when the jobs are done that it comes off.
    pub(super) fn heap_there(self, heap: u32, job: impl Fn(u32) -> There) -> There {
        let givers = self.links.heaps[heap as usize].givers.iter();
        givers.map(|giver| job(*giver)).max().must("a heap comes off no job")
    }

    pub(super) fn job(self, number: u32) -> &'p Job {
        &self.jobs[number as usize]
    }
}

/// When jobs are done and heaps are there that are at another moment than the plan has it.
#[derive(Clone, Debug, Default)]
pub(super) struct Moved {
    jobs: HashMap<u32, There>,
    heaps: HashMap<u32, There>,
}

impl Moved {
    /// Whether there are none.
    pub(super) fn is_empty(&self) -> bool {
        self.jobs.is_empty()
    }

    /// Takes in when an owner's jobs are done, given all of them as the plan has them.
    pub(super) fn take(&mut self, shops: Shops<'_>, plan: &[There], numbers: &[u32], there: Vec<There>) {
        let as_planned = |job: u32| plan[job as usize];
        self.jobs.extend(numbers.iter().copied().zip(there).filter(|(job, there)| as_planned(*job) != *there));
        let heaps = numbers.iter().flat_map(|job| shops.links.heaps_from(shops.job(*job)));
        for heap in heaps.sorted_unstable().dedup() {
            let there = |job| self.jobs.get(&job).copied().unwrap_or_else(|| as_planned(job));
            self.heaps.insert(heap, shops.heap_there(heap, there));
        }
    }
}

/// When every job is really done: as the plan has it, or with what was worked out otherwise for some.
#[derive(Clone, Copy)]
pub(super) struct Delays<'p> {
    pub(super) shops: Shops<'p>,
    /// For each job when it is done.
    pub(super) there: &'p [There],
    /// For each heap when it is there.
    pub(super) heaps: &'p [There],
    pub(super) moved: &'p Moved,
}

impl Delays<'_> {
    /// When what a job builds is really there.
    pub(super) fn job(self, job: u32) -> There {
        self.moved.jobs.get(&job).copied().unwrap_or_else(|| self.there[job as usize])
    }

    fn heap(self, heap: u32) -> There {
        self.moved.heaps.get(&heap).copied().unwrap_or_else(|| self.heaps[heap as usize])
    }

    /// When a by-product is really there that was to be there at a moment.
    pub(super) fn by_product(self, demand: &Demand, available: Moment) -> There {
        let heap = self.shops.links.heap_of(demand.owner, demand.part, available);
        heap.map_or(There::At(available), |heap| self.heap(heap))
    }

    /// What waits for jobs, other jobs between; heaps that they give to are only named.
    pub(super) fn below_jobs(self, jobs: Vec<u32>) -> Below {
        self.below(Below { jobs, ..Below::default() }, false)
    }

    /// The same, with what waits for these heaps.
    pub(super) fn below_jobs_and_heaps(self, jobs: Vec<u32>) -> Below {
        self.below(Below { jobs, ..Below::default() }, true)
    }

    /// What waits for a heap, and for all that its takers give.
    pub(super) fn below_heap(self, heap: u32) -> Below {
        let mut below = Below::default();
        below.heaps.insert(heap);
        self.put_takers(heap, &mut below);
        self.below(below, true)
    }

    fn below(self, mut below: Below, through_heaps: bool) -> Below {
        let links = self.shops.links;
        let mut seen = HashSet::with_hasher(FixedState::default());
        while let Some(number) = below.jobs.pop() {
            let job = self.shops.job(number);
            // What goes to a station alone, as most does, leads nowhere else.
            let to_station = self.shops.plant.position(job.to).is_some();
            let alone =
                to_station && below.jobs.is_empty() && seen.is_empty() && links.heaps_from(job).next().is_none();
            if !alone && !seen.insert(number) {
                continue;
            }
            for heap in links.heaps_from(job) {
                if below.heaps.insert(heap) && through_heaps {
                    self.put_takers(heap, &mut below);
                }
            }
            self.put(&delivered(job), self.job(number), &mut below);
        }
        below
    }

    fn put_takers(self, heap: u32, below: &mut Below) {
        let there = self.heap(heap);
        self.shops.links.heaps[heap as usize].takers.iter().for_each(|demand| self.put(demand, there, below));
    }

    /// Puts a piece with those at stations, or who takes it with the jobs that are still to be followed.
    fn put(self, demand: &Demand, there: There, below: &mut Below) {
        if self.shops.plant.position(demand.to).is_some() {
            below.pieces.push((demand.to, demand.part, demand.need, there));
        } else {
            below.jobs.extend(self.shops.takers(demand));
        }
    }
}

/// What waits for something.
#[derive(Default)]
pub(super) struct Below {
    /// The pieces at stations, by-products among them: where, which part, its need, and when it is there.
    pub(super) pieces: Vec<(DestId, PartId, Moment, There)>,
    /// The heaps that are given to.
    pub(super) heaps: HashSet<u32, FixedState>,
    /// The jobs that are still to be followed.
    jobs: Vec<u32>,
}

/// The first of some sorted values that does not come before something, near a place where it probably stands.
fn first_from<T>(all: &[T], near: usize, before: impl Fn(&T) -> bool) -> usize {
    let near = near.min(all.len());
    if near > 0 && !before(&all[near - 1]) {
        return all[..near].partition_point(before);
    }
    let mut step = 1;
    while all.get(near + step).is_some_and(&before) {
        step *= 2;
    }
    let (low, high) = (near + step / 2, (near + step).min(all.len()));
    low.min(high) + all[low.min(high)..high].partition_point(before)
}

/// What a job delivers, as the demand that it is for.
pub(super) fn delivered(job: &Job) -> Demand {
    Demand { part: job.part, need: job.need, owner: job.owner, to: job.to, qty: job.qty }
}
