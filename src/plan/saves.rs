//! Until when a piece may come without stopping the line: at a station until its unit arrives where it can be fitted at the last,
//! at a shop until the job must begin so that what it brings is in time. Other late material is left aside.
//!
//! Rule `saves-until`.

use super::Settled;
use super::delays::{Shops, delivered};
use crate::base::Moment;
use crate::netting::Demand;
use crate::shops::Job;

/// Until when something may come; the sooner, the less.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Until {
    /// No moment is soon enough: its job waits for itself.
    Never,
    /// Until a moment.
    At(Moment),
    /// Nothing that it brings can stop the line.
    Always,
}

/// For each job until when its material may come.
#[derive(Debug)]
pub(super) struct Saves(Vec<Option<Until>>);

impl Saves {
    /// Of all jobs of a plan.
    pub(super) fn of(plan: &Settled<'_>) -> Self {
        let (jobs, heaps) = (plan.jobs.len(), vec![None; plan.shops().links.heaps.len()]);
        let mut following =
            Following { plan, shops: plan.shops(), found: vec![None; jobs], heaps, open: vec![false; jobs] };
        (0..jobs).for_each(|job| _ = following.material(job));
        Self(following.found)
    }

    /// Until when material that some jobs take may come; `None` where nothing it brings can stop the line, or no moment is soon
    /// enough.
    pub(super) fn of_material(&self, jobs: impl Iterator<Item = u32>) -> Option<Moment> {
        match jobs.filter_map(|job| self.0[job as usize]).min() {
            Some(Until::At(at)) => Some(at),
            _ => None,
        }
    }
}

/// Jobs while it is worked out until when their material may come, each after those that wait for it.
struct Following<'p> {
    plan: &'p Settled<'p>,
    shops: Shops<'p>,
    found: Vec<Option<Until>>,
    /// The same of heaps: until when what a job gives to one may come.
    heaps: Vec<Option<Until>>,
    /// Those that are being looked at: one that is met again waits for itself.
    open: Vec<bool>,
}

impl Following<'_> {
    fn material(&mut self, number: usize) -> Until {
        if let Some(found) = self.found[number] {
            return found;
        }
        if self.open[number] {
            return Until::Never;
        }
        self.open[number] = true;
        let job = &self.plan.jobs[number];
        let heaps = self.shops.links.heaps_from(job).map(|heap| self.heap(heap)).min();
        let until = self.piece(&delivered(job)).min(heaps.unwrap_or(Until::Always));
        let found = self.begin(job, until);
        self.found[number] = Some(found);
        found
    }

    /// Until when what jobs give to a heap may come: many may give to one, so that it is worked out once.
    fn heap(&mut self, heap: u32) -> Until {
        if let Some(found) = self.heaps[heap as usize] {
            return found;
        }
        let takers = &self.shops.links.heaps[heap as usize].takers;
        let until = takers.iter().map(|piece| self.piece(piece)).min().unwrap_or(Until::Always);
        self.heaps[heap as usize] = Some(until);
        until
    }

    /// Until when a piece that a job brings may come.
    fn piece(&mut self, demand: &Demand) -> Until {
        if self.plan.plant.position(demand.to).is_some() {
            return self.plan.on_line().until(demand).map_or(Until::Always, Until::At);
        }
        let takers: Vec<u32> = self.shops.takers(demand).collect();
        takers.into_iter().map(|job| self.material(job as usize)).min().unwrap_or(Until::Always)
    }

    /// Until when a job's material may come so that what it brings is there by a moment.
    fn begin(&self, job: &Job, there: Until) -> Until {
        let Until::At(there) = there else { return there };
        let shop = self.plan.plant.shop(job.shop);
        let calendar = self.plan.plant.calendar(shop.calendar);
        let start = calendar.worked(there) - shop.transit - job.times.length;
        let until = calendar.starts(start - shop.ahead);
        if until.is_real() { Until::At(until) } else { Until::Never }
    }
}
