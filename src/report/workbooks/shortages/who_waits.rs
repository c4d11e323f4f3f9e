//! The sheet `who waits`: every unit that waits for a part, how many it waits for, and for how long.

use super::facts::Facts;
use super::text::{more, owner_name, place_name, supplier_name};
use super::waiting::Waiting;
use crate::report::limits::LONGEST;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;

pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("who waits", &widths::<WhoWaits>());
    sheet.text(Look::Title, "Who waits, for how many and how long");
    sheet.text(
        Look::Plain,
        "Minutes are minutes of clock time, nights and days off included. Parts as on the sheet 'shortages'.",
    );
    sheet.gap();
    let pieces = facts.troubles.iter().flat_map(|short| facts.waiting_for(short.part));
    let lines: Vec<_> = pieces.take(LONGEST).map(|piece| line(facts, &piece)).collect();
    let (shown, all) = (lines.len(), facts.troubles.iter().map(|short| short.pieces).sum());
    if lines.is_empty() {
        sheet.text(Look::Plain, "Nothing waits.");
    } else {
        sheet.table(Some("who_waits".to_owned()), lines);
        more(&mut sheet, shown, all, "tables/pegs");
    }
    sheet
}

listing! {
    /// A piece that a unit waits for.
    WhoWaits: fn line<'p>(facts: &Facts<'p>, piece: &Waiting) {
        let demand = &piece.demand;
        let part = facts.part(demand.part);
        let delivery = piece.delivery.map(|i| facts.deliveries[i].delivery);
        let minutes = piece.available.map(|there| demand.need.minutes_until(there));
    }
    look: Look::Plain;
    "part", 15, Text => part.code.as_str();
    "description", 26, Wrapped => part.description.as_str();
    "supplier", 26, Wrapped => supplier_name(delivery.map_or(&part.supplier, |delivery| delivery.supplier));
    "unit", 11, Text => owner_name(facts, demand);
    "at", 10, Text => place_name(facts, demand);
    "need", 17, Moment => demand.need;
    "needs", 7, Quantity => demand.qty;
    "has in time", 7, Quantity => piece.in_time;
    "waits for", 7, Quantity => piece.qty;
    "uom", 5, Text => part.uom.as_str();
    "how", 7, Text => if delivery.is_some() { "late" } else { "short" };
    "purchase order", 11, Wrapped => delivery.map(|delivery| delivery.order);
    "there", 17, Moment => piece.available;
    "minutes late", 8, Whole => minutes.map_or(Value::Blank, Value::from);
}
