//! What lies in the plant, taken by demands one after the other.
//!
//! Rule `cover-order`.

use std::collections::BTreeMap;

use super::numbers::Millionths;
use super::plant::Plant;
use super::sheets::Key;
use super::takers::Taker;
use super::wants::{DemandKey, View};

/// How a piece of a demand is covered by what lies in the plant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lying {
    Reserved,
    Lineside,
    Stores,
}

/// One part's stock that is left.
pub struct Shelf {
    reserved: BTreeMap<Key, Millionths>,
    lineside: BTreeMap<Key, Millionths>,
    stores: Millionths,
}

impl Shelf {
    pub fn of(plant: &Plant, part: &str) -> Shelf {
        let (reserved, lineside) = (BTreeMap::new(), BTreeMap::new());
        let mut shelf = Shelf { reserved, lineside, stores: 0 };
        for row in plant.stock.iter().filter(|row| row.part == part && plant.stock_counts(row)) {
            match (&row.unit, &row.at) {
                (Some(unit), _) => *shelf.reserved.entry(unit.clone()).or_default() += row.qty,
                (None, Some(place)) => *shelf.lineside.entry(place.clone()).or_default() += row.qty,
                (None, None) => shelf.stores += row.qty,
            }
        }
        shelf
    }

    /// Takes for a demand what it can get, in the contract's order.
    pub fn take(&mut self, taker: &Taker, to: &str, wanted: Millionths, loose_too: bool) -> Vec<(Lying, Millionths)> {
        let mut nothing = 0;
        let reserved = self.reserved.get_mut(&taker.key).unwrap_or(&mut nothing);
        let mut left = wanted;
        let mut taken = vec![(Lying::Reserved, take_from(reserved, &mut left))];
        if loose_too {
            let lineside = self.lineside.get_mut(to).unwrap_or(&mut nothing);
            taken.push((Lying::Lineside, take_from(lineside, &mut left)));
            taken.push((Lying::Stores, take_from(&mut self.stores, &mut left)));
        }
        taken.retain(|(_, qty)| *qty > 0);
        taken
    }
}

/// Moves as much as is wanted and there.
pub fn take_from(heap: &mut Millionths, wanted: &mut Millionths) -> Millionths {
    let taken = (*heap).min(*wanted);
    *heap -= taken;
    *wanted -= taken;
    taken
}

impl View<'_> {
    /// Whether stock that is reserved for nobody may cover a demand.
    pub fn takes_loose_stock(&self, demand: &DemandKey) -> bool {
        let is_make = self.plant.parts[&demand.part].source == super::plant::Source::Make;
        !(is_make && self.plant.is_configured(&demand.part))
    }
}
