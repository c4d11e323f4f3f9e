//! By-products that are needed for what they come off: they would have to be there before they are.

use super::Draft;
use super::follow::{once, without_phantoms};
use super::kinds::NEEDS_ITS_OWN_BY_PRODUCT;
use super::plant::{BillLine, Plant, Source};
use crate::base::{Finding, Findings, PartId};
use crate::book::Table;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};
use std::ops::Range;

impl Draft {
    /// Tells of parts that need a by-product which comes off nowhere but where they are built in. What only some units have
    /// is left aside: whether it meets in one unit is for the plan to say.
    pub(super) fn check_own_by_products(&self, findings: &mut Findings) {
        let plant = &self.plant;
        let makes: Vec<PartId> = (0..plant.parts.len()).map(PartId::of).filter(|part| made(plant, *part)).collect();
        let givers = givers(plant, &makes);
        let within: BTreeMap<PartId, BTreeSet<PartId>> =
            givers.values().flatten().map(|giver| (*giver, built_in(plant, *giver))).collect();
        for &part in &makes {
            for line in needed_for(plant, part).into_iter().filter(|line| !line.gives) {
                let Some(givers) = givers.get(&line.part) else { continue };
                if givers.iter().all(|giver| within[giver].contains(&part)) {
                    findings.add(finding(plant, part, line, givers));
                }
            }
        }
    }
}

fn made(plant: &Plant, part: PartId) -> bool {
    matches!(plant.part(part).source, Source::Make(_))
}

/// For each by-product the parts off which it comes; without those that also come off at a station.
fn givers(plant: &Plant, makes: &[PartId]) -> BTreeMap<PartId, Vec<PartId>> {
    let gives = |bill: &Range<usize>| without_phantoms(plant, bill.clone()).filter(|line| line.gives);
    let mut givers: BTreeMap<PartId, Vec<PartId>> = BTreeMap::new();
    for part in makes {
        let given: BTreeSet<PartId> = gives(&plant.part(*part).bill).map(|line| line.part).collect();
        given.into_iter().for_each(|given| givers.entry(given).or_default().push(*part));
    }
    for floorplan in &plant.floorplans {
        gives(&floorplan.bill).for_each(|line| _ = givers.remove(&line.part));
    }
    givers
}

/// Whether a line counts for all units.
fn always(line: &BillLine) -> bool {
    line.always() && !line.factor.is_zero()
}

/// The lines of a part's bill that count for all units, phantoms replaced by theirs.
fn needed_for(plant: &Plant, part: PartId) -> Vec<&BillLine> {
    followed(plant, part, |part| plant.part(part).source == Source::Phantom)
}

/// The parts that are always built into a part.
fn built_in(plant: &Plant, part: PartId) -> BTreeSet<PartId> {
    let all = followed(plant, part, |part| made(plant, part) || plant.part(part).source == Source::Phantom);
    all.into_iter().map(|line| line.part).filter(|part| made(plant, *part)).collect()
}

fn followed(plant: &Plant, part: PartId, into: impl Fn(PartId) -> bool) -> Vec<&BillLine> {
    let all = once(plant, [plant.part(part).bill.clone()], |line| always(line) && into(line.part));
    all.into_iter().map(|(_, line)| line).filter(|line| always(line)).collect()
}

fn finding(plant: &Plant, part: PartId, line: &BillLine, givers: &[PartId]) -> Finding {
    let code = |part: PartId| plant.part(part).code.as_str();
    let parents = givers.iter().map(|giver| code(*giver)).join(" or ");
    let own = code(part);
    let message = format!("{own} needs it, but it comes off only when {parents} is built, which needs {own} first");
    Finding::new(&NEEDS_ITS_OWN_BY_PRODUCT, plant.place(Table::Bills, line.row, "part"), code(line.part), message)
}
