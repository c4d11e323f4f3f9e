//! What the sheets of all shops share: each shop's jobs in build order, its clock, and who each job is for.

use super::cover::Covers;
use super::matter::{self, Matter};
use crate::base::{Calendar, Moment, OwnerId, Quantity, Seconds, ShopId};
use crate::check::{Dest, Shop};
use crate::crew_less::{Less, crew_less};
use crate::plan::{Brought, Plan, There, UnitPlan};
use crate::shops::Job;

/// The plan, with what is looked up often.
pub struct Facts<'p> {
    /// The plan.
    pub plan: &'p Plan<'p>,
    /// What covers the material that shops need by the end of the plan's day.
    pub of_day: Covers,
    /// What one crew less in a shop costs; `None` where that is not worked out.
    pub less: Option<Vec<Less>>,
    /// When jobs' material comes, and with which run.
    pub brought: Brought<'p>,
    matter: Vec<Matter>,
    units: Vec<Option<&'p UnitPlan>>,
}

/// A job, and when it is done if its crew starts every job as soon as it can and late material is waited for.
#[derive(Clone, Copy, Debug)]
pub struct Timed<'p> {
    /// The job.
    pub job: &'p Job,
    /// When it is done, in its shop's working seconds; `None` where nothing says when its material is there.
    pub done: Option<Seconds>,
    /// Whether its material is late, so that it moves.
    pub moves: bool,
}

impl Timed<'_> {
    /// What is left between that and its due; below zero where it is late. `None` where nothing says when it is done.
    pub fn slack(&self) -> Option<Seconds> {
        self.done.map(|done| self.job.times.due - done)
    }

    /// The due by which it counts: its own, or, where its material is late, when it is done.
    pub fn counts_by(&self) -> Option<Seconds> {
        let due = self.job.times.due;
        if self.moves { self.done.map(|done| done.max(due)) } else { Some(due) }
    }
}

/// One shop and its jobs.
pub struct ShopFacts<'p> {
    /// It in the plan.
    pub id: ShopId,
    /// Its crews, transit and so on.
    pub shop: &'p Shop,
    /// Its code and name.
    pub dest: &'p Dest,
    /// Its working time.
    pub calendar: &'p Calendar,
    /// The as-of moment in its working seconds.
    pub now: Seconds,
    /// Its jobs by their index, in build order.
    pub jobs: Vec<usize>,
}

impl<'p> Facts<'p> {
    /// Looks everything up once.
    pub fn of(plan: &'p Plan<'p>) -> Self {
        let mut units = vec![None; plan.plant.units.len()];
        plan.units.iter().for_each(|unit| units[unit.unit.at()] = Some(unit));
        let of_day = Covers::before(plan, plan.day.plus(1).midnight());
        let brought = Brought::of(plan);
        Self { plan, of_day, less: crew_less(plan), brought, matter: matter::of_parts(plan.plant), units }
    }

    /// One shop.
    pub fn shop(&self, id: ShopId) -> ShopFacts<'p> {
        let plant = self.plan.plant;
        let shop = plant.shop(id);
        let calendar = plant.calendar(shop.calendar);
        let order = self.plan.job_order.iter().map(|job| *job as usize);
        let jobs = order.filter(|job| self.plan.jobs[*job].shop == id).collect();
        ShopFacts { id, shop, dest: plant.dest(shop.dest), calendar, now: calendar.worked(plant.as_of), jobs }
    }

    /// A job by its index.
    pub fn job(&self, at: usize) -> &'p Job {
        &self.plan.jobs[at]
    }

    /// The code of whom something is for; blank for nobody.
    pub fn owner(&self, owner: OwnerId) -> &'p str {
        &self.plan.pace.owners[owner.at()].code
    }

    /// The floorplan of whom something is for; blank where there is none.
    pub fn floorplan(&self, owner: OwnerId) -> &'p str {
        let plant = self.plan.plant;
        let unit = self.plan.pace.owners[owner.at()].unit;
        let floorplan = unit.and_then(|unit| plant.units[unit.at()].floorplan.as_ref().ok());
        floorplan.map_or("", |floorplan| &plant.floorplans[floorplan.at()].code)
    }

    /// The options and changes that matter to a job, in words.
    pub fn options(&self, job: &Job) -> String {
        let unit = self.plan.pace.owners[job.owner.at()].unit;
        self.matter[job.part.at()].told(self.plan, job.owner, unit.and_then(|unit| self.units[unit.at()]))
    }
}

impl ShopFacts<'_> {
    /// Its jobs, and when each is done.
    pub fn timed<'p>(&self, facts: &Facts<'p>) -> Vec<Timed<'p>> {
        let timed = |at: &usize| {
            let job = facts.job(*at);
            let moves = facts.plan.job_there(*at) != There::At(job.available);
            let done = match facts.plan.job_there(*at) {
                There::At(there) if moves => Some(self.calendar.worked(there) - self.shop.transit),
                There::At(_) => Some(Self::first_finish(job)),
                There::Unknown => None,
            };
            Timed { job, done, moves }
        };
        self.jobs.iter().map(timed).collect()
    }

    /// A job's finish where it starts as early as it can, in working seconds.
    pub fn first_finish(job: &Job) -> Seconds {
        job.slot.earliest + job.times.length
    }

    /// A job's latest start as the plan prints it.
    pub fn starts(&self, job: &Job) -> Moment {
        self.calendar.starts(job.slot.start)
    }
}

/// Seconds as minutes, cut at the sixth place.
pub fn minutes(seconds: Seconds) -> Quantity {
    let millionths = i128::from(seconds) * i128::from(Quantity::SCALE) / 60;
    Quantity::from_millionths(i64::try_from(millionths).unwrap_or(i64::MAX))
}

/// Whole minutes that are surely there: rounded down.
pub fn whole_minutes(seconds: Seconds) -> i64 {
    seconds.div_euclid(60)
}

/// Whole minutes that are surely enough: rounded up.
pub fn minutes_up(seconds: Seconds) -> i64 {
    -whole_minutes(-seconds)
}

/// `1 job`, `2 jobs`.
pub fn count(number: usize, thing: &str) -> String {
    let plural = if number == 1 { "" } else { "s" };
    format!("{number} {thing}{plural}")
}
