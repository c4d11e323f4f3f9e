//! When what covers a piece is there, once each job has moved behind the last of its material.
//!
//! Rule `waiting-jobs`.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use super::shops::{Job, Run};
use super::supply::{Cover, Peg};
use super::wants::{DemandKey, View};
use super::waves::wave_before;

/// The plan as the moves of its jobs see it.
pub struct Moved<'a> {
    view: &'a View<'a>,
    run: &'a Run,
    pegs: &'a [Peg],
    /// When what each job delivers is there, by the job's demand; none: nothing says when.
    found: RefCell<BTreeMap<DemandKey, Option<i64>>>,
    /// Jobs that are being looked at: one that is met again waits for itself.
    under_way: RefCell<BTreeSet<DemandKey>>,
    /// Jobs that wait for themselves.
    circles: RefCell<BTreeSet<DemandKey>>,
}

/// When what each job delivers is there; none where nothing says when.
pub fn there(view: &View, run: &Run, pegs: &[Peg]) -> BTreeMap<DemandKey, Option<i64>> {
    let moved = Moved::new(view, run, pegs);
    run.jobs.iter().map(|job| (job.draft.demand.clone(), moved.delivered(&job.draft.demand))).collect()
}

impl Moved<'_> {
    pub fn new<'a>(view: &'a View<'a>, run: &'a Run, pegs: &'a [Peg]) -> Moved<'a> {
        Moved { view, run, pegs, found: Default::default(), under_way: Default::default(), circles: Default::default() }
    }

    pub fn job_of(&self, demand: &DemandKey) -> &Job {
        self.run.jobs.iter().find(|job| job.draft.demand == *demand).expect("a job of this demand")
    }

    /// What stands below the job and is needed in the shop when it starts; a begun job has its material.
    pub fn material(&self, job: &Job) -> Vec<&Peg> {
        let below = |peg: &&Peg| {
            let DemandKey { rank, to, need, .. } = &peg.demand;
            let is_there = *rank == job.draft.demand.rank && *to == job.draft.shop && *need == job.material_need;
            is_there && takes(job, &peg.demand.part)
        };
        match job.draft.started {
            Some(_) => Vec::new(),
            None => self.pegs.iter().filter(below).collect(),
        }
    }

    /// The jobs that start with what a demand in a shop brings.
    pub fn jobs_above(&self, demand: &DemandKey) -> Vec<&Job> {
        let jobs = self.run.jobs.iter().filter(|job| job.draft.started.is_none());
        let above = |job: &&Job| {
            let (shop, rank) = (&job.draft.shop, job.draft.demand.rank);
            let is_there = *shop == demand.to && rank == demand.rank && job.material_need == demand.need;
            is_there && takes(job, &demand.part)
        };
        jobs.filter(above).collect()
    }

    /// Whether a piece comes from a job that itself waits for it.
    pub fn waits_for_itself(&self, peg: &Peg) -> bool {
        let from = if matches!(peg.cover, Cover::Job(_)) { std::slice::from_ref(&peg.demand) } else { &peg.givers };
        from.iter().any(|demand| self.circles.borrow().contains(demand))
    }

    /// When the cover of a piece is there; none where nothing says when. What lies in the plant is there from ever.
    pub fn there(&self, peg: &Peg) -> Option<i64> {
        match &peg.cover {
            Cover::Lying(_) => Some(i64::MIN),
            Cover::Receipt(_) => peg.available,
            Cover::Job(_) => self.delivered(&peg.demand),
            Cover::ByProduct => {
                let given = peg.givers.iter().map(|giver| self.delivered(giver));
                latest(given.chain([peg.available]))
            }
            Cover::Nothing => None,
        }
    }

    /// Whether a piece is not there: a receipt when picking starts, what is not picked when it is needed.
    pub fn is_missing(&self, peg: &Peg) -> bool {
        let latest = match &peg.cover {
            Cover::Receipt(_) => wave_before(self.view.plant, peg.demand.need).pick_start,
            _ => peg.demand.need,
        };
        self.there(peg).is_none_or(|there| there > latest)
    }

    /// When what a job delivers is there.
    fn delivered(&self, demand: &DemandKey) -> Option<i64> {
        let found = self.found.borrow().get(demand).copied();
        if let Some(found) = found {
            return found;
        }
        if !self.under_way.borrow_mut().insert(demand.clone()) {
            self.circles.borrow_mut().insert(demand.clone());
            return None;
        }
        let there = self.delivered_after_material(self.job_of(demand));
        self.under_way.borrow_mut().remove(demand);
        self.found.borrow_mut().insert(demand.clone(), there);
        there
    }

    /// The start moves to when the last piece is there and delivered, the finish and the transit with it.
    fn delivered_after_material(&self, job: &Job) -> Option<i64> {
        let (shop, calendar) =
            (&self.view.plant.shops[&job.draft.shop], self.view.plant.calendar_of_shop(&job.draft.shop));
        let mut start = job.slot.start;
        for peg in self.material(job) {
            if self.is_missing(peg) {
                start = start.max(calendar.worked(self.there(peg)?) + shop.deliver_ahead);
            }
        }
        let finish = start + (job.slot.finish - job.slot.start);
        Some(calendar.ends(finish + shop.transit))
    }
}

/// Whether a part stands below a job.
fn takes(job: &Job, part: &str) -> bool {
    job.draft.takes.iter().any(|(taken, _)| taken == part)
}

/// The latest moment; none where one of them is not known.
fn latest(moments: impl Iterator<Item = Option<i64>>) -> Option<i64> {
    moments.collect::<Option<Vec<i64>>>().and_then(|moments| moments.into_iter().max())
}
