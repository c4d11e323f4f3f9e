//! Content judged for the units of the sequence.

use super::bill::Bill;
use super::broken::ways_of_kind;
use super::words::Broken;
use crate::base::{Finding, Findings, PartId, UnitId};
use crate::book::Table;
use crate::check::follow::leading_to;
use crate::check::{Content, Plant, kinds};
use crate::configure::Configured;
use crate::expression::NameSet;
use crate::line::Pace;

/// What ordered units have too much or too little of: a finding for each unit and row of `Content`.
pub fn findings(plant: &Plant, configured: &Configured, pace: &Pace) -> Findings {
    let mut findings = Findings::default();
    if plant.content.is_empty() {
        return findings;
    }
    let bills = bills(plant);
    let of_kind: Vec<_> = bills.iter().map(|bill| ways_of_kind(plant, bill)).collect();
    for (i, names) in configured.iter().enumerate().filter_map(|(i, names)| Some((i, names.as_ref()?))) {
        let unit = &plant.units[i];
        let Ok(floorplan) = &unit.floorplan else { continue };
        let bill = &bills[floorplan.at()];
        let counts = |guard: u32| {
            let guard = &bill.guards[guard as usize];
            guard.holds(plant, names, |change| pace.reached(plant, UnitId::of(i), change))
        };
        let holds: Vec<bool> = (0..bill.guards.len()).map(|guard| counts(crate::base::numbered(guard))).collect();
        for row in plant.content.iter().filter(|row| applies(plant, row, names)) {
            let ways = of_kind[floorplan.at()].get(&row.kind).map_or(&[][..], Vec::as_slice);
            if let Some(broken) = Broken::of(row, bill, ways, |guard| holds[guard as usize]) {
                let place = plant.place(Table::Sequence, unit.row, "options");
                let who = format!("unit {} has", unit.code);
                let message = broken.told(plant, &who, bill);
                findings.add(Finding::new(
                    &kinds::CONTENT_BROKEN,
                    place,
                    plant.kinds[row.kind as usize].as_str(),
                    message,
                ));
            }
        }
    }
    findings
}

/// Of each floorplan the bill down to the kinds that `Content` speaks of.
pub(super) fn bills(plant: &Plant) -> Vec<Bill> {
    let spoken =
        |part: PartId| plant.part(part).kind.is_some_and(|kind| plant.content.iter().any(|row| row.kind == kind));
    let wanted = leading_to(plant, spoken);
    (0..plant.floorplans.len()).map(|floorplan| Bill::of(plant, floorplan, &wanted)).collect()
}

/// Whether a row of `Content` is about a unit for which these names are true.
pub(super) fn applies(plant: &Plant, row: &Content, names: &NameSet) -> bool {
    row.only.is_none_or(|only| names.contains(only)) && plant.conditions[row.when as usize].holds(names)
}
