//! Until when a piece saves the line: from the station at which its unit must have it back through the jobs that bring it there.
//!
//! Rule `saves-until`.

use super::consequences::Look;
use super::shops::Job;
use super::wants::DemandKey;

/// Until when something may come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Until {
    /// What it brings waits for itself and is never there.
    Never,
    Clock(i64),
    /// Nothing stops for it.
    Always,
}

impl Until {
    pub fn clock(self) -> Option<i64> {
        match self {
            Self::Clock(clock) => Some(clock),
            Self::Never | Self::Always => None,
        }
    }
}

impl Look<'_> {
    /// Until when a demand's piece may be there; `above` are the demands through which it was reached.
    pub fn saves_until(&self, demand: &DemandKey, above: &[DemandKey]) -> Until {
        if self.view.plant.stations.contains_key(&demand.to) {
            let last = &self.view.plant.stations[&self.fit_by(demand)];
            return match self.has_left(demand) {
                true => Until::Always,
                false => {
                    Until::Clock(self.view.arrives(demand.rank, last.position) - self.view.plant.settings.hand_over)
                }
            };
        }
        let jobs = self.moved.jobs_above(demand).into_iter();
        jobs.map(|job| self.job_saves_until(job, above)).min().unwrap_or(Until::Always)
    }

    /// Until when a job's material may be there.
    fn job_saves_until(&self, job: &Job, above: &[DemandKey]) -> Until {
        let own = &job.draft.demand;
        if above.contains(own) {
            return Until::Never;
        }
        let above = [above, std::slice::from_ref(own)].concat();
        let shop = &self.view.plant.shops[&job.draft.shop];
        let calendar = self.view.plant.calendar_of_shop(&job.draft.shop);
        let material = self.delivered_by(job).map(|peg| match self.saves_until(&peg.demand, &above) {
            Until::Clock(clock) => {
                let finish = calendar.worked(clock) - shop.transit;
                let start = finish - (job.slot.finish - job.slot.start);
                Until::Clock(calendar.starts(start - shop.deliver_ahead))
            }
            other => other,
        });
        material.min().unwrap_or(Until::Always)
    }
}
