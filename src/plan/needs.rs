//! What units and extras ask for before the shops have run: of the shops, and of the stores.

use crate::base::{OwnerId, PartId, Quantity};
use crate::check::{DestKind, Plant, Source};
use crate::configure::Configured;
use crate::explode::{Explosions, TooLarge};
use crate::line::Pace;
use crate::netting::{Demand, Lots};
use crate::shops::{Asked, give};

/// The stages after options and bills, which share what is known so far.
pub(super) struct Stage<'a> {
    pub(super) plant: &'a Plant,
    pub(super) pace: Pace,
    pub(super) configured: Configured,
    pub(super) explosions: Explosions<'a>,
}

/// What units and extras ask for before the shops have run.
pub(super) struct Needs {
    pub(super) asked: Asked,
    /// Bought parts that bills ask for.
    pub(super) bought: Vec<Demand>,
    /// Bought parts that extras ask for.
    pub(super) extras: Vec<Demand>,
}

impl<'a> Stage<'a> {
    pub(super) fn needs(&mut self) -> Result<Needs, TooLarge> {
        let asked = Asked { makes: Vec::new(), by_products: Vec::new(), lots: Lots::new() };
        let mut needs = Needs { asked, bought: Vec::new(), extras: Vec::new() };
        let mut there = Vec::new();
        for i in 0..self.pace.owners.len() {
            self.ask_for_unit(OwnerId::of(i), &mut needs, &mut there);
        }
        self.ask_for_extras(&mut needs);
        for (configuration, owner, part, qty) in there {
            let mut gives = Vec::new();
            self.explosions.all_gives(configuration, part, qty, &mut gives)?;
            for (part, qty) in gives {
                give(&mut needs.asked.lots, &self.pace, owner, part, (self.plant.as_of, qty));
            }
        }
        Ok(needs)
    }

    /// What a unit's bill asks for at stations; make parts at stations whose material is issued are `there` already.
    fn ask_for_unit(&self, owner: OwnerId, needs: &mut Needs, there: &mut Vec<(usize, OwnerId, PartId, Quantity)>) {
        let plant = self.plant;
        let row = &self.pace.owners[owner.at()];
        let Some(unit) = row.unit.filter(|_| row.planned) else { return };
        let Some(configuration) = self.explosions.of_unit[unit.at()] else { return };
        let found = &self.explosions.configurations[configuration];
        let issued = plant.units[unit.at()].issued;
        for stop in found.needs.chunk_by(|a, b| a.1 == b.1) {
            let DestKind::Station { position, .. } = plant.dest(stop[0].1).what else { continue };
            let Some(need) = self.pace.need(plant, unit, stop[0].1) else { continue };
            for &(part, to, qty) in stop {
                let made = matches!(plant.part(part).source, Source::Make(_));
                match plant.part(part).source {
                    _ if position <= issued && made => there.push((configuration, owner, part, qty)),
                    _ if position <= issued => {}
                    Source::Make(_) => needs.asked.makes.push(Demand { part, need, owner, to, qty }),
                    Source::ByProduct => needs.asked.by_products.push(Demand { part, need, owner, to, qty }),
                    _ => needs.bought.push(Demand { part, need, owner, to, qty }),
                }
            }
        }
        for &(part, station, qty) in &found.gives {
            let DestKind::Station { position, .. } = plant.dest(station).what else { continue };
            if let Some(leaves) = self.pace.leaves(plant, unit, position) {
                give(&mut needs.asked.lots, &self.pace, owner, part, (leaves, qty));
            }
        }
    }

    fn ask_for_extras(&self, needs: &mut Needs) {
        for (extra, &owner) in self.plant.extras.iter().zip(&self.pace.extra_owners) {
            let row = &self.pace.owners[owner.at()];
            let unit = row.unit.filter(|_| row.planned);
            if unit.is_some_and(|unit| self.configured[unit.at()].is_none()) || !extra.qty.is_positive() {
                continue;
            }
            // A checked plant gives every extra a time.
            let need = extra.needed.or_else(|| self.pace.need(self.plant, unit?, extra.to));
            let Some(need) = need else { continue };
            let demand = Demand { part: extra.part, need, owner, to: extra.to, qty: extra.qty };
            match self.plant.part(extra.part).source {
                Source::Make(_) => needs.asked.makes.push(demand),
                Source::ByProduct => needs.asked.by_products.push(demand),
                _ => needs.extras.push(demand),
            }
        }
    }
}
