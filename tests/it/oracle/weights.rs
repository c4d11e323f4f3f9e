//! What the bought parts of each unit on a line weigh, at each position: its bill followed down line by line, whoever builds it.
//!
//! Rule `bill-weight`.

use super::numbers::{Millionths, ONE, Ratio, cut};
use super::options::options_of;
use super::plant::{BillLine, Plant, Source};
use super::sequence::{State, Unit};
use super::sheets::{Key, rows};
use super::takers::Crowd;
use super::whens::holds;
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
    let mut found = BTreeMap::new();
    for (rank, taker) in crowd.takers.iter().enumerate() {
        let Some(unit) = crowd.unit_of(rank).filter(|_| !taker.set_aside) else { continue };
        let active = |parent: &str| crowd.active(&plant, rank, parent);
        found.extend(Walk::of(book, &plant, unit, &active));
    }
    found
}

/// A unit that is done, or to come, with its options and what its bought parts weigh in all.
pub struct Whole {
    pub unit: String,
    pub floorplan: Key,
    pub done: bool,
    /// Whether it stands at the last position of its line.
    pub last: bool,
    pub options: BTreeSet<Key>,
    pub weight: Millionths,
    pub parts: BTreeSet<Key>,
    pub unknown: BTreeSet<Key>,
}

/// Units on the lines by rank, then those that are done, of which the order is right. One that is done has reached a change from a date by its own
/// start, one from a unit as ever: that before it on its line, on another one that is done itself.
pub fn whole(book: &Book) -> Vec<Whole> {
    let plant = read(book, None).expect("a sound book");
    let (crowd, _) = Crowd::gather(&plant);
    let mut all = Vec::new();
    for (rank, taker) in crowd.takers.iter().enumerate() {
        let Some(unit) = crowd.unit_of(rank).filter(|_| !taker.set_aside) else { continue };
        let active = |parent: &str| crowd.active(&plant, rank, parent);
        all.push(whole_of(book, &plant, unit, taker.options.clone(), &active));
    }
    for unit in crowd.units.iter().filter(|unit| unit.state == State::Done) {
        let Ok(options) = options_of(&plant, unit) else { continue };
        let series = plant.floorplans[&unit.floorplan()].series.clone();
        let mut truths = options.clone();
        truths.extend([unit.floorplan(), unit.line.clone(), series].into_iter().filter(|name| !name.is_empty()));
        let reached = |change: &Key| {
            let change = &plant.changes[change];
            let by_day = change.from_day.is_some_and(|day| unit.start.is_some_and(|start| start >= day));
            let first = change.from_unit.as_ref().and_then(|key| crowd.units.iter().find(|unit| unit.key == *key));
            by_day
                || first.is_some_and(|first| match first.line == unit.line {
                    true => !unit.seq.is_less_than(first.seq),
                    false => first.state == State::Done,
                })
        };
        let holds_of = |line: &&BillLine| {
            let from = line.from_change.as_ref().is_none_or(reached);
            line.factor.num > 0
                && holds(&line.when, &truths)
                && from
                && !line.until_change.as_ref().is_some_and(reached)
        };
        let active = |parent: &str| plant.lines_of(parent).iter().filter(holds_of).collect();
        all.push(whole_of(book, &plant, unit, options, &active));
    }
    all
}

fn whole_of<'p>(
    book: &Book,
    plant: &'p Plant,
    unit: &Unit,
    options: BTreeSet<Key>,
    active: &dyn Fn(&str) -> Vec<&'p BillLine>,
) -> Whole {
    let found = Walk::of(book, plant, unit, active);
    let stations = plant.stations.values().filter(|station| station.line == unit.line);
    let last = stations.map(|station| station.position).max();
    let at = plant.orders.iter().find(|order| order.code == unit.code).and_then(|order| order.at.as_ref());
    Whole {
        unit: unit.code.clone(),
        floorplan: unit.floorplan(),
        done: unit.state == State::Done,
        last: at.map(|at| plant.stations[at].position) == last,
        options,
        weight: found.values().map(|here: &Here| here.weight).sum(),
        parts: found.values().flat_map(|here| here.parts.clone()).collect(),
        unknown: found.values().flat_map(|here| here.unknown.clone()).collect(),
    }
}

struct Walk<'a, 'p> {
    plant: &'p Plant,
    unit: &'a Unit,
    /// The lines of a parent that count for the unit.
    active: &'a dyn Fn(&str) -> Vec<&'p BillLine>,
    weights: BTreeMap<Key, Option<Ratio>>,
    found: BTreeMap<(String, i64), Here>,
}

impl<'p> Walk<'_, 'p> {
    fn of(
        book: &Book,
        plant: &'p Plant,
        unit: &Unit,
        active: &dyn Fn(&str) -> Vec<&'p BillLine>,
    ) -> BTreeMap<(String, i64), Here> {
        let weights = rows(book, "Parts").into_iter().map(|row| (row.key("part"), row.number("weight"))).collect();
        let mut walk = Walk { plant, unit, active, weights, found: BTreeMap::new() };
        walk.below(&unit.floorplan(), ONE, None, false);
        walk.found
    }

    /// Below a parent at a station; what a shop builds comes where it is fitted, and so does all that is in it.
    fn below(&mut self, parent: &str, qty: Millionths, at: Option<&Key>, in_shop: bool) {
        let plant = self.plant;
        for line in (self.active)(parent) {
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
        let here = self.found.entry((self.unit.code.clone(), self.plant.stations[station].position)).or_default();
        here.parts.insert(part.clone());
        match self.weights[part] {
            Some(each) => here.weight += cut(qty, each),
            None => _ = here.unknown.insert(part.clone()),
        }
    }
}
