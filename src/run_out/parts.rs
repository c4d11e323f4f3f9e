//! Which parts a change takes out and which it brings in.

use crate::base::{ChangeId, PartId};
use crate::check::follow::without_phantoms;
use crate::check::{Plant, Source};
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

/// The parts of a change.
pub(super) fn of(plant: &Plant, change: ChangeId) -> Parts {
    let [mut old, mut new] = [BTreeSet::new(), BTreeSet::new()];
    for line in plant.bill_lines() {
        if line.until == Some(change) {
            old.extend(standing_for(plant, line.part));
        }
        if line.from == Some(change) {
            new.extend(standing_for(plant, line.part));
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
fn standing_for(plant: &Plant, part: PartId) -> Vec<PartId> {
    match plant.part(part).source {
        Source::Phantom => without_phantoms(plant, plant.part(part).bill.clone()).map(|line| line.part).collect(),
        _ => vec![part],
    }
}

/// All parts that some job needs.
fn below_made(plant: &Plant) -> BTreeSet<PartId> {
    let made = plant.parts.iter().filter(|part| matches!(part.source, Source::Make(_)));
    made.flat_map(|part| without_phantoms(plant, part.bill.clone())).map(|line| line.part).collect()
}
