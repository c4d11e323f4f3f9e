//! Bill weight against the scale: what finished units weigh by their bills and in fact, which are odd and what could explain it, and
//! what the scale should show for the next ones.
//!
//! Rules `scale`, `bill-weight`, `odd-weights`.

mod bill;
mod shared;
mod spread;

pub use bill::{AtPosition, BillWeight, Bills, PartInUnit};
pub use shared::Shared;
pub use spread::Spread;

use crate::base::{ChangeId, FloorplanId, MustBe, NameId, PartId, Quantity, Total, UnitId};
use crate::check::{Plant, Weighed};
use crate::configure;
use crate::plan::{Plan, UnitState};
use itertools::Itertools;

/// So many units of a floorplan must have been weighed before anything is said of one of them.
pub const LEAST_UNITS: usize = 8;

/// Of so many of the units to come it is said what the scale should show: about two days of a line that moves every half hour.
pub const NEXT: usize = 40;

/// All that the scale tells of a plan's units.
#[derive(Debug)]
pub struct Weights {
    /// Floorplans of which a unit was weighed or is next, in the order of the book.
    pub floorplans: Vec<OfFloorplan>,
    /// The units that were weighed, in the order of the book.
    pub units: Vec<OfUnit>,
    /// Units that were weighed and have no bill, since their order is wrong.
    pub without_bill: Vec<UnitId>,
    /// The first [`NEXT`] units that are not finished and are supplied, in the order in which they enter.
    pub next: Vec<Next>,
    /// How many more there are.
    pub more: usize,
}

/// What the scale tells of a floorplan.
#[derive(Debug)]
pub struct OfFloorplan {
    /// Of the units that are compared with each other.
    pub floorplan: FloorplanId,
    /// How many of its units were weighed.
    pub weighed: usize,
    /// How far the scale is from the bills; of [`LEAST_UNITS`] weights and more.
    pub spread: Option<Spread>,
    /// What its odd units that are too heavy share, and the others do not.
    pub heavy: Shared,
    /// The same of those that are too light.
    pub light: Shared,
}

/// A unit that was weighed.
#[derive(Debug)]
pub struct OfUnit {
    /// The row of `Scale` that counts.
    pub row: Weighed,
    /// Its floorplan.
    pub floorplan: FloorplanId,
    /// What is true for it.
    pub has: Vec<NameId>,
    /// What its bought parts weigh.
    pub bill: BillWeight,
    /// Scale less bill, in kilograms.
    pub difference: Total,
    /// Changes by date of which nobody knows whether it was built before or behind them.
    pub unclear: Vec<ChangeId>,
    /// Whether it is odd among the units of its floorplan.
    pub odd: bool,
}

/// A unit that is not finished.
#[derive(Debug)]
pub struct Next {
    /// One on the plan, supplied and not weighed as finished.
    pub unit: UnitId,
    /// Its floorplan.
    pub floorplan: FloorplanId,
    /// What its bought parts weigh.
    pub bill: BillWeight,
}

impl Weights {
    /// What the scale tells of a plan's units.
    pub fn of(plan: &Plan<'_>) -> Self {
        let plant = plan.plant;
        let bills = Bills::of(plant, &plan.pace);
        let mut without_bill = Vec::new();
        let mut units = Vec::new();
        for row in &plant.weighed {
            match of_unit(plant, &bills, *row) {
                Some(unit) => units.push(unit),
                None => without_bill.push(row.unit),
            }
        }
        let (next, more) = next(plan, &bills);
        let floorplans = (0..plant.floorplans.len()).map(FloorplanId::of);
        let known = floorplans.filter_map(|floorplan| of_floorplan(floorplan, &mut units, &next));
        Self { floorplans: known.collect(), units, without_bill, next, more }
    }

    /// What is known of a floorplan.
    pub fn floorplan(&self, floorplan: FloorplanId) -> &OfFloorplan {
        self.floorplans.iter().find(|of| of.floorplan == floorplan).must("a weighed unit has a floorplan")
    }

    /// How far the scale is from the bills of a unit's floorplan, where enough of them were weighed.
    pub fn spread(&self, floorplan: FloorplanId) -> Option<Spread> {
        self.floorplan(floorplan).spread
    }

    /// The odd ones, those first that lie furthest from the median of their floorplan.
    pub fn odd(&self) -> Vec<&OfUnit> {
        let off =
            |unit: &&OfUnit| self.spread(unit.floorplan).map(|spread| spread.off(unit.difference).millionths().abs());
        let odd = self.units.iter().filter(|unit| unit.odd);
        odd.sorted_by_key(|unit| (std::cmp::Reverse(off(unit)), unit.row.unit)).collect()
    }

    /// Of the parts without a weight on a unit how many other weighed units of its floorplan have each, in code order.
    pub fn unknown(&self, unit: &OfUnit) -> Vec<(PartId, Total, usize)> {
        let others = || self.units.iter().filter(|o| o.floorplan == unit.floorplan && o.row.unit != unit.row.unit);
        let with = |part| others().filter(|other| other.bill.unknown.iter().any(|(known, _)| *known == part)).count();
        unit.bill.unknown.iter().map(|(part, qty)| (*part, *qty, with(*part))).collect()
    }
}

/// A unit that was weighed; `None` where its order is wrong.
fn of_unit(plant: &Plant, bills: &Bills<'_>, row: Weighed) -> Option<OfUnit> {
    let unit = &plant.units[row.unit.at()];
    let bill = bills.weight(row.unit)?;
    let difference = Total::from(row.kilograms) - bill.kilograms;
    Some(OfUnit {
        row,
        floorplan: *unit.floorplan.as_ref().ok()?,
        has: configure::options_of(plant, &bills.has(row.unit)?),
        bill,
        difference,
        unclear: bills.unclear(row.unit, row.when),
        odd: false,
    })
}

/// The first units that are not finished, by rank, and how many more there are; one on the line's last position that was weighed is.
fn next(plan: &Plan<'_>, bills: &Bills<'_>) -> (Vec<Next>, usize) {
    let plant = plan.plant;
    let mut weighed = vec![false; plant.units.len()];
    plant.weighed.iter().for_each(|row| weighed[row.unit.at()] = true);
    let supplied = plan.units.iter().filter(|of| !matches!(of.state, UnitState::Hold | UnitState::SetAside));
    let mut open = supplied.map(|of| of.unit).filter(|unit| !weighed[unit.at()]);
    let next = open.by_ref().take(NEXT).filter_map(|unit| {
        let floorplan = *plant.units[unit.at()].floorplan.as_ref().ok()?;
        Some(Next { unit, floorplan, bill: bills.weight(unit)? })
    });
    (next.collect(), open.count())
}

/// What is known of a floorplan; its odd units are marked. `None` where there is nothing to say.
fn of_floorplan(floorplan: FloorplanId, units: &mut [OfUnit], next: &[Next]) -> Option<OfFloorplan> {
    let mut own: Vec<&mut OfUnit> = units.iter_mut().filter(|unit| unit.floorplan == floorplan).collect();
    if own.is_empty() && next.iter().all(|next| next.floorplan != floorplan) {
        return None;
    }
    let differences: Vec<Total> = own.iter().map(|unit| unit.difference).collect();
    let spread = Spread::of(&differences).filter(|_| own.len() >= LEAST_UNITS);
    own.iter_mut().for_each(|unit| unit.odd = spread.is_some_and(|spread| spread.is_odd(unit.difference)));
    let side = |heavy: bool| {
        let off = |unit: &OfUnit| spread.is_some_and(|spread| (spread.off(unit.difference) > Total::ZERO) == heavy);
        let these = own.iter().filter(|unit| unit.odd && off(unit)).map(|unit| unit.has.as_slice()).collect_vec();
        let others = own.iter().filter(|unit| !unit.odd).map(|unit| unit.has.as_slice()).collect_vec();
        Shared::of(&these, &others)
    };
    let (heavy, light) = (side(true), side(false));
    Some(OfFloorplan { floorplan, weighed: own.len(), spread, heavy, light })
}

impl Next {
    /// What the scale should show, and from what to what nothing would be odd, in kilograms.
    pub fn expected(&self, spread: Spread) -> [Total; 3] {
        let middle = self.bill.kilograms + spread.median();
        [middle, middle - spread.limit(), middle + spread.limit()]
    }
}

impl OfUnit {
    /// What the scale showed, in kilograms.
    pub fn scale(&self) -> Quantity {
        self.row.kilograms
    }
}
