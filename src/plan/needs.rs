//! What units and extras ask for before the shops have run: of the shops, and of the stores.
//!
//! Rules `need-at-a-station`, `extras`, `one-demand`.

use super::exploded::Exploded;
use crate::base::{MustBe, OwnerId};
use crate::check::Source;
use crate::explode::{Path, TooLarge};
use crate::netting::{Demand, Lots};
use crate::shops::{ForShops, give};

/// What units and extras ask for before the shops have run.
pub(super) struct Needs {
    pub(super) asked: ForShops,
    /// Bought parts that extras ask for.
    pub(super) extras: Vec<Demand>,
}

impl Exploded<'_> {
    pub(super) fn needs(&self) -> Result<Needs, TooLarge> {
        let asked = ForShops { makes: Vec::new(), by_products: Vec::new(), lots: Lots::new() };
        let mut needs = Needs { asked, extras: Vec::new() };
        for i in 0..self.pace.owners.len() {
            self.ask_for_unit(OwnerId::of(i), &mut needs)?;
        }
        self.ask_for_extras(&mut needs);
        Ok(needs)
    }

    /// What a unit's bill asks of the shops and the line, and the by-products that come off there or are there already.
    fn ask_for_unit(&self, owner: OwnerId, needs: &mut Needs) -> Result<(), TooLarge> {
        let plant = self.plant;
        let row = &self.pace.owners[owner.at()];
        let Some(unit) = row.unit.filter(|_| row.planned) else { return Ok(()) };
        // What is below a make part whose station is issued is there already.
        let mut there = Vec::new();
        for path in self.explosions.made_for(unit) {
            let &Path { part, station: to, qty, .. } = path;
            let Some(position) = plant.position(to) else { continue };
            if path.gives {
                if let Some(leaves) = self.pace.leaves(plant, unit, position) {
                    give(&mut needs.asked.lots, &self.pace, owner, part, (leaves, qty));
                }
            } else if plant.issued(unit, to) {
                self.explosions.gives_of(Some(unit), part, qty, &mut there)?;
            } else if let Some(need) = self.pace.need(plant, unit, to) {
                let by_product = plant.part(part).source == Source::ByProduct;
                let list = if by_product { &mut needs.asked.by_products } else { &mut needs.asked.makes };
                list.push(Demand { part, need, owner, to, qty });
            }
        }
        for (part, qty) in there {
            give(&mut needs.asked.lots, &self.pace, owner, part, (plant.as_of, qty));
        }
        Ok(())
    }

    fn ask_for_extras(&self, needs: &mut Needs) {
        for (extra, &owner) in self.plant.extras.iter().zip(&self.pace.extra_owners) {
            let row = &self.pace.owners[owner.at()];
            let unit = row.unit.filter(|_| row.planned);
            if unit.is_some_and(|unit| self.configured[unit.at()].is_none()) || !extra.qty.is_positive() {
                continue;
            }
            let need = extra.needed.or_else(|| self.pace.need(self.plant, unit?, extra.to));
            let need = need.must("an extra has no time");
            let demand = Demand { part: extra.part, need, owner, to: extra.to, qty: extra.qty };
            match self.plant.part(extra.part).source {
                Source::Make(_) => needs.asked.makes.push(demand),
                Source::ByProduct => needs.asked.by_products.push(demand),
                _ => needs.extras.push(demand),
            }
        }
    }
}
