//! What the bought parts of a unit weigh by the book: each with the position at which it comes into the unit.
//!
//! Rule `bill-weight`.

use crate::base::{ChangeId, DestId, MustBe, PartId, Quantity, Total, UnitId};
use crate::check::{Plant, Source, Unit};
use crate::configure::Orders;
use crate::every_order::bill::{Bill, Guard, Way};
use crate::expression::NameSet;
use crate::line::Pace;
use itertools::Itertools;
use std::cell::OnceCell;

/// The bills of a plant, each followed down once.
pub struct Bills<'p> {
    plant: &'p Plant,
    pace: &'p Pace,
    orders: Orders<'p>,
    wanted: Vec<bool>,
    of_floorplan: Vec<OnceCell<Bill>>,
}

/// A bought part in a unit, as one way down its bill brings it.
#[derive(Clone, Copy, Debug)]
pub struct PartInUnit {
    /// The station at which it comes into the unit, by itself or in what a shop built.
    pub station: DestId,
    /// The part that comes there: itself, or the make part that it is in.
    pub comes_as: PartId,
    /// What has a weight, or should have one.
    pub part: PartId,
    /// How much of it.
    pub qty: Quantity,
    /// What that weighs in kilograms, where its weight is known.
    pub kilograms: Option<Total>,
}

/// What comes into a unit at a position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AtPosition {
    /// The position on the line, from 1.
    pub position: u32,
    /// What the bought parts weigh whose weight is known.
    pub kilograms: Total,
    /// How many bought parts there are.
    pub parts: usize,
    /// How many of them have no weight.
    pub unknown: usize,
}

/// What the bought parts of a unit weigh.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct BillWeight {
    /// Those that have a weight, in kilograms.
    pub kilograms: Total,
    /// How many bought parts it has.
    pub parts: usize,
    /// Those that have no weight, and how much of each.
    pub unknown: Vec<(PartId, Total)>,
    /// The same by position, in the order of the line.
    pub positions: Vec<AtPosition>,
}

const NO_STATION: &str = "a bill line of a floorplan has no station";

/// What comes to a station as one, and where.
#[derive(Clone, Copy)]
struct Comes {
    station: Option<DestId>,
    /// None in a phantom at a station: what stands below it comes by itself.
    part: Option<PartId>,
}

impl<'p> Bills<'p> {
    /// Those of a plant.
    pub fn of(plant: &'p Plant, pace: &'p Pace) -> Self {
        let of_floorplan = plant.floorplans.iter().map(|_| OnceCell::new()).collect();
        Self { plant, pace, orders: Orders::of(plant), wanted: vec![true; plant.parts.len()], of_floorplan }
    }

    fn bill(&self, floorplan: usize) -> &Bill {
        self.of_floorplan[floorplan].get_or_init(|| Bill::of(self.plant, floorplan, &self.wanted))
    }

    /// Whether a unit is built as after a change. One that is done has no entry: it is by the date in its column `start`.
    fn reached(&self, id: UnitId, change: ChangeId) -> bool {
        let unit = &self.plant.units[id.at()];
        let from = self.plant.changes[change.at()].from_date;
        let by_start = unit.done && from.is_some_and(|from| unit.start.is_some_and(|start| start >= from));
        by_start || self.pace.reached(self.plant, id, change)
    }

    /// What a unit has, held or done or not; `None` where its order is wrong.
    pub fn has(&self, id: UnitId) -> Option<NameSet> {
        self.orders.has(&self.plant.units[id.at()])
    }

    /// What is true for a unit, held or done or not, and its bill; `None` where its order is wrong.
    fn build(&self, id: UnitId) -> Option<(NameSet, &Bill)> {
        let unit = &self.plant.units[id.at()];
        let floorplan = unit.floorplan.as_ref().ok()?.at();
        Some((self.orders.has(unit)?, self.bill(floorplan)))
    }

    /// Goes down a unit's bill along the lines that count for it; each is told with what comes to a station as one, and whether that
    /// is what the line itself brings. `None` where its order is wrong.
    fn walk(&self, id: UnitId, mut visit: impl FnMut(&Way, Comes, bool)) -> Option<()> {
        let (names, bill) = self.build(id)?;
        let plant = self.plant;
        let reached = |change| self.reached(id, change);
        let holds: Vec<bool> = bill.guards.iter().map(|guard| guard.holds(plant, &names, reached)).collect();
        let mut comes: Vec<Comes> = Vec::with_capacity(bill.ways.len());
        for (i, way) in bill.ways.iter().enumerate() {
            let above = comes.get(bill.parent(i) as usize).copied().filter(|above| above.part.is_some());
            let own = Some(way.part).filter(|part| plant.part(*part).source != Source::Phantom);
            let here = above.unwrap_or(Comes { station: way.station, part: own });
            comes.push(here);
            if !way.gives && holds[way.guard as usize] {
                visit(way, here, above.is_none());
            }
        }
        Some(())
    }

    /// The bought parts of a unit, in the order of its bill; `None` where its order is wrong.
    pub fn pieces(&self, id: UnitId) -> Option<Vec<PartInUnit>> {
        let mut pieces = Vec::new();
        self.walk(id, |way, here, _| {
            let part = self.plant.part(way.part);
            if part.bought() {
                pieces.push(PartInUnit {
                    station: here.station.must(NO_STATION),
                    comes_as: here.part.unwrap_or(way.part),
                    part: way.part,
                    qty: way.qty,
                    kilograms: part.weight.map(|each| Total::at(each, way.qty)),
                });
            }
        })?;
        Some(pieces)
    }

    /// What comes to a unit's stations and is not bought: where, what and how much, in the order of its bill; `None` where its order is
    /// wrong.
    pub fn not_bought(&self, id: UnitId) -> Option<Vec<(DestId, PartId, Quantity)>> {
        let mut found = Vec::new();
        self.walk(id, |way, here, itself| {
            if itself && here.part.is_some() && !self.plant.part(way.part).bought() {
                found.push((here.station.must(NO_STATION), way.part, way.qty));
            }
        })?;
        Some(found)
    }

    /// What a unit's bought parts weigh; `None` where its order is wrong.
    pub fn weight(&self, id: UnitId) -> Option<BillWeight> {
        Some(self.sum(&self.pieces(id)?))
    }

    /// What some pieces weigh.
    pub fn sum(&self, pieces: &[PartInUnit]) -> BillWeight {
        let of_parts = pieces.iter().map(|piece| (piece.part, piece)).into_group_map();
        let by_part = of_parts.into_iter().sorted_by_key(|(part, _)| *part);
        let unknown = by_part.filter(|(part, _)| self.plant.part(*part).weight.is_none());
        let at = pieces.iter().map(|piece| (self.position(piece.station), *piece)).into_group_map();
        let positions = at.into_iter().sorted_by_key(|(position, _)| *position);
        BillWeight {
            kilograms: pieces.iter().filter_map(|piece| piece.kilograms).sum(),
            parts: pieces.iter().map(|piece| piece.part).unique().count(),
            unknown: unknown.map(|(part, of)| (part, of.iter().map(|piece| piece.qty).sum())).collect(),
            positions: positions.map(|(position, pieces)| at_position(position, &pieces)).collect(),
        }
    }

    /// The position of a station.
    pub fn position(&self, station: DestId) -> u32 {
        self.plant.position(station).must("a part comes into a unit at no station")
    }

    /// Changes by date of which nobody knows whether a finished unit was built before or behind them, and that decide about bought
    /// parts of its floorplan: it has no start date, and was weighed, as far as is known, when they had begun.
    pub fn unclear(&self, id: UnitId, weighed: Option<crate::base::Moment>) -> Vec<ChangeId> {
        let unit: &Unit = &self.plant.units[id.at()];
        let Some((names, bill)) = self.build(id).filter(|_| unit.done && unit.start.is_none()) else {
            return Vec::new();
        };
        let day = weighed.unwrap_or(self.plant.as_of).date();
        let open = |change: &ChangeId| {
            let begun = self.plant.changes[change.at()].from_date.is_some_and(|from| from <= day);
            begun && !self.reached(id, *change)
        };
        let asks = |guard: &Guard| {
            let holds = guard.whens.iter().all(|when| self.plant.conditions[*when as usize].holds(&names));
            if holds { [guard.from.as_slice(), &guard.until].concat() } else { Vec::new() }
        };
        let bought = bill.ways.iter().filter(|way| !way.gives && self.plant.part(way.part).bought());
        let guards = bought.map(|way| way.guard).unique().map(|guard| &bill.guards[guard as usize]);
        guards.flat_map(asks).filter(open).sorted().dedup().collect()
    }
}

fn at_position(position: u32, pieces: &[PartInUnit]) -> AtPosition {
    AtPosition {
        position,
        kilograms: pieces.iter().filter_map(|piece| piece.kilograms).sum(),
        parts: pieces.iter().map(|piece| piece.part).unique().count(),
        unknown: pieces.iter().filter(|piece| piece.kilograms.is_none()).map(|piece| piece.part).unique().count(),
    }
}
