//! A floorplan's bill followed down to the last part, make parts and phantoms alike: each way once, with what it asks.

use crate::base::{ChangeId, DestId, PartId, Quantity, numbered};
use crate::check::{BillLine, Plant, Source, follow};
use crate::expression::NameSet;
use std::collections::HashMap;

/// What must hold for all lines of a way.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Guard {
    /// Conditions by their index, each once, without such as always hold.
    pub whens: Vec<u32>,
    /// Changes that must be reached.
    pub from: Vec<ChangeId>,
    /// Changes that must not be.
    pub until: Vec<ChangeId>,
}

/// A line as it is reached from the floorplan.
#[derive(Clone, Copy, Debug)]
pub struct Way {
    /// The line, by its index.
    pub line: u32,
    /// What it brings, or what comes off.
    pub part: PartId,
    /// How much of it a unit takes.
    pub qty: Quantity,
    /// The station, or none within a shop.
    pub station: Option<DestId>,
    /// What it asks, by its number.
    pub guard: u32,
    /// The parent's.
    pub parent_guard: u32,
    /// Whether it comes off.
    pub gives: bool,
}

/// All ways down.
#[derive(Debug, Default)]
pub struct Bill {
    /// In the order of the bills.
    pub ways: Vec<Way>,
    /// What they ask, each once; the first asks nothing.
    pub guards: Vec<Guard>,
    /// The lines of each way, the last first: of each way the line above it.
    above: Vec<u32>,
    known: HashMap<Guard, u32>,
}

/// No way above.
const TOP: u32 = u32::MAX;

/// Where the walk stands.
#[derive(Clone, Copy)]
struct Above {
    qty: Quantity,
    station: Option<DestId>,
    guard: u32,
    way: u32,
}

impl Bill {
    /// A floorplan's; of its lines those that are wanted and all above such.
    pub fn of(plant: &Plant, floorplan: usize, wanted: &[bool]) -> Self {
        let mut bill = Self::default();
        bill.number(Guard::default());
        let top = Above { qty: Quantity::whole(1), station: None, guard: 0, way: TOP };
        let lines = plant.floorplans[floorplan].bill.clone();
        follow::down(plant, lines, top, |at, line, above| bill.meet(plant, at, line, above, wanted));
        bill
    }

    fn number(&mut self, guard: Guard) -> u32 {
        let next = numbered(self.guards.len());
        let id = *self.known.entry(guard.clone()).or_insert(next);
        if id == next {
            self.guards.push(guard);
        }
        id
    }

    /// Puts a line down; gives what stands above those below it, where it is followed further.
    fn meet(&mut self, plant: &Plant, i: usize, line: &BillLine, above: Above, wanted: &[bool]) -> Option<Above> {
        let qty = above.qty.times(line.factor).filter(|qty| qty.is_positive())?;
        if !wanted[line.part.at()] {
            return None;
        }
        let guard = self.both(above.guard, line);
        let station = line.station.or(above.station);
        let way = numbered(self.ways.len());
        self.ways.push(Way {
            line: numbered(i),
            part: line.part,
            qty,
            station,
            guard,
            parent_guard: above.guard,
            gives: line.gives,
        });
        self.above.push(above.way);
        match plant.part(line.part).source {
            _ if line.gives => None,
            Source::Make(_) => Some(Above { qty, station: None, guard, way }),
            Source::Phantom => Some(Above { qty, station, guard, way }),
            Source::Buy | Source::ByProduct => None,
        }
    }

    fn both(&mut self, above: u32, line: &BillLine) -> u32 {
        if line.always() {
            return above;
        }
        let mut guard = self.guards[above as usize].clone();
        guard.whens.extend(Some(line.when).filter(|when| *when != 0));
        guard.from.extend(line.from);
        guard.until.extend(line.until);
        guard.whens.sort_unstable();
        guard.whens.dedup();
        for list in [&mut guard.from, &mut guard.until] {
            list.sort_unstable();
            list.dedup();
        }
        self.number(guard)
    }

    /// The way above one.
    pub fn parent(&self, way: usize) -> u32 {
        self.above[way]
    }

    /// The bill lines of a way, from the floorplan down.
    pub fn lines(&self, way: usize) -> Vec<u32> {
        let mut lines = Vec::new();
        let mut at = numbered(way);
        while at != TOP {
            lines.push(self.ways[at as usize].line);
            at = self.above[at as usize];
        }
        lines.reverse();
        lines
    }
}

impl Guard {
    /// Whether it holds where these names are true and these changes reached.
    pub fn holds(&self, plant: &Plant, names: &NameSet, reached: impl Fn(ChangeId) -> bool) -> bool {
        self.in_state(reached) && self.whens.iter().all(|when| plant.conditions[*when as usize].holds(names))
    }

    /// Whether its changes allow it.
    pub fn in_state(&self, reached: impl Fn(ChangeId) -> bool) -> bool {
        self.from.iter().all(|change| reached(*change)) && !self.until.iter().any(|change| reached(*change))
    }
}
