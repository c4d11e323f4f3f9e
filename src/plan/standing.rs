//! How units and jobs stand: the worst of what is late or short for each, and what each still waits for.
//!
//! Rule `unit-states`.

use super::{Material, There, UnitState};
use crate::base::{DestId, Moment, OwnerId, PartId};
use crate::check::Plant;
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
}

/// The worst of what is late or short, by owner and by job.
pub(super) struct Standing {
    owners: Vec<Worst>,
    /// When the last late material is there of parts that are not bought, by whom and where it is for.
    made: HashMap<(OwnerId, DestId, Moment), There>,
}

/// A piece by need, then part; or none, which comes last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct First {
    need: Moment,
    part: PartId,
}

impl First {
    const NONE: Self = Self { need: Moment::NEVER, part: NO_PART };

    fn some(self) -> Option<(Moment, PartId)> {
        Some((self.need, self.part)).filter(|_| self != Self::NONE)
    }
}

/// No part at all.
const NO_PART: PartId = PartId(u32::MAX);

/// Of how many parts an owner lacks something.
#[derive(Clone, Copy)]
struct Parts {
    count: u32,
    last: PartId,
}

impl Parts {
    const NONE: Self = Self { count: 0, last: NO_PART };

    /// Counts a part; parts come one after the other. Whether it is another than the last.
    fn add(&mut self, part: PartId) -> bool {
        let other = self.last != part;
        if other {
            (self.count, self.last) = (self.count + 1, part);
        }
        other
    }
}

/// What an owner has not in time: small, for where supply is bad it is looked at for nearly every demand.
#[derive(Clone, Copy)]
struct Worst {
    /// The first that is not on hand.
    not_on_hand: First,
    short: First,
    late: First,
    /// When the last is there of what is late.
    last: Option<Moment>,
    parts_not_on_hand: Parts,
    parts_not_promised: Parts,
}

impl Worst {
    const NONE: Self = Self {
        not_on_hand: First::NONE,
        short: First::NONE,
        late: First::NONE,
        last: None,
        parts_not_on_hand: Parts::NONE,
        parts_not_promised: Parts::NONE,
    };

    fn take(&mut self, demand: &Demand, covered: Covered, peg: &Peg) {
        let this = First { need: demand.need, part: demand.part };
        let on_hand = covered == Covered::InTime && !matches!(peg.cover, Cover::Receipt(_));
        if !on_hand && self.parts_not_on_hand.add(this.part) {
            self.not_on_hand = self.not_on_hand.min(this);
        }
        match covered {
            Covered::InTime => return,
            Covered::Short => self.short = self.short.min(this),
            Covered::Late => {
                self.late = self.late.min(this);
                self.last = self.last.max(peg.available);
            }
        }
        self.parts_not_promised.add(this.part);
    }

    fn join(&mut self, other: Self) {
        self.not_on_hand = self.not_on_hand.min(other.not_on_hand);
        self.short = self.short.min(other.short);
        self.late = self.late.min(other.late);
        self.last = self.last.max(other.last);
        self.parts_not_on_hand.count += other.parts_not_on_hand.count;
        self.parts_not_promised.count += other.parts_not_promised.count;
    }

    /// What it lacks on hand, and as promised.
    fn lacks(&self) -> (Lacks, Lacks) {
        let lacks = |first: First, parts: Parts| Lacks { first: first.some(), parts: i64::from(parts.count) };
        let promised = self.short.min(self.late);
        (lacks(self.not_on_hand, self.parts_not_on_hand), lacks(promised, self.parts_not_promised))
    }
}

impl Standing {
    /// Of so many owners, before anything is known.
    pub(super) fn new(owners: usize) -> Self {
        Self { owners: vec![Worst::NONE; owners], made: HashMap::new() }
    }

    /// Takes in how a piece of a demand is covered that is not on hand; parts come one after the other, each in order of need.
    pub(super) fn take(&mut self, demand: &Demand, peg: &Peg) {
        self.owners[demand.owner.at()].take(demand, peg.covered(demand.need), peg);
    }

    /// Takes in when a piece of a shop's material is there that is not bought.
    pub(super) fn take_made(&mut self, demand: &Demand, there: There) {
        note(&mut self.made, (demand.owner, demand.to, demand.need), there);
    }

    /// With how other parts are covered.
    pub(super) fn join(&mut self, other: Self) {
        self.owners.iter_mut().zip(other.owners).for_each(|(own, other)| own.join(other));
        // Each goes to a place of its own, in whichever order.
        other.made.into_iter().for_each(|(key, there)| note(&mut self.made, key, there));
    }

    /// For each owner what it lacks on hand, and as promised.
    pub(super) fn lacks(&self) -> Vec<(Lacks, Lacks)> {
        self.owners.iter().map(Worst::lacks).collect()
    }

    pub(super) fn state(&self, owner: OwnerId) -> UnitState {
        let worst = self.owners[owner.at()];
        match (worst.short.some(), worst.late.some(), worst.last) {
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
