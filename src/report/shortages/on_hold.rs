//! The sheet `on hold`: stock that would cure a shortage if it were good; named, never released.

use super::facts::Facts;
use super::waiting::how;
use crate::check::Stock;
use crate::plan::Trouble;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};

const WIDTHS: [u16; 9] = [15, 26, 12, 5, 14, 38, 13, 12, 17];

const COLUMNS: [Column; 9] = [
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty on hold", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "where it lies", show: Show::Text },
    Column { heading: "why it is on hold", show: Show::Wrapped },
    Column { heading: "late or short", show: Show::Text },
    Column { heading: "qty that waits", show: Show::Quantity },
    Column { heading: "first need", show: Show::Moment },
];

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("on hold", &WIDTHS);
    sheet.text(Look::Title, "Stock on hold of parts that are late or short");
    sheet.paragraph(
        Look::Plain,
        "Quality decides whether any of it can be used; the plan counts none of it, and this sheet releases nothing. For \
         brakes, axles, gas, electrics, exits and glazing licensed practice and the local code decide.",
    );
    sheet.gap();
    let lines: Vec<_> = facts.troubles.iter().flat_map(|short| lines(facts, short)).collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "No part that is late or short has stock on hold.");
    } else {
        sheet.table(Some("on_hold".to_owned()), &COLUMNS, lines);
    }
    sheet
}

fn lines<'p>(facts: &Facts<'p>, short: &Trouble) -> Vec<Line<'p>> {
    let rows = facts.on_hold(short.part).iter();
    rows.filter_map(|row| Some((Look::Plain, values(facts, short, row, row.hold.as_deref()?)))).collect()
}

fn values<'p>(
    facts: &Facts<'p>,
    short: &Trouble,
    row: &'p Stock,
    why: &'p str,
) -> Vec<crate::report::table::Value<'p>> {
    let part = facts.part(short.part);
    vec![
        part.code.as_str().into(),
        part.description.as_str().into(),
        row.qty.into(),
        part.uom.as_str().into(),
        row.location.as_str().into(),
        why.into(),
        how(short).into(),
        (short.late + short.short).into(),
        short.first.need.into(),
    ]
}
