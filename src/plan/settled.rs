//! Everything demanded and covered, and when jobs are really done: what pieces are judged by.
//!
//! Rule `unit-states`.

use super::cover::{Demanded, Supplied};
use super::delays::{Moved, Shops};
use super::goods::Goods;
use super::outlook::ByOwner;
use super::slots::Slot;
use super::standing::{Lacks, Standing};
use super::sums::Sums;
use super::supplies::Supplies;
use super::{
    Account, AskedPulls, Deliveries, Foreseen, Material, There, UnitPlan, UnitState, Without, doubts, links::Links,
    on_line, packed::Packed, saves,
};
use crate::base::{Date, DestId, Moment, OwnerId, PartId, UnitId, fold, numbered};
use crate::check::{DestKind, Plant};
use crate::configure::{self, Configured};
use crate::line::Pace;
use crate::netting::Demand;
use crate::shops::{self, Job};
use crate::waves::Runs;
use itertools::Itertools;
use rayon::prelude::*;
use std::sync::OnceLock;

/// Every demand is covered, and it is known when each job is really done, late material waited for.
pub struct Settled<'a> {
    /// What it was computed from.
    pub plant: &'a Plant,
    /// When units stand where, and who needs material.
    pub pace: Pace,
    /// Units by rank, then held ones.
    pub units: Vec<UnitPlan>,
    /// Jobs, by shop in planning order.
    pub jobs: Vec<Job>,
    /// The jobs' indices in the order of their table.
    pub job_order: Vec<u32>,
    /// For each job how its material stands.
    pub materials: Vec<Material>,
    /// For each owner what it lacks on hand, and as promised.
    pub lacks: Vec<(Lacks, Lacks)>,
    /// The delivery runs that needs go with.
    pub runs: Runs,
    /// The day of the pull list.
    pub day: Date,
    /// The last unit to leave its line, and when it does.
    pub end: Option<(UnitId, Moment)>,
    /// What is open, as it comes.
    pub deliveries: Deliveries<'a>,
    /// For each bought part the pieces that may not be there in time.
    pub(super) doubts: Vec<doubts::OfPart>,
    /// Who waits for which job.
    pub(super) links: Links,
    /// For each job when what it builds is really there.
    pub(super) there: Vec<There>,
    /// For each heap of by-products when it is really there.
    pub(super) heaps_there: Vec<There>,
    /// For each job what its material does that is not there in time, where that was asked for.
    pub(super) below_job: Vec<OnceLock<Option<on_line::Effect>>>,
    /// For each heap of a by-product the worst of what waits for it, and where, as soon as somebody asks.
    pub(super) below_heap: Vec<OnceLock<Option<(DestId, on_line::Effect)>>>,
    /// For each job until when its material may come; where that was asked for.
    pub(super) saves: OnceLock<saves::Saves>,
    /// What comes of deliveries that nobody promised, where that was asked for; `None` in it where too much is missing.
    pub(crate) without: OnceLock<Option<Vec<Without>>>,
    /// What units behind the sequence are expected to take, where that was asked for.
    pub(crate) foreseen: OnceLock<Foreseen>,
    /// No job is done at another moment than that.
    pub(super) none_moved: Moved,
    /// Jobs and their pieces by owner; where that is asked for.
    pub(super) by_owner: OnceLock<ByOwner>,
    /// Stock and receipts as the plant has them.
    pub(super) goods: Goods<'a>,
    /// When each receipt is there.
    pub(super) receipts_there: Vec<Moment>,
    /// What each part's supply comes to.
    pub(super) accounts: Vec<Account>,
    /// What all supplies are made from.
    pub(super) source: Supplies,
    /// Which pulls were asked for, and these by part.
    pub(super) asked: AskedPulls,
    pub(super) packed: Vec<Vec<Packed>>,
    /// The parts in the order in which a picker walks; where that was asked for.
    pub(super) walking_order: OnceLock<Vec<PartId>>,
}

impl<'a> Settled<'a> {
    /// Finds out when jobs are really done and how units and jobs stand; beside it stays what pieces do, as far as that is summed up.
    pub(super) fn of(supplied: Supplied<'a>) -> (Self, Sums) {
        let Supplied { demanded, found, of_jobs, at_slots, asked } = supplied;
        let Demanded { plant, pace, configured, jobs, runs, day, end, deliveries, links, source } = demanded;
        let waiting = Shops { plant, jobs: &jobs, links: &links };
        let there = waiting.settled(&of_jobs);
        let heaps = 0..numbered(links.heaps.len());
        let heaps_there = heaps.map(|heap| waiting.heap_there(heap, |job| there[job as usize])).collect();
        let material = |job: &Job| {
            let to = plant.shop(job.shop).dest;
            let slot = Slot { need: shops::material_need(plant, job), owner: job.owner, to };
            let at_slot = source.demands.find(slot).and_then(|slot| at_slots.last(slot));
            found.standing.material(plant, job, at_slot)
        };
        let settled = Self {
            plant,
            units: unit_plans(plant, &pace, &configured, &found.standing),
            pace,
            job_order: job_order(plant, &jobs),
            materials: jobs.par_iter().map(material).collect(),
            lacks: found.standing.lacks(),
            runs,
            day,
            end,
            deliveries,
            doubts: found.doubts,
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
            asked,
            packed: found.pulls,
            walking_order: OnceLock::new(),
            jobs,
            source,
        };
        (settled, found.sums)
    }
}

impl Settled<'_> {
    /// The last moment at which a piece of a demand may be there without stopping the line, other late material left aside; `None`
    /// where it can't stop it, or no moment is soon enough.
    pub fn saves_until(&self, demand: &Demand) -> Option<Moment> {
        match self.plant.dest(demand.to).what {
            DestKind::Station { .. } => self.on_line().until(demand),
            DestKind::Shop(_) => self.saves().of_material(self.shops().takers(demand)),
        }
    }

    pub(super) fn saves(&self) -> &saves::Saves {
        self.saves.get_or_init(|| saves::Saves::of(self))
    }
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

/// The order of the jobs' table: shop, start, crew, then as the crew takes them.
fn job_order(plant: &Plant, jobs: &[Job]) -> Vec<u32> {
    let key = |(job, i): (&Job, u32)| (plant.shop(job.shop).dest, job.slot.start, job.slot.crew, job.slot.turn, i);
    let mut order = jobs.iter().zip(0..).map(key).collect_vec();
    order.par_sort_unstable();
    order.into_iter().map(|(.., i)| i).collect()
}
