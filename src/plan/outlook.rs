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
    /// What the pieces that are not there do, in the order of the plan's own.
    pub consequences: Cow<'o, [Consequence]>,
    supplies: BTreeMap<PartId, Supply>,
    doubtful: Vec<(Demand, Peg)>,
    /// Those whose pieces of the parts come otherwise than in the plan.
    touched: BTreeSet<OwnerId>,
}

/// The owners whose consequences may be others in one outlook than in another.
pub enum Owners {
    /// Any.
    Any,
    /// No others than these.
    Only(BTreeSet<OwnerId>),
}

impl Owners {
    /// Whether an owner is among them.
    pub fn has(&self, owner: OwnerId) -> bool {
        match self {
            Self::Any => true,
            Self::Only(owners) => owners.contains(&owner),
        }
    }
}

/// A plan's doubtful pieces and jobs by owner, by their numbers in the plan.
#[derive(Debug)]
pub(super) struct ByOwner {
    doubtful: Vec<Vec<u32>>,
    jobs: Vec<Vec<u32>>,
}

impl ByOwner {
    fn of(plan: &Plan<'_>) -> Self {
        let none = vec![Vec::new(); plan.pace.owners.len()];
        let mut by_owner = Self { doubtful: none.clone(), jobs: none };
        let doubtful = plan.doubtful.iter().zip(0..);
        doubtful.for_each(|((demand, _), number)| by_owner.doubtful[demand.owner.at()].push(number));
        plan.jobs.iter().zip(0..).for_each(|(job, number)| by_owner.jobs[job.owner.at()].push(number));
        by_owner
    }
}

impl<'o> Outlook<'o> {
    /// A plan as it is.
    pub fn of(plan: &'o Plan<'o>) -> Self {
        let (goods, consequences) = (Goods::of(plan.plant), Cow::Borrowed(plan.consequences.as_slice()));
        Self { plan, goods, consequences, supplies: BTreeMap::new(), doubtful: Vec::new(), touched: BTreeSet::new() }
    }

    /// A plan with other stock and receipts of these parts, all of them bought.
    pub fn with(plan: &'o Plan<'o>, goods: Goods<'o>, parts: &BTreeSet<PartId>) -> Self {
        let supplies: BTreeMap<PartId, Supply> =
            parts.iter().map(|part| (*part, plan.supply_with(*part, &goods))).collect();
        let fresh: Vec<(Demand, Peg)> = supplies.values().flat_map(|supply| doubtful(supply, &plan.runs)).collect();
        let mut outlook = Self { doubtful: fresh, supplies, ..Self::of(plan) };
        outlook.goods = goods;
        outlook.touched = outlook.find_touched();
        outlook.consequences = Cow::Owned(outlook.worked_out());
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
        stops_of(self.plan.plant, &self.consequences)
    }

    /// For how much of each piece the line waits that it waits for, and for how long; of these owners.
    pub fn waits(&self, owners: &Owners) -> BTreeMap<Wait, (Quantity, Stop)> {
        waits_of(self.consequences.iter().filter(|row| owners.has(row.owner)))
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

    /// The consequences: the plan's own, but for those whose pieces come otherwise.
    fn worked_out(&self) -> Vec<Consequence> {
        let plan = self.plan;
        let known = plan.by_owner.get_or_init(|| ByOwner::of(plan));
        let of_touched =
            |of_owner: &'o [Vec<u32>]| self.touched.iter().flat_map(|owner| &of_owner[owner.at()]).copied();
        let doubtful = of_touched(&known.doubtful).map(|number| &plan.doubtful[number as usize]);
        let others = doubtful.filter(|(demand, _)| !self.supplies.contains_key(&demand.part));
        let own = self.doubtful.iter().filter(|(demand, _)| self.touched.contains(&demand.owner));
        let pieces = others.chain(own).copied().sorted_by_key(|(demand, _)| demand.part).collect_vec();
        let jobs = of_touched(&known.jobs).sorted_unstable().collect_vec();
        let fresh = consequences::of_some(plan, &pieces, &jobs);
        let kept = plan.consequences.iter().filter(|row| !self.touched.contains(&row.owner)).copied();
        kept.merge_by(fresh, |one, other| consequences::order(one) <= consequences::order(other)).collect()
    }
}

/// Pieces by whose they are.
fn by_owner<'d>(doubtful: impl Iterator<Item = &'d (Demand, Peg)>) -> BTreeMap<OwnerId, Vec<&'d (Demand, Peg)>> {
    let mut found: BTreeMap<OwnerId, Vec<&(Demand, Peg)>> = BTreeMap::new();
    doubtful.for_each(|piece| found.entry(piece.0.owner).or_default().push(piece));
    found
}
