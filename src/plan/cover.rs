//! Everything after the shops: all demands covered, units and jobs judged, material put on delivery runs.

use super::consequences;
use super::demands::Demands;
use super::needs::{Needs, Stage};
use super::packed;
use super::range;
use super::slots::{self, For, Slot, Slots};
use super::standing::Standing;
use super::supplies::{Ground, Supplies};
use super::{Plan, Request, UnitPlan, UnitState, short_calendar};
use crate::base::{Finding, Moment, OwnerId, PartId, UnitId, fold};
use crate::check::Plant;
use crate::configure::{self, Configured};
use crate::line::Pace;
use crate::shops::{Job, Run};
use crate::supply::Supply;
use crate::waves::{self, Runs};
use itertools::{Itertools, MinMaxResult};
use rayon::prelude::*;
use std::collections::HashMap;
use std::sync::OnceLock;

/// How many days from the pull list's on a large plan keeps in any case: what the sheets speak of.
const DAYS_KEPT: i32 = 8;

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
        let least = day.max(plant.as_of.date()).plus(DAYS_KEPT).midnight();
        let (pace, configured) = (self.pace, self.configured);
        let demands = Demands::of(plant, &owners, self.explosions, slots, &run.jobs, &needs.extras);
        if let Some(finding) = range::too_many_demands(plant, demands.count_where_many()) {
            return Err(Box::new(finding));
        }
        let mut source = Supplies::of(ground, demands, made, lots);
        let found = source.walk(ground, request.keep, least);
        let materials = run.jobs.iter().map(|job| found.standing.material(plant, job)).collect();
        let units = unit_plans(plant, &pace, &configured, &found.standing);
        let job_order = job_order(plant, &run.jobs);
        let mut plan = Plan {
            plant,
            pace,
            units,
            supplies: found.kept,
            jobs: run.jobs,
            job_order,
            materials,
            pulls: Vec::new(),
            lacks: found.standing.lacks(),
            runs,
            day,
            consequences: Vec::new(),
            set_aside: Vec::new(),
            doubtful: found.doubtful,
            by_owner: OnceLock::new(),
            source,
            packed: found.pulls,
            walking_order: packed::walking_order(plant),
        };
        plan.pulls = plan.pulls_up_to_day();
        plan.consequences = consequences::of(&plan, &plan.doubtful);
        Ok(plan)
    }
}

/// The supplies of parts that are made, as the shops have covered them, and the demands for by-products.
fn made(needs: &Needs, run: &mut Run) -> HashMap<PartId, Supply> {
    let makes = std::mem::take(&mut run.makes).into_iter();
    let mut made: HashMap<PartId, Supply> =
        makes.map(|(part, (demands, pegs))| (part, Supply { demands, pegs, ..Supply::default() })).collect();
    for demand in needs.asked.by_products.iter().chain(&run.by_products) {
        made.entry(demand.part).or_default().demands.push(*demand);
    }
    made
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

/// The delivery runs of all needs.
fn delivery_runs(plant: &Plant, wanted: &[(Slot, For)], needs: &Needs, run: &Run) -> Result<Runs, Box<Finding>> {
    let made = run.makes.values().flat_map(|(demands, _)| demands);
    let others = needs.asked.by_products.iter().chain(made).map(|demand| demand.need);
    let (first, last) = match wanted.iter().map(|(slot, _)| slot.need).chain(others).minmax() {
        MinMaxResult::NoElements => (plant.as_of, plant.as_of),
        MinMaxResult::OneElement(need) => (need, need),
        MinMaxResult::MinMax(first, last) => (first, last),
    };
    let jobs = run.jobs.iter().flat_map(|job| {
        let calendar = plant.calendar(plant.shop(job.shop).calendar);
        [
            calendar.starts(job.times.release),
            calendar.starts(job.times.due),
            calendar.starts(job.slot.start),
            job.available,
        ]
    });
    let receipts = plant.receipts.iter().map(|receipt| receipt.available);
    if jobs.chain(receipts).chain([first, last]).any(|time| !time.is_real()) {
        let message = "a calendar of the line, a shop or the stores does not reach as far as the plan does, or the plan would end after the year 2399";
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
