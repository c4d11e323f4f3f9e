//! The units: their orders, lines and moves.

use crate::model::{Floorplan, Unit, Wanted};
use crate::names::POSITIONS;
use crate::options::{Catalogue, Order};
use fastrand::Rng;
use std::collections::HashSet;

/// Units of the full book that have left a line already.
const DONE: usize = 10;

/// Orders all different, or as many different ones as are wanted.
fn orders(wanted: &Wanted, catalogue: &Catalogue, floorplans: &[Floorplan], rng: &mut Rng) -> Vec<Order> {
    let distinct = wanted.distinct.unwrap_or(wanted.units).clamp(1, wanted.units);
    let mut seen = HashSet::new();
    let mut orders = Vec::new();
    while orders.len() < distinct {
        let floorplan = rng.usize(..floorplans.len());
        let order = catalogue.order(floorplan, floorplans[floorplan].line, rng);
        if seen.insert((floorplan, order.names)) {
            orders.push(order);
        }
    }
    for _ in distinct..wanted.units {
        orders.push(orders[rng.usize(..distinct)].clone());
    }
    rng.shuffle(&mut orders);
    orders
}

/// All units, line by line in the order of their sequence.
pub fn units(wanted: &Wanted, catalogue: &Catalogue, floorplans: &[Floorplan], rng: &mut Rng) -> Vec<Unit> {
    let orders = orders(wanted, catalogue, floorplans, rng);
    let mut units: Vec<Unit> = Vec::new();
    for line in 0..2 {
        let of_line = orders.iter().filter(|order| floorplans[order.floorplan].line == line);
        let first = units.len();
        for (n, order) in of_line.enumerate() {
            let code = format!("AF{:05}", first + n + 1);
            units.push(Unit { code, line, order: order.clone(), entry: 0, at: 0, gap: 0, hold: false, done: false });
        }
        let placed = &mut units[first..];
        if wanted.full { full_line(placed, rng) } else { empty_line(placed) }
    }
    units
}

/// The line stands empty; one unit enters at each move, the first at once.
fn empty_line(units: &mut [Unit]) {
    (0..).zip(units).for_each(|(entry, unit)| unit.entry = entry);
}

/// Some have left the line, one stands at each position, some are held, and some follow a gap.
fn full_line(units: &mut [Unit], rng: &mut Rng) {
    units.iter_mut().take(DONE).for_each(|unit| unit.done = true);
    let mut entry = 1 - POSITIONS;
    for unit in units.iter_mut().skip(DONE) {
        if entry <= 0 {
            unit.at = 1 - entry;
        } else {
            unit.hold = rng.u32(..100) == 0;
            unit.gap = i64::from(!unit.hold && rng.u32(..150) == 0);
        }
        if unit.hold {
            continue;
        }
        unit.entry = entry + unit.gap;
        entry = unit.entry + 1;
    }
}
