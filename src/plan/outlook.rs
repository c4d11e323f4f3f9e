//! What a plan comes to with other stock and receipts of some bought parts. The sequence, the shops' jobs and the runs don't
//! depend on these, so that only the parts themselves are covered anew, and what that does to the line is worked out for
//! their pieces, and where a shop's material comes otherwise for what waits for its jobs: nothing else is changed by it.

use super::consequences::{Consequence, Judge, Outcome};
use super::delays::{Delays, Moved, There, material};
use super::doubts::{self, Doubt, Look};
use super::goods::Goods;
use super::{Plan, Settled};
use crate::base::{DestId, Moment, OwnerId, PartId};
use crate::check::{DestKind, Receipt};
use crate::netting::{Cover, Demand};
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
    /// The pieces of these parts that may not be there in time.
    doubts: BTreeMap<PartId, doubts::OfPart>,
    /// Those whose shops get material of these parts otherwise than in the plan.
    touched: BTreeSet<OwnerId>,
    /// When those of their jobs are done that are done at another moment than in the plan.
    moved: Moved,
}

/// The pieces of one part that may not be there in time, in one outlook and in another.
pub type Beside = (Vec<Doubt>, Vec<Doubt>);

/// For each owner its jobs, and its pieces of parts that are not bought and may not be there in time.
#[derive(Debug)]
pub(super) struct ByOwner {
    pub(super) jobs: Vec<Vec<u32>>,
    pub(super) made: Vec<Vec<Doubt>>,
}

impl ByOwner {
    fn of(plan: &Settled<'_>) -> Self {
        let owners = plan.pace.owners.len();
        let mut by_owner = Self { jobs: vec![Vec::new(); owners], made: vec![Vec::new(); owners] };
        plan.jobs.iter().zip(0..).for_each(|(job, number)| by_owner.jobs[job.owner.at()].push(number));
        for part in (0..plan.plant.parts.len()).map(PartId::of).filter(|part| !plan.plant.part(*part).bought()) {
            plan.made_doubts(part).for_each(|doubt| by_owner.made[doubt.demand.owner.at()].push(doubt));
        }
        by_owner
    }
}

impl<'o> Outlook<'o> {
    /// A plan as it is.
    pub fn of(plan: &'o Plan<'o>) -> Self {
        let (goods, supplies, doubts) = (Goods::of(plan.plant), BTreeMap::new(), BTreeMap::new());
        Self { plan, goods, supplies, doubts, touched: BTreeSet::new(), moved: Moved::default() }
    }

    /// A plan with other stock and receipts of these parts, all of them bought.
    pub fn with(plan: &'o Plan<'o>, goods: Goods<'o>, parts: &BTreeSet<PartId>) -> Self {
        let mut outlook = Self { goods, ..Self::of(plan) };
        for &part in parts {
            let (supply, doubts) = plan.supply_with(part, &outlook.goods);
            outlook.supplies.insert(part, supply);
            outlook.doubts.insert(part, doubts);
        }
        outlook.touched = outlook.find_touched();
        for owner in outlook.touched.clone() {
            outlook.move_jobs(owner);
        }
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

    /// The owners for whose pieces the line stops.
    pub fn stopped(&self) -> BTreeSet<OwnerId> {
        let base = Self::of(self.plan);
        let mut stopping: Vec<u32> = self.plan.effects.stops.iter().map(|(pieces, _)| *pieces).collect();
        for (old, new) in self.unlike(&base) {
            base.stopping(old).for_each(|owner| stopping[owner.at()] -= 1);
            self.stopping(new).for_each(|owner| stopping[owner.at()] += 1);
        }
        let stopped = stopping.iter().enumerate().filter(|(_, pieces)| **pieces > 0);
        stopped.map(|(owner, _)| OwnerId::of(owner)).collect()
    }

    /// Whose pieces at stations stop the line, once for each.
    fn stopping(&self, pieces: Vec<Doubt>) -> impl Iterator<Item = OwnerId> {
        let at_station = |row: &Consequence| self.plan.plant.position(row.to).is_some();
        let rows = self.rows(pieces).into_iter();
        rows.filter(move |row| row.outcome == Outcome::StopsTheLine && at_station(row)).map(|row| row.owner)
    }

    /// What pieces of one part do, by the unit's arrival, rank and place.
    pub fn rows(&self, pieces: Vec<Doubt>) -> Vec<Consequence> {
        self.judge().rows(pieces.into_iter())
    }

    /// What the pieces of a part do that are not there, by the unit's arrival, rank and place.
    pub fn consequences_of(&self, part: PartId) -> Vec<Consequence> {
        self.rows(self.doubts(part))
    }

    /// What those of one owner do.
    pub fn consequences_for(&self, part: PartId, owner: OwnerId) -> Vec<Consequence> {
        let own = self.doubts(part).into_iter().filter(|doubt| doubt.demand.owner == owner);
        self.judge().rows(own)
    }

    /// What an owner's pieces do that shops wait for, by the unit's arrival, place and part.
    pub fn consequences_at_shops(&self, owner: OwnerId) -> Vec<Consequence> {
        let at_shop = |doubt: &Doubt| matches!(self.plan.plant.dest(doubt.demand.to).what, DestKind::Shop(_));
        self.judge().rows(self.pieces_of(owner).into_iter().filter(at_shop))
    }

    /// The pieces that may do otherwise here than in another outlook, part by part: its own beside those here. Of an owner's part at a
    /// place they are all there or none.
    pub fn unlike<'s>(&'s self, other: &'s Self) -> Box<dyn Iterator<Item = Beside> + 's> {
        if !std::ptr::eq(self.plan, other.plan) {
            let parts = (0..self.plan.plant.parts.len()).map(PartId::of);
            return Box::new(parts.map(|part| (other.doubts(part), self.doubts(part))));
        }
        let owners: BTreeSet<OwnerId> = self.touched.union(&other.touched).copied().collect();
        let parts: BTreeSet<PartId> = self.supplies.keys().chain(other.supplies.keys()).copied().collect();
        let mut beside: BTreeMap<PartId, Beside> = BTreeMap::new();
        for doubt in other.pieces_of_some(&owners, &parts) {
            beside.entry(doubt.demand.part).or_default().0.push(doubt);
        }
        for doubt in self.pieces_of_some(&owners, &parts) {
            beside.entry(doubt.demand.part).or_default().1.push(doubt);
        }
        let bought = parts.into_iter().map(move |part| self.unlike_of(other, part, &owners));
        Box::new(bought.chain(beside.into_values()))
    }

    /// The same of one bought part, given whose jobs get their material at another moment.
    fn unlike_of(&self, other: &Self, part: PartId, owners: &BTreeSet<OwnerId>) -> Beside {
        let (mut old, mut new) = (other.doubts(part), self.doubts(part));
        let first = old.iter().zip(&new).take_while(|(one, other)| one == other).count();
        let behind = old[first..].iter().rev().zip(new[first..].iter().rev());
        let last = behind.take_while(|(one, other)| one == other).count();
        let between =
            |pieces: &[Doubt]| pieces[first..pieces.len() - last].iter().map(|doubt| doubt.demand.owner).collect_vec();
        let unlike: BTreeSet<OwnerId> =
            between(&old).into_iter().chain(between(&new)).chain(owners.iter().copied()).collect();
        for pieces in [&mut old, &mut new] {
            pieces.retain(|doubt| unlike.contains(&doubt.demand.owner));
        }
        (old, new)
    }

    /// The pieces of a part that may not be there in time.
    fn doubts(&self, part: PartId) -> Vec<Doubt> {
        match self.doubts.get(&part) {
            Some(doubts) => doubts.read(part, self.look()).collect(),
            None => self.plan.doubts(part),
        }
    }

    /// The pieces of some owners that jobs bring or that jobs wait for, but for those of some parts; by part and need.
    fn pieces_of_some(&self, owners: &BTreeSet<OwnerId>, but: &BTreeSet<PartId>) -> impl Iterator<Item = Doubt> {
        let pieces = owners.iter().flat_map(|owner| self.pieces_of(*owner));
        let others = pieces.filter(|doubt| !but.contains(&doubt.demand.part));
        others.sorted_by_key(|doubt| (doubt.demand.part, doubt.demand.need))
    }

    /// An owner's pieces that jobs bring or that jobs wait for, as far as they may not be there in time.
    fn pieces_of(&self, owner: OwnerId) -> Vec<Doubt> {
        let jobs = self.known().jobs[owner.at()].iter();
        // Jobs that start at once share their material.
        let needs = jobs.flat_map(|job| self.plan.bought_for(*job)).sorted().dedup();
        let material = needs.flat_map(|(slot, part)| self.doubts_at(part, slot));
        self.known().made[owner.at()].iter().copied().chain(material).collect()
    }

    /// The pieces of a bought part at a slot.
    fn doubts_at(&self, part: PartId, slot: u32) -> Vec<Doubt> {
        match self.doubts.get(&part) {
            Some(doubts) => doubts.at_slot(part, slot, self.look()).collect(),
            None => self.plan.doubts[part.at()].at_slot(part, slot, self.plan.look()).collect(),
        }
    }

    /// Those whose shops get material of the changed parts at another moment than in the plan.
    fn find_touched(&self) -> BTreeSet<OwnerId> {
        let mut touched = BTreeSet::new();
        for part in self.doubts.keys() {
            let (old, new) = (self.materials(self.plan.doubts(*part)), self.materials(self.doubts(*part)));
            let owners = old.keys().chain(new.keys()).copied();
            touched.extend(owners.filter(|owner| old.get(owner) != new.get(owner)));
        }
        touched
    }

    /// Where and when shops need the pieces of a part that are not there in time, and when each is there.
    fn materials(&self, doubts: Vec<Doubt>) -> BTreeMap<OwnerId, Vec<(DestId, Moment, There)>> {
        let mut found: BTreeMap<OwnerId, Vec<_>> = BTreeMap::new();
        for doubt in doubts {
            if let Some(there) = material(self.plan.plant, &doubt) {
                let Demand { to, need, owner, .. } = doubt.demand;
                found.entry(owner).or_default().push((to, need, there));
            }
        }
        found
    }

    /// Works out when an owner's jobs are done.
    fn move_jobs(&mut self, owner: OwnerId) {
        let numbers = &self.known().jobs[owner.at()];
        let there = self.plan.shops().settled_some(numbers, |job| self.material_of(job));
        self.moved.take(self.plan.shops(), &self.plan.there, numbers, there);
    }

    /// When the last material of a job is there, where it is not in time.
    fn material_of(&self, job: u32) -> Option<There> {
        let plant = self.plan.plant;
        let bought = self.plan.bought_for(job).flat_map(|(slot, part)| self.doubts_at(part, slot));
        let bought = bought.filter_map(|doubt| material(plant, &doubt)).max();
        let never = || self.plan.made_material(job).any(|(_, peg)| peg.cover == Cover::None);
        if bought == Some(There::Unknown) || !never() { bought } else { Some(There::Unknown) }
    }

    fn look(&self) -> Look<'_> {
        Look { receipts: &self.goods.receipts, there: &[], ..self.plan.look() }
    }

    fn judge(&self) -> Judge<'_> {
        Judge { plan: self.plan, delays: self.delays() }
    }

    fn delays(&self) -> Delays<'_> {
        Delays { moved: &self.moved, ..self.plan.delays() }
    }

    fn known(&self) -> &'o ByOwner {
        self.plan.by_owner()
    }
}

impl Settled<'_> {
    /// Jobs and their pieces by owner.
    pub(super) fn by_owner(&self) -> &ByOwner {
        self.by_owner.get_or_init(|| ByOwner::of(self))
    }
}
