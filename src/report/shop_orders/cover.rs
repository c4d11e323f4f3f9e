//! What covers the material of jobs: an index from a job to the pegs of what it needs.

use crate::base::{DestId, Moment, OwnerId, PartId};
use crate::check::DestKind;
use crate::netting::{Demand, Peg};
use crate::plan::Plan;
use crate::shops::{self, Job};
use crate::supply::Covered;

/// Demands of shops by destination, owner, need and part, each with its number among the part's.
pub struct Covers(Vec<(DestId, OwnerId, Moment, PartId, u32)>);

/// How one part of a job's material is covered.
pub struct Piece<'p> {
    /// The demand it is part of; several jobs of a unit that start at once share one.
    pub demand: &'p Demand,
    /// What covers that demand.
    pub pegs: &'p [Peg],
}

impl Covers {
    /// Of a plan.
    pub fn of(plan: &Plan<'_>) -> Self {
        let to_shop = |demand: &Demand| matches!(plan.plant.dest(demand.to).what, DestKind::Shop(_));
        let mut rows = Vec::new();
        for supply in &plan.supplies {
            let numbered = supply.demands.iter().zip(0_u32..);
            let wanted = numbered.filter(|(demand, _)| to_shop(demand));
            rows.extend(wanted.map(|(demand, i)| (demand.to, demand.owner, demand.need, demand.part, i)));
        }
        rows.sort_unstable();
        Self(rows)
    }

    /// The pieces a job needs, as far as they are not delivered yet, by part; none for a job that has begun.
    pub fn of_job<'p>(&self, plan: &'p Plan<'p>, job: &Job) -> Vec<Piece<'p>> {
        if job.started {
            return Vec::new();
        }
        let key = (plan.plant.shop(job.shop).dest, job.owner, material_need(plan, job));
        let from = self.0.partition_point(|row| (row.0, row.1, row.2) < key);
        let rows = self.0[from..].iter().take_while(|row| (row.0, row.1, row.2) == key);
        let wanted = rows.filter(|row| job.below.needs.binary_search_by_key(&row.3, |need| need.0).is_ok());
        wanted.map(|row| piece(plan, row.3, row.4)).collect()
    }
}

/// When a job's material is needed in its shop.
pub fn material_need(plan: &Plan<'_>, job: &Job) -> Moment {
    shops::material_need(plan.plant, job)
}

/// A demand and its pegs; pegs stand in the order of their demands.
pub fn piece<'p>(plan: &'p Plan<'p>, part: PartId, number: u32) -> Piece<'p> {
    let supply = &plan.supplies[part.at()];
    let from = supply.pegs.partition_point(|peg| peg.demand < number);
    let until = supply.pegs.partition_point(|peg| peg.demand <= number);
    Piece { demand: &supply.demands[number as usize], pegs: &supply.pegs[from..until] }
}

impl Piece<'_> {
    /// The worst of its pegs.
    pub fn covered(&self) -> Covered {
        self.pegs.iter().map(|peg| peg.covered(self.demand.need)).max().unwrap_or_default()
    }

    /// When the last of it is there, where that is not now.
    pub fn available(&self) -> Option<Moment> {
        self.pegs.iter().filter_map(|peg| peg.available).max()
    }
}
