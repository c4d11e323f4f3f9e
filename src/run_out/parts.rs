//! Which parts a change takes out and which it brings in.

use crate::base::{ChangeId, PartId};
use crate::check::{BillLine, Plant, Source};
use std::collections::BTreeSet;

/// The parts of the lines of a change, phantoms followed down.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Parts {
    /// Bought parts that lines until the change ask for.
    pub old: Vec<PartId>,
    /// Bought parts that lines from the change on ask for.
    pub new: Vec<PartId>,
    /// Parts of these lines that are made or come off, and bought parts that shops need whose jobs change with them: when they are
    /// there can only be told by a plan of its own.
    pub not_looked_at: Vec<PartId>,
}

/// The bill lines that count: those of floorplans and of parts that are made of them.
fn bills(plant: &Plant) -> impl Iterator<Item = &BillLine> {
    let of_floorplans = plant.floorplans.iter().map(|floorplan| floorplan.bill.clone());
    let of_parts = plant.parts.iter().map(|part| part.bill.clone());
    of_floorplans.chain(of_parts).flat_map(|bill| &plant.bills[bill])
}

/// The parts of a change.
pub(super) fn of(plant: &Plant, change: ChangeId) -> Parts {
    let [mut old, mut new] = [BTreeSet::new(), BTreeSet::new()];
    for line in bills(plant) {
        if line.until == Some(change) {
            follow(plant, line.part, &mut old);
        }
        if line.from == Some(change) {
            follow(plant, line.part, &mut new);
        }
    }
    let bought = |part: &PartId| plant.part(*part).bought();
    let mut not: BTreeSet<PartId> = old.union(&new).copied().filter(|part| !bought(part)).collect();
    if !not.is_empty() {
        let below = below_made(plant);
        not.extend(old.union(&new).filter(|part| below.contains(part)));
    }
    let looked_at = |parts: BTreeSet<PartId>| parts.into_iter().filter(|part| !not.contains(part)).collect();
    Parts { old: looked_at(old), new: looked_at(new), not_looked_at: not.iter().copied().collect() }
}

/// A part, or where it is a phantom what stands in its place.
fn follow(plant: &Plant, part: PartId, into: &mut BTreeSet<PartId>) {
    if plant.part(part).source != Source::Phantom {
        into.insert(part);
        return;
    }
    plant.bills[plant.part(part).bill.clone()].iter().for_each(|line| follow(plant, line.part, into));
}

/// All parts that some job needs.
fn below_made(plant: &Plant) -> BTreeSet<PartId> {
    let mut found = BTreeSet::new();
    for part in plant.parts.iter().filter(|part| matches!(part.source, Source::Make(_))) {
        plant.bills[part.bill.clone()].iter().for_each(|line| follow(plant, line.part, &mut found));
    }
    found
}
