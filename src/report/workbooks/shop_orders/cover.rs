//! What covers the material of jobs: an index from a job to the pieces of what it needs.

use crate::base::{DestId, Moment, OwnerId, PartId};
use crate::check::DestKind;
use crate::netting::{Cover, Demand, Peg};
use crate::plan::{Late, Near, Plan, There};
use crate::shops::{self, Job};
use crate::supply::Pegged;
use itertools::Itertools;
use rayon::prelude::*;

/// Pieces that shops need, by destination, owner, need and part: those of all jobs whose material is needed on the plan's day
/// or before it.
pub struct Covers(Vec<JobMaterial>);

/// How one part of a job's material is covered.
#[derive(Clone, Debug)]
pub struct JobMaterial {
    /// The demand it is part of; several jobs of a unit that start at once share one.
    pub demand: Demand,
    /// What covers that demand.
    pub pegs: Vec<Peg>,
}

/// Where a piece stands.
fn key(piece: &JobMaterial) -> (DestId, OwnerId, Moment, PartId) {
    let Demand { to, owner, need, part, .. } = piece.demand;
    (to, owner, need, part)
}

impl Covers {
    /// Of jobs whose material is needed before a moment: all of it.
    pub fn before(plan: &Plan<'_>, until: Moment) -> Self {
        let soon = plan.jobs.iter().filter(|job| !job.started && material_need(plan, job) < until);
        let parts = soon.flat_map(|job| job.below.needs.iter().map(|(part, _)| *part)).sorted().dedup().collect_vec();
        let near: Vec<Near<'_>> = parts.par_iter().map(|part| plan.near(*part, until)).collect();
        Self::of(plan, near.iter().flat_map(|near| JobMaterial::all(near.pegged())))
    }

    fn of(plan: &Plan<'_>, pieces: impl Iterator<Item = JobMaterial>) -> Self {
        let to_shop = |piece: &JobMaterial| matches!(plan.plant.dest(piece.demand.to).what, DestKind::Shop(_));
        Self(pieces.filter(to_shop).sorted_by_key(key).collect())
    }

    /// The pieces a job needs, as far as they are not delivered yet, by part; none for a job that has begun.
    pub fn of_job(&self, plan: &Plan<'_>, job: &Job) -> Vec<&JobMaterial> {
        if job.started {
            return Vec::new();
        }
        let wanted = (plan.plant.shop(job.shop).dest, job.owner, material_need(plan, job));
        let place = |piece: &JobMaterial| (piece.demand.to, piece.demand.owner, piece.demand.need);
        let from = self.0.partition_point(|piece| place(piece) < wanted);
        let pieces = self.0[from..].iter().take_while(|piece| place(piece) == wanted);
        let needs = |part: PartId| job.below.needs.binary_search_by_key(&part, |need| need.0).is_ok();
        pieces.filter(|piece| needs(piece.demand.part)).collect()
    }
}

/// When a job's material is needed in its shop.
pub fn material_need(plan: &Plan<'_>, job: &Job) -> Moment {
    shops::material_need(plan.plant, job)
}

impl JobMaterial {
    /// Every demand with what covers it.
    pub fn all(pegged: Pegged<'_>) -> impl Iterator<Item = Self> {
        let of_demands = pegged.pegs.chunk_by(|a, b| a.demand == b.demand);
        of_demands.map(move |pegs| Self { demand: pegged.demands[pegs[0].demand as usize], pegs: pegs.to_vec() })
    }

    /// How late the last of it is, late material of the jobs waited for that it comes from.
    pub fn late(&self, plan: &Plan<'_>) -> Late {
        self.pegs.iter().map(|peg| plan.piece_late(&self.demand, peg)).max().unwrap_or(Late::InTime)
    }

    /// Whether nothing covers some of it.
    pub fn is_short(&self) -> bool {
        self.pegs.iter().any(|peg| peg.cover == Cover::None)
    }

    /// When the last of it is there, where that is not now.
    pub fn there(&self, plan: &Plan<'_>) -> Option<There> {
        self.pegs.iter().filter_map(|peg| plan.piece_there(&self.demand, peg.cover, peg.available)).max()
    }
}
