//! Which units of the sequence take a part, on their line or through what is made for them; stock left aside.

use crate::base::{PartId, UnitId};
use crate::check::Plant;
use crate::configure::Configured;
use crate::explode::{self, Explosions, TooLarge};
use crate::plan::Plan;

/// A bit for each unit, at its place among them.
pub(super) type Bits = Vec<u64>;

/// For each part who takes it.
pub(super) struct Takers {
    of_part: Vec<Option<Bits>>,
    places: Vec<usize>,
}

impl Takers {
    /// Of all units with a configuration.
    ///
    /// # Errors
    /// Where a quantity becomes too large.
    pub(super) fn of(plan: &Plan<'_>, configured: &Configured) -> Result<Self, TooLarge> {
        let plant = plan.plant;
        let explosions = explode::explode(plant, configured, &plan.pace)?;
        let places: Vec<usize> = (0..plant.units.len()).map(|unit| explosions.guards.place(UnitId::of(unit))).collect();
        let mut takers = Self { of_part: vec![None; plant.parts.len()], places };
        let words = (plant.units.len() + 1).div_ceil(64);
        for (floorplan, paths) in explosions.floorplans.iter().enumerate() {
            let mut own = vec![0; words];
            let units =
                (0..plant.units.len()).filter(|unit| explosions.floorplan_of(UnitId::of(*unit)) == Some(floorplan));
            units.map(|unit| takers.places[unit]).for_each(|place| own[place / 64] |= 1 << (place % 64));
            for path in paths.all.iter().filter(|path| !path.gives) {
                let taking: Bits = match path.guard {
                    0 => own.clone(),
                    guard => own.iter().zip(explosions.guards.owners(guard)).map(|(own, holds)| own & holds).collect(),
                };
                takers.add(path.part, &taking);
            }
        }
        for part in plant.from_below.iter().rev().filter(|part| !plant.bill(**part).is_empty()) {
            takers.follow(plant, &explosions, *part);
        }
        Ok(takers)
    }

    fn add(&mut self, part: PartId, more: &[u64]) {
        match &mut self.of_part[part.at()] {
            Some(bits) => bits.iter_mut().zip(more).for_each(|(bits, more)| *bits |= more),
            none => *none = Some(more.to_vec()),
        }
    }

    /// Adds what is built into a make part, phantoms and other make parts one step down.
    fn follow(&mut self, plant: &Plant, explosions: &Explosions<'_>, part: PartId) {
        let Some(own) = self.of_part[part.at()].clone() else { return };
        for (i, line) in plant.part(part).bill.clone().zip(plant.bill(part)) {
            if line.gives || line.factor.is_zero() {
                continue;
            }
            let guard = explosions.guards.of_line(i);
            let taking: Bits = match guard {
                0 => own.clone(),
                guard => own.iter().zip(explosions.guards.owners(guard)).map(|(own, holds)| own & holds).collect(),
            };
            self.add(line.part, &taking);
        }
    }

    /// Whether a unit takes a part.
    pub(super) fn takes(&self, unit: UnitId, part: PartId) -> bool {
        let place = self.places[unit.at()];
        self.of_part[part.at()].as_ref().is_some_and(|bits| bits[place / 64] >> (place % 64) & 1 == 1)
    }
}
