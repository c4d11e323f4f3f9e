//! What comes late and what the line loses where a shop has one crew less for a while: the whole plan made anew.

use crate::base::{DestId, Moment, OwnerId, PartId, ShopId};
use crate::check::{CrewLess, Plant};
use crate::plan::{self, AskedPulls, Late, Plan, Request, Worth};
use rayon::prelude::*;
use std::collections::HashMap;

/// So many demands are planned anew in all.
const MOST_DEMANDS: usize = 24_000_000;

/// A shop with one crew less for a while.
#[derive(Clone, Debug)]
pub struct Less {
    /// The shop and the time.
    pub when: CrewLess,
    /// Whether it is less for what is left of the day, not from its first break on.
    pub all_day: bool,
    /// The jobs that come late, or later than in the plan as it is, by their place there and in the order of the list; how late each is.
    pub late: Vec<(usize, Late)>,
    /// What the line then loses.
    pub worth: Worth,
}

/// For each shop today and on the next day on which it works, all day and from the first break on. `None` where a plan is too large
/// to be made anew so often.
pub fn crew_less(plan: &Plan<'_>) -> Option<Vec<Less>> {
    let shops = (0..plan.plant.shops.len()).map(ShopId::of);
    let all: Vec<(CrewLess, bool)> = shops.flat_map(|shop| times(plan.plant, shop)).collect();
    if plan.demands_at_most().saturating_mul(all.len()) > MOST_DEMANDS {
        return None;
    }
    Some(all.into_par_iter().filter_map(|(when, all_day)| less(plan, when, all_day)).collect())
}

/// The times at which it is looked at; none that is past.
fn times(plant: &Plant, shop: ShopId) -> Vec<(CrewLess, bool)> {
    let (calendar, now) = (plant.calendar(plant.shop(shop).calendar), plant.as_of);
    let today = now.date();
    let next = calendar.open_day_from(today.plus(1));
    let mut times = Vec::new();
    for day in [today, next] {
        let until = day.plus(1).midnight();
        let from = |at: Moment| CrewLess { shop, from: at, until };
        let starts =
            [(Some(day.midnight().max(now)), true), (calendar.after_first_break(day).filter(|at| *at > now), false)];
        let works = |at: &Moment| calendar.worked(until) > calendar.worked(*at);
        times.extend(starts.into_iter().filter_map(|(at, all_day)| Some((from(at.filter(works)?), all_day))));
    }
    times
}

/// What tells a job from others.
type Key = (OwnerId, PartId, DestId, u32);

fn key(plan: &Plan<'_>, number: usize) -> Key {
    let job = &plan.jobs[number];
    (job.owner, job.part, job.to, job.number)
}

fn less(plan: &Plan<'_>, when: CrewLess, all_day: bool) -> Option<Less> {
    let mut plant = plan.plant.clone();
    plant.crews_less.retain(|less| less.shop != when.shop);
    plant.crews_less.push(when);
    let request = Request { day: Some(plan.day), set_aside: true, most_held: Some(0), pulls: AskedPulls::None };
    let then = plan::plan(&plant, &request).0?;
    let known: HashMap<Key, Late> = (0..then.jobs.len()).map(|job| (key(&then, job), then.job_late(job))).collect();
    let later = |job: usize| Some((job, *known.get(&key(plan, job))?)).filter(|(_, late)| *late > plan.job_late(job));
    let late = plan.job_order.iter().filter_map(|job| later(*job as usize)).collect();
    Some(Less { when, all_day, late, worth: Worth::of_plan(&then) })
}
