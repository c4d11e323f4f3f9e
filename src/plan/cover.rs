//! All demands put on delivery runs and covered, part by part.
//!
//! Rule `cover-order`.

use super::account::Accounting;
use super::arrivals::Arrivals;
use super::built::Built;
use super::delays::{Latest, Marks, Shops};
use super::deliveries::Deliveries;
use super::demands::Demands;
use super::exploded::Exploded;
use super::found::{Found, Gathering};
use super::links::Links;
use super::needs::Needs;
use super::on_line::OnLine;
use super::slots::{self, For, Slot, Slots};
use super::supplies::{AskedOfWalk, Ground, Supplies};
use super::{AskedPulls, Refused, Request, packed, range, short_calendar};
use crate::base::{Date, Finding, Moment, PartId, UnitId};
use crate::book::Table;
use crate::check::{Plant, kinds};
use crate::configure::Configured;
use crate::line::Pace;
use crate::shops::{Job, Made, Run};
use crate::supply::Supply;
use crate::waves::{self, Runs};
use itertools::{Itertools, MinMaxResult};
use std::collections::HashMap;

/// Every need has the run it goes with, and what has been delivered is left out; of every part it is known who asks for it.
pub(super) struct Demanded<'a> {
    pub(super) plant: &'a Plant,
    pub(super) pace: Pace,
    pub(super) configured: Configured,
    pub(super) jobs: Vec<Job>,
    pub(super) runs: Runs,
    /// The day of the pull list.
    pub(super) day: Date,
    /// The last unit to leave its line, and when it does.
    pub(super) end: Option<(UnitId, Moment)>,
    pub(super) deliveries: Deliveries<'a>,
    /// Who waits for which job.
    pub(super) links: Links,
    pub(super) source: Supplies,
}

impl<'a> Demanded<'a> {
    /// Puts needs on runs, and sorts by part what asks for it.
    pub(super) fn of(built: Built<'a>, request: &Request) -> Result<Self, Refused> {
        let Built { exploded, needs, mut run } = built;
        let plant = exploded.plant;
        let mut wanted = slots::wanted(&exploded, &run.jobs, &needs.extras);
        let runs = delivery_runs(plant, &wanted, &needs, &run).map_err(|finding| vec![*finding])?;
        let delivered =
            |need: Moment| plant.delivered_to.zip(runs.serving(need)).is_some_and(|(to, run)| run.leaves <= to);
        // An extra always stands.
        wanted.retain(|(slot, what)| matches!(what, For::Extra(_)) || !delivered(slot.need));
        let Exploded { pace, configured, explosions, .. } = exploded;
        let owners = &pace.owners;
        if let Some(finding) = range::too_many_slots(plant, owners.len()) {
            return Err(vec![finding]);
        }
        let slots = Slots::of(wanted, plant, owners.len(), run.jobs.len(), needs.extras.len());
        let made = made(&needs, &mut run);
        let demands = Demands::of(plant, owners, explosions, slots, &run.jobs, &needs.extras);
        if let Some(finding) = range::too_many_demands(plant, demands.count_where_many()) {
            return Err(vec![finding]);
        }
        let source = Supplies::of(Ground { plant, owners, runs: &runs }, demands, made, run.lots);
        let links = Links::of(plant, &run.jobs, source.demands.slots_and_extras(), source.by_products(plant, &runs));
        let day = request.day.or_else(|| waves::next_pull_day(plant)).unwrap_or_else(|| plant.as_of.date());
        let (end, deliveries) = (sequence_end(plant, &pace), Deliveries::of(plant));
        Ok(Self { plant, pace, configured, jobs: run.jobs, runs, day, end, deliveries, links, source })
    }
}

/// Every demand is covered, and of every part it is known what that comes to.
pub(super) struct Supplied<'a> {
    pub(super) demanded: Demanded<'a>,
    pub(super) found: Found,
    /// For each job when the last of its material is there that is not in time for its run.
    pub(super) of_jobs: Latest,
    /// For each slot when the last of what is needed there is there that is late.
    pub(super) at_slots: Latest,
    /// Which pulls were packed.
    pub(super) asked: AskedPulls,
}

impl<'a> Supplied<'a> {
    /// Covers all parts once: on the way pulls are packed, and what pieces do at stations is summed up.
    pub(super) fn of(mut demanded: Demanded<'a>, request: &Request) -> Self {
        let Demanded { plant, pace, jobs, runs, day, end, deliveries, links, source, .. } = &mut demanded;
        let plant = *plant;
        let slots = source.demands.slots().len();
        let (of_jobs, at_slots, never_there) = (Latest::of(jobs.len()), Latest::of(slots), Marks::of(slots));
        let on = OnLine { plant, pace };
        let with = Gathering {
            shops: Shops { plant, jobs, links },
            runs,
            materials: &of_jobs,
            at_slots: &at_slots,
            never_there: &never_there,
            on,
            arrivals: &Arrivals::of(on),
        };
        let accounting = Accounting { plant, deliveries, runs, end: end.map_or(*day, |(_, leaves)| leaves.date()) };
        let ground = Ground { plant, owners: &pace.owners, runs };
        let pulls = match request.pulls {
            AskedPulls::All => Moment::NEVER,
            AskedPulls::UpToDay => packed::after_day(plant, runs, *day),
            AskedPulls::None => Moment::BEFORE_ALL,
        };
        let found = source.walk(ground, accounting, with, AskedOfWalk { held: request.most_held, pulls });
        Self { demanded, found, of_jobs, at_slots, asked: request.pulls }
    }
}

/// The supplies of parts that are made, as the shops have covered them, and the demands for by-products.
fn made(needs: &Needs, run: &mut Run) -> HashMap<PartId, Supply> {
    let makes = std::mem::take(&mut run.makes).into_iter();
    let supply = |Made { demands, pegs, on_hand }| Supply { demands, pegs, begins: on_hand, ..Supply::default() };
    let mut made: HashMap<PartId, Supply> = makes.map(|(part, made)| (part, supply(made))).collect();
    for demand in needs.asked.by_products.iter().chain(&run.by_products) {
        made.entry(demand.part).or_default().demands.push(*demand);
    }
    made
}

/// The last unit to leave its line, and when it does.
fn sequence_end(plant: &Plant, pace: &Pace) -> Option<(UnitId, Moment)> {
    let units = pace.owners.iter().filter(|owner| owner.planned).filter_map(|owner| owner.unit);
    let leaves = units.filter_map(|unit| pace.enters(plant, unit).and(Some((unit, pace.leaves_line(plant, unit)?))));
    leaves.max_by_key(|(_, leaves)| *leaves)
}

/// Whether all times of a job lie within its shop's calendar.
fn within_calendar(plant: &Plant, job: &Job) -> bool {
    let calendar = plant.calendar(plant.shop(job.shop).calendar);
    let times = [job.times.release, job.times.due, job.slot.start].map(|work| calendar.starts(work));
    times.into_iter().chain([job.available]).all(Moment::is_real)
}

/// The finding of a job that the calendar of its shop does not reach.
fn endless(plant: &Plant, job: &Job) -> Finding {
    let (part, shop) = (plant.part(job.part), &plant.shop_dest(job.shop).code);
    let message = format!(
        "a job of {} {} ends after the year 2399, or later than the calendar of {shop} reaches: its own time and that of the \
         jobs before it are too long",
        job.qty, part.uom
    );
    Finding::new(&kinds::SHORT_CALENDAR, plant.place(Table::Parts, part.row, "part"), &part.code, message)
}

/// The delivery runs of all needs.
fn delivery_runs(plant: &Plant, wanted: &[(Slot, For)], needs: &Needs, run: &Run) -> Result<Runs, Box<Finding>> {
    let made = run.makes.values().flat_map(|made| &made.demands);
    let others = needs.asked.by_products.iter().chain(made).map(|demand| demand.need);
    let (first, last) = match wanted.iter().map(|(slot, _)| slot.need).chain(others).minmax() {
        MinMaxResult::NoElements => (plant.as_of, plant.as_of),
        MinMaxResult::OneElement(need) => (need, need),
        MinMaxResult::MinMax(first, last) => (first, last),
    };
    if let Some(job) = run.jobs.iter().find(|job| !within_calendar(plant, job)) {
        return Err(Box::new(endless(plant, job)));
    }
    let receipts = plant.receipts.iter().map(|receipt| receipt.available);
    if receipts.chain([first, last]).any(|time| !time.is_real()) {
        let message = "the calendar of the line or the stores does not reach as far as the plan does, or the plan would end after the year 2399";
        return Err(Box::new(short_calendar(plant, message.to_owned())));
    }
    let runs = Runs::between(plant, first, last);
    if runs.serving(first).is_none_or(|run| !run.picked.is_real()) {
        let message = format!("the stores' calendar has no delivery run before the first need, {first}");
        return Err(Box::new(short_calendar(plant, message)));
    }
    Ok(runs)
}
