//! Everything after the shops: all demands covered, units and jobs judged, material put on delivery runs.
//!
//! Rules `cover-order`, `unit-states`.

use super::account::Accounting;
use super::arrivals::Arrivals;
use super::delays::{Latest, Marks, Moved, Shops};
use super::deliveries::Deliveries;
use super::demands::Demands;
use super::effects::Effects;
use super::found::Gathering;
use super::goods::Goods;
use super::links::Links;
use super::needs::{Needs, Stage};
use super::on_line::OnLine;
use super::packed;
use super::range;
use super::slots::{self, For, Slot, Slots};
use super::standing::Standing;
use super::supplies::{Ground, Supplies};
use super::{Plan, Request, UnitPlan, UnitState, short_calendar};
use crate::base::{Finding, Moment, OwnerId, PartId, UnitId, fold, numbered};
use crate::book::Table;
use crate::check::{Plant, kinds};
use crate::configure::{self, Configured};
use crate::line::Pace;
use crate::shops::{self, Job, Made, Run};
use crate::supply::Supply;
use crate::waves::{self, Runs};
use itertools::{Itertools, MinMaxResult};
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::OnceLock;

impl<'a> Stage<'a> {
    /// Everything after the shops: covers all demands, and tells how units, jobs and pulls stand.
    pub(super) fn finish(self, needs: Needs, mut run: Run, request: &Request) -> Result<Plan<'a>, Box<Finding>> {
        let plant = self.plant;
        let mut wanted = slots::wanted(&self, &run.jobs, &needs.extras);
        let runs = delivery_runs(plant, &wanted, &needs, &run)?;
        let delivered =
            |need: Moment| plant.delivered_to.zip(runs.serving(need)).is_some_and(|(to, run)| run.leaves <= to);
        // An extra always stands.
        wanted.retain(|(slot, what)| matches!(what, For::Extra(_)) || !delivered(slot.need));
        let owners = self.pace.owners.clone();
        if let Some(finding) = range::too_many_slots(plant, owners.len()) {
            return Err(Box::new(finding));
        }
        let slots = Slots::of(wanted, plant, owners.len(), run.jobs.len(), needs.extras.len());
        let made = made(&needs, &mut run);
        let lots = std::mem::take(&mut run.lots);
        let ground = Ground { plant, owners: &owners, runs: &runs };
        let day = request.day.or_else(|| waves::next_pull_day(plant)).unwrap_or_else(|| plant.as_of.date());
        let (pace, configured) = (self.pace, self.configured);
        let demands = Demands::of(plant, &owners, self.explosions, slots, &run.jobs, &needs.extras);
        if let Some(finding) = range::too_many_demands(plant, demands.count_where_many()) {
            return Err(Box::new(finding));
        }
        let mut source = Supplies::of(ground, demands, made, lots);
        let end = sequence_end(plant, &pace);
        let deliveries = Deliveries::of(plant);
        let end_day = end.map_or(day, |(_, leaves)| leaves.date());
        let accounting = Accounting { plant, deliveries: &deliveries, runs: &runs, end: end_day };
        let links = Links::of(plant, &run.jobs, source.demands.slots_and_extras(), source.by_products(plant, &runs));
        let waiting = Shops { plant, jobs: &run.jobs, links: &links };
        let (of_jobs, at_slots) = (Latest::of(run.jobs.len()), Latest::of(source.demands.slots().len()));
        let on = OnLine { plant, pace: &pace };
        let arrivals = Arrivals::of(on);
        let never_there = Marks::of(source.demands.slots().len());
        let with = Gathering {
            shops: waiting,
            runs: &runs,
            materials: &of_jobs,
            at_slots: &at_slots,
            never_there: &never_there,
            on,
            arrivals: &arrivals,
        };
        let found = source.walk(ground, accounting, with, request.most_held);
        drop(arrivals);
        let there = waiting.settled(&of_jobs);
        let heaps = 0..numbered(links.heaps.len());
        let heaps_there = heaps.map(|heap| waiting.heap_there(heap, |job| there[job as usize])).collect();
        let material = |job: &Job| {
            let to = plant.shop(job.shop).dest;
            let slot = Slot { need: shops::material_need(plant, job), owner: job.owner, to };
            let at_slot = source.demands.find(slot).and_then(|slot| at_slots.last(slot));
            found.standing.material(plant, job, at_slot)
        };
        let materials = run.jobs.iter().map(material).collect();
        let units = unit_plans(plant, &pace, &configured, &found.standing);
        let job_order = job_order(plant, &run.jobs);
        let mut plan = Plan {
            plant,
            pace,
            units,
            jobs: run.jobs,
            job_order,
            materials,
            pulls: Vec::new(),
            lacks: found.standing.lacks(),
            runs,
            day,
            effects: Effects::default(),
            end,
            deliveries,
            set_aside: Vec::new(),
            doubts: found.doubts,
            troubles: Vec::new(),
            below_heap: links.heaps.iter().map(|_| OnceLock::new()).collect(),
            links,
            below_job: there.iter().map(|_| OnceLock::new()).collect(),
            there,
            heaps_there,
            saves: OnceLock::new(),
            without: OnceLock::new(),
            foreseen: OnceLock::new(),
            none_moved: Moved::default(),
            goods: Goods::of(plant),
            receipts_there: plant.receipts.iter().map(|receipt| receipt.available).collect(),
            by_owner: OnceLock::new(),
            accounts: found.accounts,
            source,
            packed: found.pulls,
            walking_order: packed::walking_order(plant),
        };
        plan.pulls = plan.pulls_up_to_day();
        (plan.effects, plan.troubles) = found.sums.finish(&plan);
        Ok(plan)
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

fn unit_plans(plant: &Plant, pace: &Pace, configured: &Configured, standing: &Standing) -> Vec<UnitPlan> {
    let mut plans: Vec<UnitPlan> = Vec::new();
    for (i, owner) in pace.owners.iter().enumerate().filter(|(_, owner)| owner.planned) {
        let Some(unit) = owner.unit else { continue };
        let times = pace.enters(plant, unit).zip(pace.leaves_line(plant, unit));
        let (options, state) = match &configured[unit.at()] {
            Some(names) => (configure::options_of(plant, names), standing.state(OwnerId::of(i))),
            None => (Vec::new(), UnitState::SetAside),
        };
        plans.push(UnitPlan { unit, options, times, state });
    }
    let held = (0..plant.units.len()).map(UnitId::of).filter(|id| {
        let unit = &plant.units[id.at()];
        unit.hold.is_some() && !unit.done
    });
    let key = |id: &UnitId| {
        let unit = &plant.units[id.at()];
        (fold(&plant.lines[unit.line.at()].code), unit.seq)
    };
    plans.extend(held.sorted_by_cached_key(key).map(|unit| UnitPlan {
        unit,
        options: Vec::new(),
        times: None,
        state: UnitState::Hold,
    }));
    plans
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

/// The order of the jobs' table: shop, start, crew, then as the crew takes them.
fn job_order(plant: &Plant, jobs: &[Job]) -> Vec<u32> {
    let key = |(job, i): (&Job, u32)| (plant.shop(job.shop).dest, job.slot.start, job.slot.crew, job.slot.turn, i);
    let mut order = jobs.iter().zip(0..).map(key).collect_vec();
    order.par_sort_unstable();
    order.into_iter().map(|(.., i)| i).collect()
}
