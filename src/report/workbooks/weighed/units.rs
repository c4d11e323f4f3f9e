//! All units that were weighed, the odd ones first.

use crate::plan::Plan;
use crate::report::answers::weights::{CAUTION, floorplan, hundredths};
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::weigh::{OfUnit, Weights};
use itertools::Itertools;

/// So many units stand on a sheet for the screen.
pub const UNITS: usize = 2_000;

pub fn sheet<'w>(plan: &'w Plan<'w>, weights: &'w Weights) -> Sheet<'w> {
    let mut sheet = Sheet::new("weighed units", &widths::<Weighed>());
    sheet.for_the_screen = true;
    sheet.text(Look::Title, "Weighed units, for the screen").paragraph(Look::Plain, CAUTION);
    // The odd ones stand first: all of them are shown.
    let in_order = weights.odd().into_iter().chain(weights.units.iter().filter(|unit| !unit.odd));
    let lines: Vec<Line<'w, Weighed>> = in_order.take(UNITS).map(|unit| line(plan, weights, unit)).collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "None.");
    } else {
        sheet.table(Some("weighed_units".to_owned()), lines);
    }
    if weights.units.len() > UNITS {
        sheet.text(Look::Strong, format!("{} units more were weighed.", weights.units.len() - UNITS));
    }
    sheet
}

listing! {
    /// A unit that was weighed.
    Weighed: fn line<'w>(plan: &Plan<'w>, weights: &Weights, unit: &OfUnit) {
        let plant = plan.plant;
        let whole = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
        let spread = weights.spread(unit.floorplan);
        let score = spread.and_then(|spread| spread.score(unit.difference)).map(hundredths);
        let options = unit.has.iter().map(|option| plant.options[option.at()].code.as_str()).join(" ");
        let word = match (unit.odd, spread.is_some()) {
            (true, _) => "odd",
            (false, true) => "",
            (false, false) => "too few weights",
        };
    }
    look: if unit.odd { Look::Wrong } else { Look::Plain };
    "unit", 12, Text => plant.units[unit.row.unit.at()].code.as_str();
    "floorplan", 14, Text => floorplan(plan, unit.floorplan);
    "weighed", 16, Moment => unit.row.when;
    "earlier weights", 9, Whole => whole(unit.row.earlier);
    "bill, kg", 10, Weight => unit.bill.kilograms;
    "bought parts", 9, Whole => whole(unit.bill.parts);
    "of them without weight", 10, Whole => whole(unit.bill.unknown.len());
    "scale, kg", 10, Weight => unit.scale();
    "difference, kg", 11, MoreOrLess => unit.difference;
    "away from the median, kg", 12, MoreOrLess => spread.map(|spread| spread.off(unit.difference));
    "score", 8, Text => score;
    "word", 14, Text => word;
    "options", 60, Wrapped => options;
}
