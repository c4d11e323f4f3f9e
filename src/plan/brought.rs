//! When a job's material is there on paper, and the delivery run that brings it.
//!
//! Rule `delivery-runs`.

use super::{Plan, There};
use crate::base::{DestId, PartId, numbered};
use crate::netting::{Cover, Peg};
use crate::shops;
use crate::waves::DeliveryRun;
use std::collections::BTreeSet;

/// What is looked up to tell when jobs' material comes.
pub struct Brought<'p> {
    plan: &'p Plan<'p>,
    /// Of which parts some lies at which places.
    lies_at: BTreeSet<(PartId, DestId)>,
}

/// Whether what covers a piece leaves the stores.
fn leaves_the_stores(peg: &Peg) -> bool {
    matches!(peg.cover, Cover::Reserved | Cover::Stock | Cover::Receipt(_) | Cover::None)
}

impl<'p> Brought<'p> {
    /// Of a plan.
    pub fn of(plan: &'p Plan<'p>) -> Self {
        let lies_at = plan.plant.stock.iter().filter_map(|row| Some((row.part, row.lineside?))).collect();
        Self { plan, lies_at }
    }

    /// The delivery run that brings a job's material, the job by its number. `None` of a job that has begun, where its run has delivered
    /// already, where nothing comes from the stores, or no run leaves before it is needed.
    pub fn run(&self, job: usize) -> Option<DeliveryRun> {
        let of = &self.plan.jobs[job];
        let run = self.plan.runs.serving(shops::material_need(self.plan.plant, of))?;
        // What is made elsewhere is asked for though its run has left.
        let delivered = self.plan.plant.delivered_to.is_some_and(|to| run.leaves <= to);
        let some = self.some_made(job) || !delivered && self.some_bought(job);
        (!of.started && some).then_some(run)
    }

    /// When the last of a job's material is there on paper: with its run, or, what comes after it and what other jobs and by-products
    /// bring, when that is there, late material waited for. `None` where all of it lies in the shop, or the job has begun.
    pub fn there(&self, job: usize) -> Option<There> {
        let plan = self.plan;
        let run = self.run(job).map(|run| There::At(run.leaves));
        let others = plan.doubts_of_job(numbered(job)).into_iter();
        let others = others.filter_map(|piece| plan.piece_there(&piece.demand, piece.cover, piece.available));
        others.chain(run).max()
    }

    /// Whether some of what another shop makes is in the stores.
    fn some_made(&self, job: usize) -> bool {
        self.plan.made_material(numbered(job)).any(|(_, peg)| leaves_the_stores(peg))
    }

    /// The same of what is bought. Parts of which some lies at the shop are looked at last: only of them it must be known what covers
    /// the job's own piece.
    fn some_bought(&self, job: usize) -> bool {
        let of = &self.plan.jobs[job];
        let plant = self.plan.plant;
        let (to, need) = (plant.shop(of.shop).dest, shops::material_need(plant, of));
        let bought = || of.below.needs.iter().map(|(part, _)| *part).filter(|part| plant.part(*part).bought());
        let covered_so = |part: PartId| {
            let supply = self.plan.supply(part);
            let pegged = supply.pegged();
            let own = pegged.find(need, of.owner, to);
            own.is_some_and(|own| pegged.pegs_of(own).iter().any(leaves_the_stores))
        };
        bought().any(|part| !self.lies_at.contains(&(part, to))) || bought().any(covered_so)
    }
}
