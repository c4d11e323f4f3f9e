//! By-products that are needed for what they come off: they would have to be there before they are.

use super::Draft;
use super::kinds::NEEDS_ITS_OWN_BY_PRODUCT;
use super::plant::{BillLine, Plant, Source};
use super::shop_order::below;
use crate::base::{Finding, Findings, PartId};
use crate::book::Table;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

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
            for line in always(plant, part).into_iter().filter(|line| !line.gives) {
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
    let gives =
        |bill: &std::ops::Range<usize>| below(plant, &plant.bills[bill.clone()]).into_iter().filter(|line| line.gives);
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

/// The lines of a part's bill that count for all units, phantoms followed down.
fn always(plant: &Plant, part: PartId) -> Vec<&BillLine> {
    let counts = |line: &&BillLine| {
        plant.always(line.when) && line.from.is_none() && line.until.is_none() && !line.factor.is_zero()
    };
    let (mut found, mut open) = (Vec::new(), vec![part]);
    while let Some(part) = open.pop() {
        for line in plant.bills[plant.part(part).bill.clone()].iter().filter(counts) {
            match plant.part(line.part).source {
                Source::Phantom => open.push(line.part),
                _ => found.push(line),
            }
        }
    }
    found
}

/// The parts that are always built into a part.
fn built_in(plant: &Plant, part: PartId) -> BTreeSet<PartId> {
    let (mut found, mut open) = (BTreeSet::new(), vec![part]);
    while let Some(part) = open.pop() {
        let parts = always(plant, part).into_iter().map(|line| line.part);
        open.extend(parts.filter(|part| made(plant, *part) && found.insert(*part)));
    }
    found
}

fn finding(plant: &Plant, part: PartId, line: &BillLine, givers: &[PartId]) -> Finding {
    let code = |part: PartId| plant.part(part).code.as_str();
    let parents = givers.iter().map(|giver| code(*giver)).join(" or ");
    let own = code(part);
    let message = format!("{own} needs it, but it comes off only when {parents} is built, which needs {own} first");
    Finding::new(&NEEDS_ITS_OWN_BY_PRODUCT, plant.place(Table::Bills, line.row, "part"), code(line.part), message)
}
