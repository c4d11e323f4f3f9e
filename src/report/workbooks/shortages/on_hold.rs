//! The sheet `on hold`: stock that would cure a shortage if it were good; named, never released.

use super::facts::Facts;
use super::waiting::how;
use crate::check::Stock;
use crate::plan::Trouble;
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet};

pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("on hold", &widths::<OnHold>());
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
        sheet.table(Some("on_hold".to_owned()), lines);
    }
    sheet
}

fn lines<'p>(facts: &Facts<'p>, short: &Trouble) -> Vec<Line<'p, OnHold>> {
    let rows = facts.on_hold(short.part).iter();
    rows.filter_map(|row| Some(line(facts, short, row, row.hold.as_deref()?))).collect()
}

listing! {
    /// Stock on hold of a part that is late or short.
    OnHold: fn line<'p>(facts: &Facts<'p>, short: &Trouble, row: &'p Stock, why: &'p str) {
        let part = facts.part(short.part);
    }
    look: Look::Plain;
    "part", 15, Text => part.code.as_str();
    "description", 26, Wrapped => part.description.as_str();
    "qty on hold", 12, Quantity => row.qty;
    "uom", 5, Text => part.uom.as_str();
    "where it lies", 14, Text => row.location.as_str();
    "why it is on hold", 38, Wrapped => why;
    "late or short", 13, Text => how(short);
    "qty that waits", 12, Quantity => short.late + short.short;
    "first need", 17, Moment => short.since;
}
