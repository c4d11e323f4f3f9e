//! Runs all shops once: stock first, then jobs, their places on the crews, and what they need.
//!
//! Rules `two-shares`, `twice`, `begun`, `there`.

use std::collections::BTreeMap;

use super::crews::{Slot, Task, schedule};
use super::jobs::Draft;
use super::plant::Source;
use super::sheets::Key;
use super::shop_order::shop_order;
use super::stock::Shelf;
use super::wants::{DemandKey, Free, View, Want, demands, of_extras};

/// A job with its place on a crew; times in the shop's working seconds.
#[derive(Clone, Debug)]
pub struct Job {
    pub draft: Draft,
    pub release: i64,
    pub due: i64,
    pub slot: Slot,
    /// The clock time at which its material is needed.
    pub material_need: i64,
    /// The clock time at which what it delivers is there.
    pub available: i64,
}

/// One run of the shops; the jobs as shop after shop, crew after crew took them.
#[derive(Default)]
pub struct Run {
    pub wants: Vec<Want>,
    pub frees: Vec<Free>,
    pub jobs: Vec<Job>,
}

impl Run {
    /// Notes what comes free; below what no unit asked for, a by-product is for nobody.
    fn free(&mut self, view: &View, frees: Vec<Free>) {
        let for_someone = |free: &Free| !view.crowd.takers[free.rank].key.is_empty();
        self.frees.extend(frees.into_iter().filter(for_someone));
    }
}

/// For a unit and a by-product: the moments by which a job that gives it must have brought it.
type ServeBy = BTreeMap<(usize, Key), Vec<i64>>;

/// The second run, its dues serving every taker of a by-product that the first run shows.
pub fn run_twice(view: &View) -> Run {
    let first = run(view, &ServeBy::new());
    let mut serve_by = ServeBy::new();
    for want in &first.wants {
        let taken = (want.demand.rank, want.demand.part.clone());
        serve_by.entry(taken).or_default().push(want.serve_by);
    }
    run(view, &serve_by)
}

fn run(view: &View, serve_by: &ServeBy) -> Run {
    let mut run = Run::default();
    for rank in 0..view.crowd.takers.len() {
        let taker = &view.crowd.takers[rank];
        if taker.unit.is_some() && !taker.set_aside {
            let found = view.explode_at_stations(rank);
            run.wants.extend(found.wants);
            run.free(view, found.frees);
        }
    }
    run.wants.extend(of_extras(view));
    for shop in shop_order(view.plant) {
        run_shop(view, &shop, serve_by, &mut run);
    }
    run
}

fn run_shop(view: &View, shop: &str, serve_by: &ServeBy, run: &mut Run) {
    let mut drafts = drafts_of(view, shop, run);
    begin_started(view, &mut drafts);
    let tasks: Vec<Task> = drafts.iter().map(|draft| task(view, draft, serve_by, run)).collect();
    let now = view.plant.calendar_of_shop(shop).worked(view.plant.settings.as_of);
    for slot in schedule(&tasks, view.plant.shops[shop].crews, now) {
        let job = placed(view, &drafts[slot.task], &tasks[slot.task], slot);
        run.wants.extend(wants_below(view, &job));
        run.free(view, frees_below(&job));
        run.jobs.push(job);
    }
}

/// What stock does not cover of the shop's demands.
fn drafts_of(view: &View, shop: &str, run: &mut Run) -> Vec<Draft> {
    let mut drafts = Vec::new();
    let mut shelves: BTreeMap<Key, Shelf> = BTreeMap::new();
    for (demand, qty) in demands(&run.wants) {
        let part = &view.plant.parts[&demand.part];
        if part.source != Source::Make || part.shop != shop {
            continue;
        }
        let new_shelf = || Shelf::of(view.plant, &demand.part);
        let shelf = shelves.entry(demand.part.clone()).or_insert_with(new_shelf);
        let taker = &view.crowd.takers[demand.rank];
        let taken = shelf.take(taker, &demand.to, qty, view.takes_loose_stock(&demand));
        let covered = taken.iter().map(|(_, qty)| qty).sum();
        run.free(view, view.free_below(demand.rank, &demand.part, covered));
        if qty > covered {
            drafts.push(view.draft(&demand, qty - covered));
        }
    }
    drafts
}

/// Marks, for each row of started jobs, that unit's first job of the part.
fn begin_started(view: &View, drafts: &mut [Draft]) {
    for (row, started) in view.plant.started.iter().enumerate() {
        let rank = view.crowd.rank_of(&started.unit);
        let named =
            drafts.iter_mut().filter(|draft| draft.demand.part == started.part && Some(draft.demand.rank) == rank);
        let first = named.min_by_key(|draft| (draft.demand.need, draft.demand.to.clone()));
        if let Some(draft) = first {
            view.begin(draft, row);
        }
    }
}

fn task(view: &View, draft: &Draft, serve_by: &ServeBy, run: &Run) -> Task {
    let DemandKey { part, need, rank, to } = draft.demand.clone();
    let (release, due) = (release(view, draft, &run.frees), due(view, draft, serve_by));
    Task { started: draft.started, release, due, length: draft.length, rank, part, to, need }
}

/// The need less transit, or earlier where a by-product of the job is awaited.
fn due(view: &View, draft: &Draft, serve_by: &ServeBy) -> i64 {
    let calendar = view.plant.calendar_of_shop(&draft.shop);
    let given = draft.gives.iter().map(|(part, _)| (draft.demand.rank, part.clone()));
    let awaited = given.flat_map(|key| serve_by.get(&key).cloned().unwrap_or_default());
    let moments = awaited.chain([draft.demand.need]);
    let dues = moments.map(|moment| calendar.worked(moment) - view.plant.shops[&draft.shop].transit);
    dues.min().expect("the job's own need")
}

/// Not before now, nor before the last of each by-product of the unit that the job needs is there.
fn release(view: &View, draft: &Draft, frees: &[Free]) -> i64 {
    let calendar = view.plant.calendar_of_shop(&draft.shop);
    let ahead = view.plant.shops[&draft.shop].deliver_ahead;
    let needed = frees.iter().filter(|free| {
        let takes_it = draft.takes.iter().any(|(part, _)| *part == free.part);
        free.rank == draft.demand.rank && takes_it
    });
    let after = needed.map(|free| calendar.worked(free.available) + ahead);
    after.max().unwrap_or(i64::MIN).max(calendar.worked(view.plant.settings.as_of))
}

fn placed(view: &View, draft: &Draft, task: &Task, slot: Slot) -> Job {
    let calendar = view.plant.calendar_of_shop(&draft.shop);
    let shop = &view.plant.shops[&draft.shop];
    Job {
        draft: draft.clone(),
        release: task.release,
        due: task.due,
        material_need: calendar.starts(slot.start - shop.deliver_ahead),
        available: calendar.ends(slot.finish + shop.transit),
        slot,
    }
}

/// What stands below a job is needed in its shop when it starts.
fn wants_below(view: &View, job: &Job) -> Vec<Want> {
    let calendar = view.plant.calendar_of_shop(&job.draft.shop);
    let ahead = view.plant.shops[&job.draft.shop].deliver_ahead;
    let serve_by = calendar.starts(job.due - job.draft.length - ahead);
    let want = |(part, qty): &(Key, i128)| Want {
        demand: DemandKey {
            part: part.clone(),
            need: job.material_need,
            rank: job.draft.demand.rank,
            to: job.draft.shop.clone(),
        },
        qty: *qty,
        is_extra: false,
        serve_by,
    };
    job.draft.takes.iter().map(want).collect()
}

fn frees_below(job: &Job) -> Vec<Free> {
    let rank = job.draft.demand.rank;
    let given = job.draft.gives.iter().map(|(part, qty)| Free {
        rank,
        part: part.clone(),
        qty: *qty,
        available: job.available,
        giver: Some(job.draft.demand.clone()),
    });
    given.chain(job.draft.frees.iter().cloned()).collect()
}
