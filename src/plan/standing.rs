//! How units and jobs stand: the worst of what is late or short for each, and what each still waits for.

use super::delays::Latest;
use super::{Material, There, UnitState};
use crate::base::{DestId, Moment, OwnerId, PartId};
use crate::check::{DestKind, Plant};
use crate::netting::{Cover, Demand, Peg};
use crate::shops::{self, Job};
use crate::supply::Covered;
use std::collections::HashMap;

/// What a unit has not in time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Lacks {
    /// The first piece by need, then part.
    pub first: Option<(Moment, PartId)>,
    /// How many parts.
    pub parts: i64,
    last: Option<PartId>,
}

impl Lacks {
    /// Adds a piece; those of one part come in order of need.
    fn add(&mut self, need: Moment, part: PartId) {
        if self.last != Some(part) {
            self.first = least(self.first, Some((need, part)));
            self.parts += 1;
            self.last = Some(part);
        }
    }

    /// With what it lacks of other parts.
    fn join(&mut self, other: Self) {
        self.first = least(self.first, other.first);
        self.parts += other.parts;
    }
}

/// The worst of what is late or short, by owner and by job.
pub(super) struct Standing {
    owners: Vec<Worst>,
    /// When the last late material is there of parts that are not bought, by whom and where it is for.
    made: HashMap<(OwnerId, DestId, Moment), There>,
    /// For each owner what it lacks on hand.
    on_hand: Vec<Lacks>,
    /// For each owner what it lacks as promised.
    promised: Vec<Lacks>,
}

#[derive(Clone, Copy, Default)]
struct Worst {
    first_short: Option<(Moment, PartId)>,
    first_late: Option<(Moment, PartId)>,
    last: Option<Moment>,
}

impl Worst {
    fn take(&mut self, demand: &Demand, covered: Covered, peg: &Peg) {
        let this = Some((demand.need, demand.part));
        match covered {
            Covered::InTime => {}
            Covered::Short => self.first_short = least(self.first_short, this),
            Covered::Late => {
                self.first_late = least(self.first_late, this);
                self.last = self.last.max(peg.available);
            }
        }
    }

    fn join(&mut self, other: Self) {
        self.first_short = least(self.first_short, other.first_short);
        self.first_late = least(self.first_late, other.first_late);
        self.last = self.last.max(other.last);
    }
}

fn least<T: Ord>(one: Option<T>, other: Option<T>) -> Option<T> {
    one.into_iter().chain(other).min()
}

impl Standing {
    /// Of so many owners, before anything is known.
    pub(super) fn new(owners: usize) -> Self {
        let lacks = vec![Lacks::default(); owners];
        Self { owners: vec![Worst::default(); owners], made: HashMap::new(), on_hand: lacks.clone(), promised: lacks }
    }

    /// Takes in how a piece of a demand is covered that is not on hand; parts come one after the other, each in order of need.
    /// The pieces of bought parts come with their slots, where it is noted when shops have them.
    pub(super) fn take(&mut self, plant: &Plant, demand: &Demand, peg: &Peg, slot: Option<(&Latest, u32)>) {
        let covered = peg.covered(demand.need);
        if covered != Covered::InTime || matches!(peg.cover, Cover::Receipt(_)) {
            self.on_hand[demand.owner.at()].add(demand.need, demand.part);
        }
        if covered == Covered::InTime {
            return;
        }
        self.promised[demand.owner.at()].add(demand.need, demand.part);
        self.owners[demand.owner.at()].take(demand, covered, peg);
        if matches!(plant.dest(demand.to).what, DestKind::Shop(_)) {
            let there = peg.available.filter(|_| covered == Covered::Late).map_or(There::Unknown, There::At);
            match slot {
                Some((at_slots, slot)) => at_slots.note(slot, there),
                None => note(&mut self.made, (demand.owner, demand.to, demand.need), there),
            }
        }
    }

    /// With how other parts are covered.
    pub(super) fn join(&mut self, other: Self) {
        self.owners.iter_mut().zip(other.owners).for_each(|(own, other)| own.join(other));
        self.on_hand.iter_mut().zip(other.on_hand).for_each(|(own, other)| own.join(other));
        self.promised.iter_mut().zip(other.promised).for_each(|(own, other)| own.join(other));
        // Each goes to a place of its own, in whichever order.
        other.made.into_iter().for_each(|(key, there)| note(&mut self.made, key, there));
    }

    /// For each owner what it lacks on hand, and as promised.
    pub(super) fn lacks(self) -> Vec<(Lacks, Lacks)> {
        self.on_hand.into_iter().zip(self.promised).collect()
    }

    pub(super) fn state(&self, owner: OwnerId) -> UnitState {
        let worst = self.owners[owner.at()];
        match (worst.first_short, worst.first_late, worst.last) {
            (Some((_, part)), ..) => UnitState::Short(part),
            (_, Some((_, part)), Some(last)) => UnitState::Late(part, last),
            _ => UnitState::Clear,
        }
    }

    /// How a job's material stands, given what is noted at the slot of its bought parts.
    pub(super) fn material(&self, plant: &Plant, job: &Job, at_slot: Option<There>) -> Material {
        if job.started {
            return Material::Issued;
        }
        let key = (job.owner, plant.shop(job.shop).dest, shops::material_need(plant, job));
        match at_slot.max(self.made.get(&key).copied()) {
            Some(There::Unknown) => Material::Short,
            Some(There::At(at)) => Material::Late(at),
            None => Material::Ready,
        }
    }
}

/// Notes when something is there, unless something else comes later.
fn note<K: std::hash::Hash + Eq>(last: &mut HashMap<K, There>, key: K, there: There) {
    let known = last.entry(key).or_insert(there);
    *known = there.max(*known);
}
