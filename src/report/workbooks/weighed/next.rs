//! What the scale should show for the next units, with room for what it showed.

use crate::plan::Plan;
use crate::report::answers::weights::{CAUTION, floorplan};
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::weigh::{LEAST_UNITS, Next, Weights};

pub fn sheet<'w>(plan: &'w Plan<'w>, weights: &'w Weights) -> Sheet<'w> {
    let mut sheet = Sheet::new("next units", &widths::<Expected>());
    sheet.text(Look::Title, "What the scale should show");
    sheet.paragraph(Look::Plain, CAUTION);
    let told = format!(
        "Bill and the median difference of the floorplan. Outside of 'from' and 'to' a unit would be odd: then weigh again, and look at \
         what is on it before it leaves. Of floorplans with fewer than {LEAST_UNITS} weights nothing is expected."
    );
    sheet.paragraph(Look::Plain, told).gap();
    let lines: Vec<Line<'w, Expected>> = weights.next.iter().map(|next| line(plan, weights, next)).collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "No unit is to come.");
    } else {
        sheet.table(Some("next_units".to_owned()), lines);
    }
    if weights.more > 0 {
        sheet.text(Look::Strong, format!("{} units more come behind these.", weights.more));
    }
    sheet
}

listing! {
    /// A unit that is to come.
    Expected: fn line<'w>(plan: &Plan<'w>, weights: &Weights, next: &Next) {
        let unit = &plan.plant.units[next.unit.at()];
        let expected = weights.spread(next.floorplan).map(|spread| next.expected(spread));
        let whole = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
    }
    look: Look::Plain;
    "unit", 12, Text => unit.code.as_str();
    "floorplan", 14, Wrapped => floorplan(plan, next.floorplan);
    "line", 7, Text => plan.plant.lines[unit.line.at()].code.as_str();
    "leaves", 16, Moment => plan.pace.leaves_line(plan.plant, next.unit);
    "bill, kg", 10, Weight => next.bill.kilograms;
    "parts without weight", 10, Whole => whole(next.bill.unknown.len());
    "should show, kg", 10, Weight => expected.map(|[middle, ..]| middle);
    "from, kg", 10, Weight => expected.map(|[_, least, _]| least);
    "to, kg", 10, Weight => expected.map(|[.., most]| most);
    "showed, kg", 12, Box => "";
    "weighed by, when", 20, Box => "";
}
