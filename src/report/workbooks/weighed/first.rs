//! The first sheet: what was weighed, each floorplan's difference, and the odd units with what could explain them.

use super::super::front::plant_name;
use crate::plan::Plan;
use crate::report::answers::weights::{CAUTION, HOW, because, floorplan, hundredths, verdict};
use crate::report::limits::WORST;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet, Show};
use crate::weigh::{LEAST_UNITS, OfFloorplan, OfUnit, Weights};

pub fn sheet<'w>(plan: &'w Plan<'w>, weights: &'w Weights) -> Sheet<'w> {
    let mut sheet = Sheet::new("weights", &widths::<Odd>());
    sheet.text(Look::Title, "Bills against the scale");
    let as_of = plan.plant.as_of;
    sheet.fact(Look::Strong, 2, "plant", plant_name(plan), Show::Text);
    sheet.fact(Look::Plain, 2, "as of", format!("{}, {}", as_of.date().long(), as_of.clock()), Show::Text);
    sheet.fact(Look::Plain, 2, "the book", &*plan.plant.book, Show::Text);
    sheet.paragraph(Look::Strong, verdict(plan, weights));
    sheet.paragraph(Look::Plain, CAUTION).paragraph(Look::Faint, HOW);
    sheet.text(Look::Section, "Floorplans");
    let lines = weights.floorplans.iter().map(|of| of_floorplan(plan, weights, of)).collect();
    sheet.table(Some("floorplans".to_owned()), lines);
    let odd = weights.odd();
    sheet.gap().text(Look::Section, "Odd units, the furthest off first");
    if odd.is_empty() {
        sheet.text(Look::Plain, "None.");
    } else {
        let lines = odd.iter().take(WORST).map(|unit| line(plan, weights, unit)).collect();
        sheet.table(Some("odd_units".to_owned()), lines);
    }
    if odd.len() > WORST {
        let more = odd.len() - WORST;
        sheet.text(Look::Strong, format!("{more} more: they stand first on the sheet 'weighed units'."));
    }
    // Two tables stand below each other: neither heading is repeated.
    (sheet.repeat, sheet.freeze) = (None, None);
    sheet
}

listing! {
    /// A floorplan: its columns stand above those of the odd units.
    Floorplans: fn of_floorplan<'w>(plan: &Plan<'w>, weights: &Weights, of: &OfFloorplan) {
        let whole = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
        let odd = weights.units.iter().filter(|unit| unit.floorplan == of.floorplan && unit.odd).count();
        let word = match of.spread {
            None => format!("fewer than {LEAST_UNITS} weights: nothing is said"),
            Some(spread) if spread.limit().millionths() == 0 => "more than half differ alike: any other is odd".to_owned(),
            Some(_) => String::new(),
        };
    }
    look: Look::Plain;
    "floorplan", Wrapped => floorplan(plan, of.floorplan);
    "units weighed", Whole => whole(of.weighed);
    "odd ones", Whole => whole(odd);
    "median difference, kg", MoreOrLess => of.spread.map(crate::weigh::Spread::median);
    "odd beyond, kg", Weight => of.spread.map(crate::weigh::Spread::limit);
    "mind", Wrapped => word;
}

listing! {
    /// A unit that is odd.
    Odd: fn line<'w>(plan: &Plan<'w>, weights: &Weights, unit: &OfUnit) {
        let spread = weights.spread(unit.floorplan);
        let score = spread.and_then(|spread| spread.score(unit.difference)).map(hundredths);
        let off = spread.map(|spread| spread.off(unit.difference));
    }
    look: Look::Wrong;
    "unit", 13, Wrapped => plan.plant.units[unit.row.unit.at()].code.as_str();
    "scale, kg", 10, Weight => unit.scale();
    "bill, kg", 10, Weight => unit.bill.kilograms;
    "away from the median, kg", 12, MoreOrLess => off;
    "score", 9, Text => score.unwrap_or_else(|| "no spread".to_owned());
    "what could explain it", 70, Wrapped => because(plan, weights, unit).join("; ");
}
