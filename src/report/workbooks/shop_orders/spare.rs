//! The minutes a shop can lose before its first job is late.
//!
//! Two figures, both exact for the crews and the order of the plan, in the shop's working minutes:
//!
//! - *at any time*: the least, over all jobs, of the due less the finish that follows from the start as soon as its crew can, or,
//!   where its material is late, from that. As long as
//!   each crew loses no more than that in all, whenever it does, every job is done by its due; a crew that loses more just
//!   before the tightest job is done is late with it.
//! - *right now*: how long all crews can stand still from the as-of moment on, and lose nothing afterwards. Time in which a
//!   crew would only wait for a by-product costs nothing, so this figure is never the smaller one.

use super::facts::{ShopFacts, Timed};
use crate::base::Seconds;
use crate::shops::Job;
use std::collections::BTreeMap;

/// What a shop can lose.
pub struct Spare<'p> {
    /// How many jobs are past their due already, or will be for their material.
    pub past_due: usize,
    /// The job with the least to lose among those that are not, and how much that is.
    pub tightest: Option<(Seconds, &'p Job)>,
    /// How long all crews can stand still from now on, jobs that are past their due left out.
    pub now: Option<Seconds>,
}

impl<'p> Spare<'p> {
    /// Of a shop's jobs, that start to be built at `now`.
    pub fn of(jobs: &[Timed<'p>], now: Seconds) -> Self {
        let slack = |job: &Timed<'p>| job.slack().filter(|slack| *slack >= 0);
        let in_time = jobs.iter().filter_map(|job| Some((slack(job)?, job.job)));
        // The first by due of equals, then as the crews take them.
        let tightest = in_time.min_by_key(|(slack, job)| (*slack, job.times.due, job.slot.turn, job.slot.crew));
        Self {
            past_due: jobs.iter().filter(|job| slack(job).is_none()).count(),
            tightest,
            now: stand_still(&jobs.iter().map(|job| job.job).collect::<Vec<_>>(), now),
        }
    }

    /// The minutes for people: nothing where a job is past its due already.
    pub fn before_first_late(&self) -> Option<Seconds> {
        if self.past_due > 0 { Some(0) } else { self.tightest.map(|(slack, _)| slack) }
    }
}

/// The least of the crews: the latest start of its first job such that neither that nor any job behind it is past its due,
/// less now.
fn stand_still(jobs: &[&Job], now: Seconds) -> Option<Seconds> {
    let mut crews: BTreeMap<u32, Vec<&Job>> = BTreeMap::new();
    jobs.iter().for_each(|job| crews.entry(job.slot.crew).or_default().push(job));
    let of_crew = |mut of_crew: Vec<&Job>| {
        of_crew.sort_by_key(|job| job.slot.turn);
        let latest = of_crew.iter().rev().fold(Seconds::MAX, |next, job| {
            let finish = next.min(job.times.due.max(ShopFacts::first_finish(job)));
            finish - job.times.length
        });
        latest - now
    };
    crews.into_values().map(of_crew).min()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::{DestId, Moment, OwnerId, PartId, Quantity, ShopId};
    use crate::shops::{Below, Times, schedule};
    use std::sync::Arc;

    fn jobs(times: &[Times], crews: u32) -> Vec<Job> {
        let placed = schedule(times, 0, crews, 0, None);
        let job = |(times, slot): (&Times, _)| Job {
            shop: ShopId(0),
            part: PartId(0),
            owner: OwnerId(0),
            to: DestId(0),
            need: Moment::NEVER,
            qty: Quantity::whole(1),
            started: false,
            times: *times,
            slot,
            number: 0,
            below: Arc::new(Below::default()),
            available: Moment::NEVER,
        };
        times.iter().zip(placed).map(job).collect()
    }

    fn spare(times: &[(i64, i64, i64)]) -> (Option<i64>, Option<i64>, usize) {
        let times: Vec<Times> = times.iter().map(|&(release, length, due)| Times { release, length, due }).collect();
        let jobs = jobs(&times, 1);
        let timed = |job| Timed { job, done: Some(ShopFacts::first_finish(job)), moves: false };
        let spare = Spare::of(&jobs.iter().map(timed).collect::<Vec<_>>(), 0);
        (spare.tightest.map(|(slack, _)| slack), spare.now, spare.past_due)
    }

    /// Jobs of 20, 70, 45, 70 done at 20, 90, 135, 205 at the earliest, due at 45, 105, 165, 225: 25, 15, 30, 20 are left.
    #[test]
    fn without_waiting_both_figures_are_the_least_slack() {
        let times = [(0, 20, 45), (0, 70, 105), (0, 45, 165), (0, 70, 225)];
        assert_eq!(spare(&times), (Some(15), Some(15), 0));
    }

    /// A crew that waits until 155 for a panel and then needs every minute: nothing to lose later, 155 to lose now.
    #[test]
    fn time_spent_waiting_can_be_lost_now() {
        assert_eq!(spare(&[(155, 75, 230), (275, 75, 350)]), (Some(0), Some(155), 0));
    }

    /// A job of 50 due at 40 is 10 late whatever happens; the one behind it, done at 60, has 30 left, but a stop right now
    /// makes the first one later.
    #[test]
    fn late_jobs_are_counted_and_not_made_later() {
        assert_eq!(spare(&[(0, 50, 40), (0, 10, 90)]), (Some(30), Some(0), 1));
    }
}
