//! What the bought parts of each unit on a line weigh, at each position: its bill followed down line by line, whoever builds it.
//!
//! Rule `bill-weight`.

use super::numbers::{Millionths, ONE, Ratio, cut};
use super::plant::{Plant, Source};
use super::sheets::{Key, rows};
use super::takers::Crowd;
use super::{Book, read};
use std::collections::{BTreeMap, BTreeSet};

/// What comes into a unit at a position.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Here {
    pub weight: Millionths,
    pub parts: BTreeSet<Key>,
    pub unknown: BTreeSet<Key>,
}

/// By unit as written, and position; units that are held, done or set aside are left out.
pub fn weights(book: &Book) -> BTreeMap<(String, i64), Here> {
    let plant = read(book, None).expect("a sound book");
    let (crowd, _) = Crowd::gather(&plant);
    let weights = rows(book, "Parts").into_iter().map(|row| (row.key("part"), row.number("weight"))).collect();
    let mut walk = Walk { plant: &plant, crowd: &crowd, weights, rank: 0, found: BTreeMap::new() };
    for (rank, taker) in crowd.takers.iter().enumerate() {
        let Some(unit) = crowd.unit_of(rank).filter(|_| !taker.set_aside) else { continue };
        walk.rank = rank;
        walk.below(&unit.floorplan(), ONE, None, false);
    }
    walk.found
}

struct Walk<'a> {
    plant: &'a Plant,
    crowd: &'a Crowd,
    weights: BTreeMap<Key, Option<Ratio>>,
    rank: usize,
    found: BTreeMap<(String, i64), Here>,
}

impl Walk<'_> {
    /// Below a parent at a station; what a shop builds comes where it is fitted, and so does all that is in it.
    fn below(&mut self, parent: &str, qty: Millionths, at: Option<&Key>, in_shop: bool) {
        let (plant, crowd) = (self.plant, self.crowd);
        for line in crowd.active(plant, self.rank, parent) {
            let qty = line.quantity(qty);
            if line.gives || qty == 0 {
                continue;
            }
            let station = if in_shop { at } else { line.station.as_ref().or(at) };
            match plant.parts[&line.part].source {
                Source::Buy => self.piece(&line.part, qty, station.expect("a station")),
                Source::Make => self.below(&line.part, qty, station, true),
                Source::Phantom => self.below(&line.part, qty, station, in_shop),
                Source::ByProduct => {}
            }
        }
    }

    fn piece(&mut self, part: &Key, qty: Millionths, station: &Key) {
        let unit = self.crowd.unit_of(self.rank).expect("a unit");
        let here = self.found.entry((unit.code.clone(), self.plant.stations[station].position)).or_default();
        here.parts.insert(part.clone());
        match self.weights[part] {
            Some(each) => here.weight += cut(qty, each),
            None => _ = here.unknown.insert(part.clone()),
        }
    }
}
