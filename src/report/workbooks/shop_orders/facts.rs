//! What the sheets of all shops share: each shop's jobs in build order, its clock, and who each job is for.

use super::cover::{Covers, material_need};
use super::matter::{self, Matter};
use crate::base::{Calendar, Date, DestId, Moment, OwnerId, PartId, Quantity, Seconds, ShopId};
use crate::check::{Dest, DestKind, Extra, Shop};
use crate::crew_less::{Less, crew_less};
use crate::netting::{Cover, Demand, Peg};
use crate::plan::{Brought, Outcome, Plan, There, UnitPlan};
use crate::shops::Job;
use std::collections::{BTreeSet, HashMap};

/// The plan, with what is looked up often.
pub struct Facts<'p> {
    /// What all sheets are about.
    pub plan: &'p Plan<'p>,
    /// What covers the material that shops need by the end of the last day on paper.
    pub of_day: Covers,
    /// What one crew less in a shop costs; `None` where that is not worked out.
    pub less: Option<Vec<Less>>,
    /// When jobs' material comes, and with which run.
    pub brought: Brought<'p>,
    matter: Vec<Matter>,
    units: Vec<Option<&'p UnitPlan>>,
    /// Rows of extras by what they ask for, for whom and where.
    extras: HashMap<(PartId, OwnerId, DestId), Vec<&'p Extra>>,
    /// Jobs by whom they are for and a by-product that comes off them.
    gives: HashMap<(OwnerId, PartId), Vec<usize>>,
}

/// A job, and when it is done if its crew starts every job as soon as it can and late material is waited for.
#[derive(Clone, Copy, Debug)]
pub struct Timed<'p> {
    /// As the plan places it.
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
        let shops = plan.plant.shops.iter().map(|shop| next_day(plan, plan.plant.calendar(shop.calendar)));
        let last = shops.flatten().max().unwrap_or(plan.day);
        let of_day = Covers::before(plan, last.plus(1).midnight());
        let brought = Brought::of(plan);
        let mut extras: HashMap<(PartId, OwnerId, DestId), Vec<&Extra>> = HashMap::new();
        for (extra, owner) in plan.plant.extras.iter().zip(&plan.pace.extra_owners) {
            extras.entry((extra.part, *owner, extra.to)).or_default().push(extra);
        }
        let mut gives: HashMap<(OwnerId, PartId), Vec<usize>> = HashMap::new();
        for (at, job) in plan.jobs.iter().enumerate() {
            job.below.gives.iter().for_each(|give| gives.entry((job.owner, give.0)).or_default().push(at));
        }
        Self {
            plan,
            of_day,
            less: crew_less(plan),
            brought,
            matter: matter::of_parts(plan.plant),
            units,
            extras,
            gives,
        }
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

/// The shop that gives something, and when it is free there, where that is known.
pub type Giver = (ShopId, Option<Moment>);

impl Facts<'_> {
    /// Why a job is not for the bills: the reason of the row of extras that asks for it; `None` of another.
    pub fn extra(&self, job: &Job) -> Option<&str> {
        let rows = self.extras.get(&(job.part, job.owner, job.to))?;
        let asks = |extra: &&&Extra| extra.needed.is_none_or(|need| need == job.need);
        rows.iter().find(asks).map(|extra| extra.reason.as_str())
    }

    /// Which shop gives a piece of a demand, and when it is free there; `None` of what no job gives. What comes off several jobs at one
    /// moment is there with the last.
    pub fn giver(&self, demand: &Demand, peg: &Peg) -> Option<Giver> {
        let gives = |available: Option<Moment>| {
            let jobs = self.gives.get(&(demand.owner, demand.part))?.iter().copied();
            let then = jobs.filter(|at| Some(self.job(*at).available) == available);
            then.max_by_key(|at| self.plan.job_there(*at))
        };
        let job = match peg.cover {
            Cover::Job(job) => job as usize,
            Cover::ByProduct => gives(peg.available)?,
            _ => return None,
        };
        let shop = self.plan.plant.shop(self.job(job).shop);
        let calendar = self.plan.plant.calendar(shop.calendar);
        let free = self.plan.job_there(job).moment().map(|there| calendar.ends(calendar.worked(there) - shop.transit));
        Some((self.job(job).shop, free))
    }

    /// What the line loses for what a job builds: where it goes to another shop, for what that makes of it.
    pub fn cost(&self, at: usize) -> String {
        let mut ends = BTreeSet::new();
        self.follow(at, &mut ends);
        let parts: BTreeSet<PartId> = ends.iter().map(|end| end.0).collect();
        let rows = parts.into_iter().flat_map(|part| self.plan.consequences_of(part));
        let rows = rows.filter(|row| ends.contains(&(row.part, row.owner, row.to))).collect::<Vec<_>>();
        let no_end = rows.iter().any(|row| row.outcome == Outcome::StopsTheLine && row.stop_minutes.is_none());
        let adds = rows.iter().filter_map(|row| self.plan.adds_seconds(row)).sum::<Seconds>();
        let (adds, alone) = (minutes_up(adds), minutes_up(self.plan.loss_of(rows.iter()).by_dates()));
        let behind =
            rows.iter().find_map(|row| self.plan.behind(row)).map(|unit| format!(", behind {}", self.owner(unit)));
        let known = match (adds, alone) {
            (0, 0) => None,
            (adds, alone) if adds == alone => Some(format!("{adds} min")),
            (adds, alone) => Some(format!("{adds} min{}; {alone} by itself", behind.unwrap_or_default())),
        };
        let no_end = no_end.then(|| "a stop with no known end".to_owned());
        let told = known.into_iter().chain(no_end).collect::<Vec<_>>().join(", and ");
        if told.is_empty() { "nothing".to_owned() } else { told }
    }

    /// Where what a job builds ends: at a station, by itself or as part of what another shop makes of it.
    fn follow(&self, at: usize, ends: &mut BTreeSet<(PartId, OwnerId, DestId)>) {
        let job = self.job(at);
        let DestKind::Shop(shop) = self.plan.plant.dest(job.to).what else {
            ends.insert((job.part, job.owner, job.to));
            return;
        };
        let takes = |taker: &Job| {
            let own = taker.shop == shop && taker.owner == job.owner && !taker.started;
            own && material_need(self.plan, taker) == job.need
                && taker.below.needs.iter().any(|need| need.0 == job.part)
        };
        let takers = self.plan.jobs.iter().enumerate().filter(|(_, taker)| takes(taker));
        takers.for_each(|(taker, _)| self.follow(taker, ends));
    }
}

/// The next day after the plan's on which a calendar has working time.
fn next_day(plan: &Plan<'_>, calendar: &Calendar) -> Option<Date> {
    let end = plan.day.plus(1).midnight();
    let next = calendar.starts(calendar.worked(end));
    next.is_real().then(|| next.date().max(plan.day.plus(1)))
}

impl ShopFacts<'_> {
    /// The days on paper: the plan's, before it today where a job is to begin before that, and the shop's next working day.
    pub fn days(&self, facts: &Facts<'_>) -> Vec<Date> {
        let plan = facts.plan;
        let today = plan.plant.as_of.date();
        let before = self.jobs.iter().any(|at| self.day_of(facts, *at) < plan.day);
        let first = Some(today).filter(|_| before);
        first.into_iter().chain([plan.day]).chain(next_day(plan, self.calendar)).collect()
    }

    /// The day on paper on which a job is to begin.
    pub fn day_of(&self, facts: &Facts<'_>, at: usize) -> Date {
        let date = self.starts(facts.job(at)).date();
        if date < facts.plan.day { facts.plan.plant.as_of.date() } else { date }
    }

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

/// A moment on a page of a day, its seconds left out so that nobody is told a later one: its clock; in the days around it the weekday as
/// well, else the date.
pub fn on(moment: Moment, day: Date) -> String {
    let whole = Moment::from_seconds(moment.seconds().div_euclid(60) * 60);
    match whole.date().days() - day.days() {
        0 => whole.clock(),
        -3..=6 => format!("{} {}", &whole.short()[..3], whole.clock()),
        _ => whole.short(),
    }
}

/// The first whole minute that is not before a moment.
pub fn whole_minute_up(moment: Moment) -> Moment {
    Moment::from_seconds(-(-moment.seconds()).div_euclid(60) * 60)
}
