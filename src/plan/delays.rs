//! What late material does to jobs: each starts when the last of it is there, and what waits for the job waits longer.

use super::doubts::Doubt;
use super::slots::{NONE, Slot};
use crate::base::{DestId, Moment, OwnerId, PartId, numbered};
use crate::check::{DestKind, Plant};
use crate::netting::{Cover, Demand};
use crate::shops::{self, Job};
use foldhash::fast::FixedState;
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::{HashMap, HashSet};
use std::sync::atomic::{AtomicI64, Ordering};

/// When something is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum There {
    /// At a moment.
    At(Moment),
    /// Nothing says when.
    Unknown,
}

/// Who waits for which job, as the shops have it: what is bought changes nothing of it.
#[derive(Debug, Default)]
pub(super) struct Links {
    /// Jobs that have not begun, in the order in which their material is needed, then of unit, shop and their numbers.
    by_material: Vec<(Moment, OwnerId, DestId, u32)>,
    /// Jobs from which a by-product of a unit comes off, by when it is there.
    givers: HashMap<(OwnerId, PartId, Moment), Vec<u32>>,
    /// For each slot the place of its first job in `by_material`, or [`NONE`]; marked [`ALONE`] where there is only that one, and
    /// all that is needed there is for it.
    at_slots: Vec<u32>,
    /// The demands that by-products of each job serve, and when those were to be there.
    taken: HashMap<u32, Vec<(Demand, Moment)>>,
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
                links.givers.entry((job.owner, *part, job.available)).or_default().push(number);
            }
        }
        links.by_material.par_sort_unstable();
        links.at_slots = links.jobs_at(slots, of_extras);
        for Doubt { demand, cover, available, .. } in by_products {
            let (Cover::ByProduct, Some(at)) = (cover, available) else { continue };
            let givers = links.givers.get(&(demand.owner, demand.part, at));
            for job in givers.into_iter().flatten() {
                links.taken.entry(*job).or_default().push((demand, at));
            }
        }
        links
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
                1 if first < ALONE as usize && !extra() => numbered(first) | ALONE,
                _ => numbered(first),
            }
        };
        slots.iter().enumerate().map(of_slot).collect()
    }
}

/// Marks a slot with only one job.
const ALONE: u32 = 1 << 31;

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
        self.0[number as usize].fetch_max(at, Ordering::Relaxed);
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

    /// Notes when a material is there for the jobs that need it.
    pub(super) fn note(self, materials: &Latest, doubt: &Doubt, there: There) {
        match self.only_taker(doubt) {
            Some(job) => materials.note(job, there),
            None => self.takers_of(doubt).for_each(|job| materials.note(job, there)),
        }
    }

    /// The job that alone a piece at a shop is for, where that is known from its slot.
    pub(super) fn only_taker(self, doubt: &Doubt) -> Option<u32> {
        let place = *self.links.at_slots.get(doubt.slot as usize)?;
        (place != NONE && place & ALONE != 0).then(|| self.links.by_material[(place & !ALONE) as usize].3)
    }

    /// The jobs that a piece at a shop is for.
    pub(super) fn takers_of(self, doubt: &Doubt) -> impl Iterator<Item = u32> + use<'p> {
        let mut near = match self.links.at_slots.get(doubt.slot as usize) {
            Some(&place) if place != NONE => (place & !ALONE) as usize,
            _ => 0,
        };
        self.takers_after(&doubt.demand, &mut near)
    }

    /// The demands that a job's by-products serve.
    pub(super) fn taken_from(self, job: u32) -> impl Iterator<Item = &'p (Demand, Moment)> {
        self.links.taken.get(&job).into_iter().flatten()
    }

    /// When what a job builds is there, if something it needs is there at a moment only.
    fn done(self, job: &Job, material: There) -> There {
        let There::At(at) = material else { return There::Unknown };
        let shop = self.plant.shop(job.shop);
        let calendar = self.plant.calendar(shop.calendar);
        let start = job.slot.start.max(calendar.worked(at) + shop.ahead);
        let done = calendar.ends(job.slot.finish + (start - job.slot.start) + shop.transit);
        // Past the end of a calendar of dates alone nothing says when.
        if done.is_real() { There::At(done.max(job.available)) } else { There::Unknown }
    }

    /// When what all jobs build is really there, given when their material is.
    pub(super) fn settled(self, materials: &Latest) -> Vec<There> {
        let numbers = (0..numbered(self.jobs.len())).collect_vec();
        self.settled_some(&numbers, |job| materials.last(job))
    }

    /// The same of the jobs of some owners, by their numbers in order: a job waits for nothing of others than its own.
    pub(super) fn settled_some(self, numbers: &[u32], material: impl Fn(u32) -> Option<There>) -> Vec<There> {
        let mut feeds: Vec<(u32, u32)> = Vec::new();
        for &number in numbers {
            let demands = self.taken_from(number).map(|(demand, _)| *demand).chain([delivered(self.job(number))]);
            for demand in demands {
                feeds.extend(self.takers(&demand).filter(|taker| *taker != number).map(|taker| (taker, number)));
            }
        }
        feeds.sort_unstable();
        feeds.dedup();
        let there = numbers.iter().map(|number| There::At(self.job(*number).available)).collect();
        let mut settling = Settling { shops: self, numbers, feeds, state: vec![State::New; numbers.len()], there };
        (0..numbers.len()).for_each(|at| _ = settling.settle(at, &material));
        settling.there
    }

    fn job(self, number: u32) -> &'p Job {
        &self.jobs[number as usize]
    }
}

/// How far a job has been worked out.
#[derive(Clone, Copy)]
enum State {
    New,
    Open,
    Settled,
}

/// Jobs while it is worked out when they are done.
struct Settling<'s> {
    shops: Shops<'s>,
    numbers: &'s [u32],
    /// Who waits for whom: the job that waits, then the one that it waits for.
    feeds: Vec<(u32, u32)>,
    state: Vec<State>,
    there: Vec<There>,
}

impl Settling<'_> {
    /// Moves on a job whose material is late, after the jobs it waits for. One that waits for itself is never done.
    fn settle(&mut self, at: usize, material: &impl Fn(u32) -> Option<There>) -> There {
        match self.state[at] {
            State::Settled => return self.there[at],
            State::Open => return There::Unknown,
            State::New => self.state[at] = State::Open,
        }
        let number = self.numbers[at];
        let job = self.shops.job(number);
        let mut last = material(number);
        let first = self.feeds.partition_point(|(taker, _)| *taker < number);
        for feed in first.. {
            let Some((_, giver)) = self.feeds.get(feed).copied().filter(|(taker, _)| *taker == number) else { break };
            if let Ok(giver) = self.numbers.binary_search(&giver) {
                last = last.max(Some(self.settle(giver, material)));
            }
        }
        if let Some(last) = last {
            self.there[at] = self.there[at].max(self.shops.done(job, last));
        }
        self.state[at] = State::Settled;
        self.there[at]
    }
}

/// When every job is really done: as the plan has it, or with what was worked out otherwise for some.
#[derive(Clone, Copy)]
pub(super) struct Delays<'p> {
    pub(super) shops: Shops<'p>,
    pub(super) there: &'p [There],
    /// Those that are done at another moment than the plan has it.
    pub(super) moved: &'p HashMap<u32, There>,
}

impl Delays<'_> {
    /// When what a job builds is really there.
    pub(super) fn job(self, job: u32) -> There {
        self.moved.get(&job).copied().unwrap_or_else(|| self.there[job as usize])
    }

    /// When a by-product is really there that was to be there at a moment.
    pub(super) fn by_product(self, demand: &Demand, available: Moment) -> There {
        let givers = self.shops.links.givers.get(&(demand.owner, demand.part, available)).into_iter().flatten();
        givers.map(|job| self.job(*job)).max().unwrap_or(There::At(available))
    }

    /// The pieces at stations that wait for jobs, by-products among them: where, which part, its need, and when it is there.
    pub(super) fn pieces_of(self, takers: Vec<u32>) -> Vec<(DestId, PartId, Moment, There)> {
        let (mut open, mut seen, mut found) = (takers, HashSet::with_hasher(FixedState::default()), Vec::new());
        while let Some(number) = open.pop() {
            // What goes to a station alone, as most does, leads nowhere else.
            let to_station = matches!(self.shops.plant.dest(self.shops.job(number).to).what, DestKind::Station { .. });
            let no_more = open.is_empty() && seen.is_empty() && !self.shops.links.taken.contains_key(&number);
            let alone = to_station && no_more;
            if !alone && !seen.insert(number) {
                continue;
            }
            let job = delivered(self.shops.job(number));
            let by_products = self.shops.taken_from(number).map(|(demand, at)| (*demand, self.by_product(demand, *at)));
            for (demand, there) in by_products.chain([(job, self.job(number))]) {
                if matches!(self.shops.plant.dest(demand.to).what, DestKind::Station { .. }) {
                    found.push((demand.to, demand.part, demand.need, there));
                } else {
                    open.extend(self.shops.takers(&demand));
                }
            }
        }
        found
    }
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
