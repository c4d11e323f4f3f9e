//! What a plan comes to with other stock and receipts of some bought parts. The sequence, the shops' jobs and the runs don't
//! depend on these, so that only the parts themselves are covered anew, and what that does to the line worked out.

use super::Plan;
use super::consequences::{self, Consequence};
use super::goods::Goods;
use super::stops::{Stop, Wait, stops_of, waits_of};
use super::supplies::doubtful;
use crate::base::{OwnerId, PartId, Quantity};
use crate::check::{DestKind, Receipt};
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
    /// Whether jobs wait for one of the parts, so that the consequences of any may be others.
    at_shops: bool,
}

/// The parts whose consequences may be others in one outlook than in another.
pub enum Parts {
    /// Any.
    Any,
    /// No others than these.
    Only(BTreeSet<PartId>),
}

impl Parts {
    /// Whether a part is among them.
    pub fn has(&self, part: PartId) -> bool {
        match self {
            Self::Any => true,
            Self::Only(parts) => parts.contains(&part),
        }
    }
}

impl<'o> Outlook<'o> {
    /// A plan as it is.
    pub fn of(plan: &'o Plan<'o>) -> Self {
        let (goods, consequences) = (Goods::of(plan.plant), Cow::Borrowed(plan.consequences.as_slice()));
        Self { plan, goods, consequences, supplies: BTreeMap::new(), doubtful: Vec::new(), at_shops: false }
    }

    /// A plan with other stock and receipts of these parts, all of them bought.
    pub fn with(plan: &'o Plan<'o>, goods: Goods<'o>, parts: &BTreeSet<PartId>) -> Self {
        let supplies: BTreeMap<PartId, Supply> =
            parts.iter().map(|part| (*part, plan.supply_with(*part, &goods))).collect();
        let fresh: Vec<(Demand, Peg)> = supplies.values().flat_map(|supply| doubtful(supply, &plan.runs)).collect();
        let mut outlook = Self { doubtful: fresh, supplies, ..Self::of(plan) };
        outlook.goods = goods;
        outlook.at_shops = outlook.reaches_shops();
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

    /// For how much of each piece the line waits that it waits for, and for how long; of these parts.
    pub fn waits(&self, parts: &Parts) -> BTreeMap<Wait, (Quantity, Stop)> {
        waits_of(self.consequences.iter().filter(|row| parts.has(row.part)))
    }

    /// The parts whose consequences may be others in another outlook.
    pub fn differ(&self, other: &Self) -> Parts {
        if !std::ptr::eq(self.plan, other.plan) || self.at_shops || other.at_shops {
            return Parts::Any;
        }
        Parts::Only(self.supplies.keys().chain(other.supplies.keys()).copied().collect())
    }

    /// All pieces that may not be there when the picking of their run starts.
    pub fn doubtful(&self) -> impl Iterator<Item = &(Demand, Peg)> {
        let kept = self.plan.doubtful.iter().filter(|(demand, _)| !self.supplies.contains_key(&demand.part));
        kept.chain(&self.doubtful)
    }

    /// Whether jobs wait for one of the parts, now or as it was.
    fn reaches_shops(&self) -> bool {
        let at_shop = |demand: &Demand| matches!(self.plan.plant.dest(demand.to).what, DestKind::Shop(_));
        let was = self.plan.doubtful.iter().filter(|(demand, _)| self.supplies.contains_key(&demand.part));
        was.chain(&self.doubtful).any(|(demand, _)| at_shop(demand))
    }

    /// The consequences, all of them anew where jobs wait for one of the parts.
    fn worked_out(&self) -> Vec<Consequence> {
        let plan = self.plan;
        if self.at_shops {
            let all = self.doubtful().copied().sorted_by_key(|(demand, _)| demand.part).collect_vec();
            return consequences::of(plan, &all);
        }
        let kept = plan.consequences.iter().filter(|row| !self.supplies.contains_key(&row.part)).copied();
        let fresh = consequences::of_bought(plan, &self.doubtful);
        kept.merge_by(fresh, |one, other| consequences::order(one) <= consequences::order(other)).collect()
    }
}
