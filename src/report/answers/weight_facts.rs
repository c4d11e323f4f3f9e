//! Bill weight against the scale as facts for programs: what the terminal and the workbook tell, all of it, exact.

use super::weights::{CAUTION, because, floorplan, hundredths};
use crate::base::{Moment, NameId, PartId, Quantity, Total, UnitId};
use crate::plan::Plan;
use crate::weigh::{Next, OfFloorplan, OfUnit, Weights};
use serde::Serialize;

/// All that the scale tells of a plan's units.
#[derive(Debug, Serialize)]
pub struct WeightFacts<'p> {
    /// The moment of the plan.
    pub as_of: Moment,
    /// What these sums are not.
    pub caution: &'static str,
    /// Floorplans of which a unit was weighed or is next.
    pub floorplans: Vec<FloorplanFacts<'p>>,
    /// The units that were weighed, in the order of the book.
    pub units: Vec<UnitFacts<'p>>,
    /// Weighed units whose order is wrong, so that they have no bill.
    pub without_bill: Vec<&'p str>,
    /// The next units, in the order in which they enter.
    pub next: Vec<NextFacts<'p>>,
    /// How many further units are not told.
    pub more: usize,
}

/// What the scale tells of a floorplan.
#[derive(Debug, Serialize)]
pub struct FloorplanFacts<'p> {
    /// Its code.
    pub floorplan: &'p str,
    /// How many of its units were weighed.
    pub weighed: usize,
    /// The median of scale less bill, in kilograms; none where too few were weighed.
    pub median_difference: Option<Total>,
    /// How far from the median a difference may lie and not be odd, in kilograms.
    pub odd_beyond: Option<Total>,
    /// Options that each unit has that is odd and too heavy, and no other; and those that none of them has, and each other.
    pub heavy: [Vec<&'p str>; 2],
    /// The same of those that are too light.
    pub light: [Vec<&'p str>; 2],
}

/// A unit that was weighed.
#[derive(Debug, Serialize)]
pub struct UnitFacts<'p> {
    /// Its code.
    pub unit: &'p str,
    /// Its floorplan.
    pub floorplan: &'p str,
    /// What the scale showed, in kilograms.
    pub scale: Quantity,
    /// When, where the book says so.
    pub when: Option<Moment>,
    /// What its bought parts weigh by the book.
    pub bill: BillFacts<'p>,
    /// Scale less bill, in kilograms.
    pub difference: Total,
    /// How far that lies from the median of its floorplan, in kilograms.
    pub off: Option<Total>,
    /// Its modified z-score, to hundredths.
    pub score: Option<String>,
    /// Whether it is odd.
    pub odd: bool,
    /// What could explain an odd one.
    pub because: Vec<String>,
}

/// What the bought parts of a unit weigh by the book.
#[derive(Debug, Serialize)]
pub struct BillFacts<'p> {
    /// Those that have a weight, in kilograms.
    pub kilograms: Total,
    /// How many bought parts it has.
    pub parts: usize,
    /// Those without a weight, and how much of each.
    pub weight_not_known: Vec<(&'p str, Total)>,
    /// The same by position: its number, kilograms, parts, and how many of these have no weight.
    pub positions: Vec<PositionFacts>,
}

/// What comes into a unit at a position.
#[derive(Debug, Serialize)]
pub struct PositionFacts {
    /// The position on the line, from 1.
    pub position: u32,
    /// What comes there weighs so many kilograms.
    pub kilograms: Total,
    /// So many bought parts come there.
    pub parts: usize,
    /// So many of them have no weight.
    pub weight_not_known: usize,
}

/// A unit that is not finished.
#[derive(Debug, Serialize)]
pub struct NextFacts<'p> {
    /// Its code.
    pub unit: &'p str,
    /// Its floorplan.
    pub floorplan: &'p str,
    /// What its bought parts weigh by the book.
    pub bill: BillFacts<'p>,
    /// What the scale should show, in kilograms; none where too few of its floorplan were weighed.
    pub scale_should_show: Option<Total>,
    /// From what on it would not be odd.
    pub from: Option<Total>,
    /// Up to what it would not be odd.
    pub to: Option<Total>,
}

/// What `weigh` tells, in the shape of its JSON.
pub fn facts<'p>(plan: &Plan<'p>, weights: &Weights) -> WeightFacts<'p> {
    WeightFacts {
        as_of: plan.plant.as_of,
        caution: CAUTION,
        floorplans: weights.floorplans.iter().map(|of| of_floorplan(plan, of)).collect(),
        units: weights.units.iter().map(|unit| of_unit(plan, weights, unit)).collect(),
        without_bill: weights.without_bill.iter().map(|unit| code(plan, *unit)).collect(),
        next: weights.next.iter().map(|next| of_next(plan, weights, next)).collect(),
        more: weights.more,
    }
}

fn code<'p>(plan: &Plan<'p>, unit: UnitId) -> &'p str {
    &plan.plant.units[unit.at()].code
}

fn of_floorplan<'p>(plan: &Plan<'p>, of: &OfFloorplan) -> FloorplanFacts<'p> {
    let plant = plan.plant;
    let codes = |options: &[NameId]| options.iter().map(|option| plant.options[option.at()].code.as_str()).collect();
    FloorplanFacts {
        floorplan: floorplan(plan, of.floorplan),
        weighed: of.weighed,
        median_difference: of.spread.map(|spread| spread.median()),
        odd_beyond: of.spread.map(|spread| spread.limit()),
        heavy: [codes(&of.heavy.have), codes(&of.heavy.lack)],
        light: [codes(&of.light.have), codes(&of.light.lack)],
    }
}

fn of_unit<'p>(plan: &Plan<'p>, weights: &Weights, unit: &OfUnit) -> UnitFacts<'p> {
    let spread = weights.spread(unit.floorplan);
    UnitFacts {
        unit: code(plan, unit.row.unit),
        floorplan: floorplan(plan, unit.floorplan),
        scale: unit.scale(),
        when: unit.row.when,
        bill: of_bill(plan, &unit.bill),
        difference: unit.difference,
        off: spread.map(|spread| spread.off(unit.difference)),
        score: spread.and_then(|spread| spread.score(unit.difference)).map(hundredths),
        odd: unit.odd,
        because: if unit.odd { because(plan, weights, unit) } else { Vec::new() },
    }
}

fn of_bill<'p>(plan: &Plan<'p>, bill: &crate::weigh::BillWeight) -> BillFacts<'p> {
    let plant = plan.plant;
    let part = |part: PartId| plant.parts[part.at()].code.as_str();
    let positions = bill.positions.iter().map(|at| PositionFacts {
        position: at.position,
        kilograms: at.kilograms,
        parts: at.parts,
        weight_not_known: at.unknown,
    });
    BillFacts {
        kilograms: bill.kilograms,
        parts: bill.parts,
        weight_not_known: bill.unknown.iter().map(|(id, qty)| (part(*id), *qty)).collect(),
        positions: positions.collect(),
    }
}

fn of_next<'p>(plan: &Plan<'p>, weights: &Weights, next: &Next) -> NextFacts<'p> {
    let expected = weights.spread(next.floorplan).map(|spread| next.expected(spread));
    NextFacts {
        unit: code(plan, next.unit),
        floorplan: floorplan(plan, next.floorplan),
        bill: of_bill(plan, &next.bill),
        scale_should_show: expected.map(|[middle, ..]| middle),
        from: expected.map(|[_, from, _]| from),
        to: expected.map(|[.., to]| to),
    }
}
