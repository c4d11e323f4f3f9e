//! Bill weight by position and unit: of those that were weighed, and of the next.

use super::units;
use crate::base::{FloorplanId, UnitId};
use crate::check::DestKind;
use crate::plan::Plan;
use crate::report::answers::weights::{CAUTION, floorplan};
use crate::report::sheet::{Look, Loose, Sheet, Show};
use crate::report::value::Value;
use crate::weigh::{AtPosition, BillWeight, Weights};
use itertools::Itertools;

/// The columns before the positions, and their widths; and the width of a position.
const BEFORE: [(&str, Show, u16); 5] = [
    ("unit", Show::Text, 11),
    ("floorplan", Show::Text, 13),
    ("weighed", Show::Text, 9),
    ("bill, kg", Show::Weight, 10),
    ("parts without weight", Show::Whole, 9),
];
const POSITION: u16 = 9;

/// The sheet: a row a unit, a column a position.
pub fn sheet<'w>(plan: &'w Plan<'w>, weights: &'w Weights) -> Sheet<'w> {
    let weighed = weights.units.iter().take(units::UNITS).map(|unit| (unit.row.unit, unit.floorplan, true, &unit.bill));
    let next = weights.next.iter().map(|next| (next.unit, next.floorplan, false, &next.bill));
    let rows = weighed.chain(next).collect_vec();
    let last = rows.iter().filter_map(|(.., bill)| bill.positions.last()).map(|at| at.position).max().unwrap_or(0);
    let widths = BEFORE.iter().map(|(_, _, width)| *width).chain((0..last).map(|_| POSITION)).collect_vec();
    let mut sheet = Sheet::new("by position", &widths);
    sheet.for_the_screen = true;
    sheet.freeze_columns = 1;
    sheet.text(Look::Title, "Bill weight by position and unit, for the screen");
    sheet.paragraph(Look::Plain, CAUTION);
    sheet.text(
        Look::Plain,
        "Kilograms of the bought parts that come into the unit there, by themselves or in what a shop built.",
    );
    let before = BEFORE.iter().map(|(heading, show, _)| ((*heading).to_owned(), *show));
    let columns = before.chain((1..=last).map(|position| (heading(plan, position), Show::Weight))).collect_vec();
    let lines =
        rows.into_iter().map(|(unit, of, weighed, bill)| line(plan, (unit, of, weighed), bill, last)).collect_vec();
    if lines.is_empty() {
        sheet.text(Look::Plain, "None.");
    } else {
        sheet.table_headed(Some("by_position".to_owned()), &columns, lines);
    }
    sheet
}

/// A position, with its stations where there is one line only.
fn heading(plan: &Plan<'_>, at: u32) -> String {
    let here = plan
        .plant
        .dests
        .iter()
        .filter(|dest| matches!(dest.what, DestKind::Station { position, .. } if position == at));
    let stations = here.map(|dest| dest.code.as_str()).join(" ");
    if plan.plant.lines.len() == 1 && !stations.is_empty() { format!("{at}: {stations}") } else { at.to_string() }
}

fn line<'w>(
    plan: &Plan<'w>,
    (unit, of, weighed): (UnitId, FloorplanId, bool),
    bill: &BillWeight,
    last: u32,
) -> Loose<'w> {
    let whole = |number: usize| i64::try_from(number).unwrap_or(i64::MAX);
    let code = plan.plant.units[unit.at()].code.as_str();
    let mut values: Vec<Value<'w>> = vec![
        code.into(),
        floorplan(plan, of).into(),
        if weighed { "yes" } else { "to come" }.into(),
        bill.kilograms.into(),
        whole(bill.unknown.len()).into(),
    ];
    let at = |position: u32| bill.positions.iter().find(|at| at.position == position);
    values.extend((1..=last).map(|position| at(position).map_or(Value::Blank, weight)));
    (Look::Plain, values)
}

/// What comes in at a position; where nothing of it has a weight that is said, and never 0.
fn weight<'w>(at: &AtPosition) -> Value<'w> {
    if at.unknown == at.parts { "not known".into() } else { at.kilograms.into() }
}
