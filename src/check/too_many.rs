//! Rows of two tables that multiply: so few that the lists which are made of them fit in memory.

use super::kinds::TOO_LARGE;
use super::limits::{MOST_OFFERS, MOST_TRUTHS};
use super::plant::Plant;
use crate::base::{Finding, Findings};
use crate::book::Table;

/// Whether what each floorplan offers of each option fits in memory.
pub fn offers_fit(plant: &Plant) -> bool {
    plant.floorplans.len() as u64 * plant.options.len() as u64 <= MOST_OFFERS
}

/// Whether it fits in memory what each unit has.
fn names_fit(plant: &Plant) -> bool {
    plant.units.len() as u64 * plant.names as u64 <= MOST_TRUTHS
}

/// Whether options of units can be worked out.
pub fn fits(plant: &Plant) -> bool {
    offers_fit(plant) && names_fit(plant)
}

/// Reports what does not fit.
pub fn report(plant: &Plant, findings: &mut Findings) {
    let (options, floorplans) = (plant.options.len(), plant.floorplans.len());
    if !offers_fit(plant) {
        let message = format!("{floorplans} floorplans times {options} options are more than {MOST_OFFERS}");
        findings.add(Finding::new(&TOO_LARGE, plant.place(Table::Floorplans, 0, ""), "", message));
    }
    if !names_fit(plant) {
        let (units, names) = (plant.units.len(), plant.names);
        let message =
            format!("{units} units times {names} options, floorplans, series and lines are more than {MOST_TRUTHS}");
        findings.add(Finding::new(&TOO_LARGE, plant.place(Table::Sequence, 0, ""), "", message));
    }
}
