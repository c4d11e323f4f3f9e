//! Everything after the shops: all demands covered, units and jobs judged, material put on delivery runs.

use super::needs::{Needs, Stage};
use super::standing::Standing;
use super::{Plan, Request, UnitPlan, UnitState, short_calendar};
use crate::base::{Finding, OwnerId, PartId, StorageKey, UnitId, fold};
use crate::check::Plant;
use crate::configure;
use crate::netting::{Demand, Lot, Peg, Stocks};
use crate::pulls::{self, Pull};
use crate::shops::{Job, Run};
use crate::supply::{self, Supply};
use crate::waves::{self, Runs};
use itertools::{Itertools, MinMaxResult};
use rayon::prelude::*;
use std::collections::HashMap;

/// One part's share of the work: its demands, stock and by-products, and what the shops have covered of it already.
struct Share {
    demands: Vec<Demand>,
    stocks: Stocks,
    lots: HashMap<OwnerId, Vec<Lot>>,
    made: Option<(Vec<Demand>, Vec<Peg>)>,
}

impl<'a> Stage<'a> {
    /// Everything after the shops: covers all demands, and tells how units, jobs and pulls stand.
    pub(super) fn finish(self, needs: Needs, mut run: Run, request: &Request) -> Result<Plan<'a>, Box<Finding>> {
        let plant = self.plant;
        let runs = delivery_runs(plant, &needs, &run)?;
        let supplies = self.cover(needs, &mut run, &runs);
        let pulls = all_pulls(plant, &supplies, &runs);
        let standing = Standing::of(plant, &supplies);
        let materials = run.jobs.iter().map(|job| standing.material(plant, job)).collect();
        let units = self.unit_plans(&standing);
        let job_order = job_order(plant, &run.jobs);
        let day = request.day.or_else(|| waves::next_pull_day(plant)).unwrap_or_else(|| plant.as_of.date());
        let Self { pace, .. } = self;
        Ok(Plan {
            plant,
            pace,
            units,
            supplies,
            jobs: run.jobs,
            job_order,
            materials,
            pulls,
            runs,
            day,
            set_aside: Vec::new(),
        })
    }

    /// Covers each part's demands; parts one beside the other, each by itself.
    fn cover(&self, needs: Needs, run: &mut Run, runs: &Runs) -> Vec<Supply> {
        let plant = self.plant;
        let left = |demand: &Demand| {
            let delivered = plant.delivered_to.zip(runs.serving(demand.need)).is_some_and(|(to, run)| run.leaves <= to);
            !delivered
        };
        let mut demands: Vec<Vec<Demand>> = vec![Vec::new(); plant.parts.len()];
        let below = run.needs.iter().map(|need| need.demand);
        let (by_products, bought): (Vec<_>, Vec<_>) = below.partition(|demand| !plant.part(demand.part).bought());
        let from_bills = needs.bought.into_iter().chain(bought).filter(left);
        for demand in from_bills.chain(needs.extras).chain(needs.asked.by_products).chain(by_products) {
            demands[demand.part.at()].push(demand);
        }
        let mut stocks = Stocks::of_all(plant);
        let shares = demands.into_iter().enumerate().map(|(i, demands)| Share {
            demands,
            stocks: std::mem::take(&mut stocks[i]),
            lots: HashMap::new(),
            made: run.makes.remove(&PartId::of(i)),
        });
        let mut shares: Vec<Share> = shares.collect();
        #[expect(clippy::iter_over_hash_type, reason = "each goes to a place of its own")]
        for ((owner, part), list) in std::mem::take(&mut run.lots) {
            shares[part.at()].lots.insert(owner, list);
        }
        let receipts = supply::receipts_by_part(plant);
        let cover = |(i, share): (usize, Share)| match share.made {
            Some((demands, pegs)) => Supply { demands, pegs, balances: Vec::new() },
            None => {
                let part = PartId::of(i);
                supply::supply(plant, &self.pace.owners, part, share.demands, share.stocks, &receipts[i], share.lots)
            }
        };
        shares.into_par_iter().enumerate().map(cover).collect()
    }

    fn unit_plans(&self, standing: &Standing) -> Vec<UnitPlan> {
        let plant = self.plant;
        let mut plans: Vec<UnitPlan> = Vec::new();
        for (i, owner) in self.pace.owners.iter().enumerate().filter(|(_, owner)| owner.planned) {
            let Some(unit) = owner.unit else { continue };
            let times = self.pace.enters(plant, unit).zip(self.pace.leaves_line(plant, unit));
            let (options, state) = match &self.configured[unit.at()] {
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
}

/// The delivery runs of all needs.
fn delivery_runs(plant: &Plant, needs: &Needs, run: &Run) -> Result<Runs, Box<Finding>> {
    let shop_needs = run.needs.iter().map(|need| &need.demand);
    let made = run.makes.values().flat_map(|(demands, _)| demands);
    let asked = needs.bought.iter().chain(&needs.extras).chain(&needs.asked.by_products);
    let all = asked.chain(shop_needs).chain(made).map(|demand| demand.need);
    let (first, last) = match all.minmax() {
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

fn all_pulls(plant: &Plant, supplies: &[Supply], runs: &Runs) -> Vec<Pull> {
    let locations: Vec<StorageKey> = plant.parts.iter().map(|part| StorageKey::new(&part.location)).collect();
    let per_part =
        supplies.par_iter().enumerate().map(|(i, supply)| pulls::pulls(PartId::of(i), &plant.parts[i], supply, runs));
    let mut all: Vec<Pull> = per_part.flatten_iter().collect();
    let mut order: Vec<usize> = (0..locations.len()).collect();
    order.sort_by(|a, b| locations[*a].cmp(&locations[*b]));
    let mut rank = vec![0_u32; locations.len()];
    for pair in 1..order.len() {
        let step = u32::from(locations[order[pair]] != locations[order[pair - 1]]);
        rank[order[pair]] = rank[order[pair - 1]] + step;
    }
    all.sort_unstable_by_key(|pull| (pull.run.leaves, rank[pull.part.at()], pull.part, pull.to, pull.owner));
    all
}

/// The order of the jobs' table: shop, start, crew, then as the crew takes them.
fn job_order(plant: &Plant, jobs: &[Job]) -> Vec<u32> {
    let key = |i: &u32| {
        let job = &jobs[*i as usize];
        (plant.shop(job.shop).dest, job.slot.start, job.slot.crew, job.slot.turn)
    };
    (0..jobs.len() as u32).sorted_by_key(key).collect()
}
