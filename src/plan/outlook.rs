//! What a plan comes to with other stock and receipts of some bought parts. The sequence, the shops' jobs and the runs don't
//! depend on these, so that only the parts themselves are covered anew, and what that does to the line is worked out for
//! those whose pieces come otherwise: nobody waits for what is missing to somebody else.

use super::Plan;
use super::consequences::{self, Consequence};
use super::goods::Goods;
use super::stops::{Stop, Wait, stops_of, waits_of};
use super::supplies::doubtful;
use crate::base::{OwnerId, PartId, Quantity};
use crate::check::Receipt;
use crate::netting::{Demand, Peg};
use crate::supply::Supply;
use itertools::Itertools;
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

/// A plan as it is, or with other stock and receipts.
#[derive(Clone)]
pub struct Outlook<'o> {
    /// The plan whose sequence, jobs and runs hold.
    pub plan: &'o Plan<'o>,
    /// Stock and receipts as they would be.
    pub goods: Goods<'o>,
    supplies: BTreeMap<PartId, Supply>,
    doubtful: Vec<(Demand, Peg)>,
    /// Those whose pieces of the parts come otherwise than in the plan.
    touched: BTreeSet<OwnerId>,
    /// What their pieces that are not there do, in the order of the plan's own.
    fresh: Vec<Consequence>,
}

/// The owners whose consequences may be others in one outlook than in another.
pub enum Owners {
    /// Any.
    Any,
    /// No others than these.
    Only(BTreeSet<OwnerId>),
}

/// A plan's consequences, doubtful pieces and jobs by owner, by their numbers in the plan.
#[derive(Debug)]
pub(super) struct ByOwner {
    consequences: Vec<Vec<u32>>,
    doubtful: Vec<Vec<u32>>,
    jobs: Vec<Vec<u32>>,
}

impl ByOwner {
    fn of(plan: &Plan<'_>) -> Self {
        let none = vec![Vec::new(); plan.pace.owners.len()];
        let mut by_owner = Self { consequences: none.clone(), doubtful: none.clone(), jobs: none };
        let rows = plan.consequences.iter().zip(0..);
        rows.for_each(|(row, number)| by_owner.consequences[row.owner.at()].push(number));
        let doubtful = plan.doubtful.iter().zip(0..);
        doubtful.for_each(|((demand, _), number)| by_owner.doubtful[demand.owner.at()].push(number));
        plan.jobs.iter().zip(0..).for_each(|(job, number)| by_owner.jobs[job.owner.at()].push(number));
        by_owner
    }
}

impl<'o> Outlook<'o> {
    /// A plan as it is.
    pub fn of(plan: &'o Plan<'o>) -> Self {
        let (goods, supplies, touched) = (Goods::of(plan.plant), BTreeMap::new(), BTreeSet::new());
        Self { plan, goods, supplies, doubtful: Vec::new(), touched, fresh: Vec::new() }
    }

    /// A plan with other stock and receipts of these parts, all of them bought.
    pub fn with(plan: &'o Plan<'o>, goods: Goods<'o>, parts: &BTreeSet<PartId>) -> Self {
        let supplies: BTreeMap<PartId, Supply> =
            parts.iter().map(|part| (*part, plan.supply_with(*part, &goods))).collect();
        let fresh: Vec<(Demand, Peg)> = supplies.values().flat_map(|supply| doubtful(supply, &plan.runs)).collect();
        let mut outlook = Self { doubtful: fresh, supplies, ..Self::of(plan) };
        outlook.goods = goods;
        outlook.touched = outlook.find_touched();
        outlook.fresh = outlook.worked_out();
        outlook
    }

    /// A part's whole supply.
    pub fn supply(&self, part: PartId) -> Cow<'_, Supply> {
        match self.supplies.get(&part) {
            Some(supply) => Cow::Borrowed(supply),
            None => self.plan.supply(part),
        }
    }

    /// A receipt by its index.
    pub fn receipt(&self, index: u32) -> &Receipt {
        self.goods.receipts.at(index as usize)
    }

    /// How long each unit stops that does.
    pub fn stops(&self) -> BTreeMap<OwnerId, Stop> {
        stops_of(self.plan.plant, self.consequences())
    }

    /// For how much of each piece the line waits that it waits for, and for how long; of these owners.
    pub fn waits(&self, owners: &Owners) -> BTreeMap<Wait, (Quantity, Stop)> {
        waits_of(self.consequences_of(owners))
    }

    /// What the pieces that are not there do, in the order of the plan's own.
    pub fn consequences(&self) -> impl Iterator<Item = &Consequence> {
        let kept = self.plan.consequences.iter().filter(|row| !self.touched.contains(&row.owner));
        kept.merge_by(&self.fresh, |one, other| consequences::order(one) <= consequences::order(other))
    }

    /// Those of some owners, in that order for each of them.
    pub fn consequences_of<'s>(&'s self, owners: &'s Owners) -> Box<dyn Iterator<Item = &'s Consequence> + 's> {
        let Owners::Only(owners) = owners else { return Box::new(self.consequences()) };
        let kept = owners.difference(&self.touched).flat_map(|owner| &self.known().consequences[owner.at()]);
        let kept = kept.map(|number| &self.plan.consequences[*number as usize]);
        Box::new(kept.chain(self.fresh.iter().filter(|row| owners.contains(&row.owner))))
    }

    /// The pieces of some owners that may not be there when the picking of their run starts.
    pub fn doubtful_of<'s>(&'s self, owners: &'s Owners) -> Box<dyn Iterator<Item = &'s (Demand, Peg)> + 's> {
        let Owners::Only(owners) = owners else { return Box::new(self.doubtful()) };
        let fresh = self.doubtful.iter().filter(|(demand, _)| owners.contains(&demand.owner));
        Box::new(self.kept_of(owners).chain(fresh))
    }

    /// Those of their pieces that are covered as in the plan.
    fn kept_of<'s>(&'s self, owners: &'s BTreeSet<OwnerId>) -> impl Iterator<Item = &'s (Demand, Peg)> {
        let numbers = owners.iter().flat_map(|owner| &self.known().doubtful[owner.at()]);
        let pieces = numbers.map(|number| &self.plan.doubtful[*number as usize]);
        pieces.filter(|(demand, _)| !self.supplies.contains_key(&demand.part))
    }

    fn known(&self) -> &'o ByOwner {
        self.plan.by_owner.get_or_init(|| ByOwner::of(self.plan))
    }

    /// The owners whose consequences may be others in another outlook.
    pub fn differ(&self, other: &Self) -> Owners {
        if !std::ptr::eq(self.plan, other.plan) {
            return Owners::Any;
        }
        Owners::Only(self.touched.union(&other.touched).copied().collect())
    }

    /// All pieces that may not be there when the picking of their run starts.
    pub fn doubtful(&self) -> impl Iterator<Item = &(Demand, Peg)> {
        let kept = self.plan.doubtful.iter().filter(|(demand, _)| !self.supplies.contains_key(&demand.part));
        kept.chain(&self.doubtful)
    }

    /// Those whose pieces of the parts come otherwise than in the plan.
    fn find_touched(&self) -> BTreeSet<OwnerId> {
        let plan = self.plan;
        let of_part = |part: PartId| {
            let first = plan.doubtful.partition_point(|(demand, _)| demand.part < part);
            plan.doubtful[first..].iter().take_while(move |(demand, _)| demand.part == part)
        };
        let (old, new) = (by_owner(self.supplies.keys().copied().flat_map(of_part)), by_owner(self.doubtful.iter()));
        let owners: BTreeSet<OwnerId> = old.keys().chain(new.keys()).copied().collect();
        owners.into_iter().filter(|owner| old.get(owner) != new.get(owner)).collect()
    }

    /// What the pieces of those do whose pieces come otherwise.
    fn worked_out(&self) -> Vec<Consequence> {
        let own = self.doubtful.iter().filter(|(demand, _)| self.touched.contains(&demand.owner));
        let pieces = self.kept_of(&self.touched).chain(own).copied();
        let pieces = pieces.sorted_by_key(|(demand, _)| demand.part).collect_vec();
        let jobs = self.touched.iter().flat_map(|owner| &self.known().jobs[owner.at()]).copied();
        consequences::of_some(self.plan, &pieces, &jobs.sorted_unstable().collect_vec())
    }
}

/// Pieces by whose they are.
fn by_owner<'d>(doubtful: impl Iterator<Item = &'d (Demand, Peg)>) -> BTreeMap<OwnerId, Vec<&'d (Demand, Peg)>> {
    let mut found: BTreeMap<OwnerId, Vec<&(Demand, Peg)>> = BTreeMap::new();
    doubtful.for_each(|piece| found.entry(piece.0.owner).or_default().push(piece));
    found
}
