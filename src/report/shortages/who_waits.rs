//! The sheet `who waits`: every unit that waits for a part, how many it waits for, and for how long.

use super::facts::Facts;
use super::text::{more, owner_name, place_name, supplier_name};
use super::waiting::Waiting;
use crate::report::limits::LONGEST;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;

const WIDTHS: [u16; 14] = [15, 26, 26, 11, 10, 17, 7, 7, 7, 5, 7, 11, 17, 8];

const COLUMNS: [Column; 14] = [
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "supplier", show: Show::Wrapped },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "at", show: Show::Text },
    Column { heading: "need", show: Show::Moment },
    Column { heading: "needs", show: Show::Quantity },
    Column { heading: "has in time", show: Show::Quantity },
    Column { heading: "waits for", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "how", show: Show::Text },
    Column { heading: "purchase order", show: Show::Wrapped },
    Column { heading: "there", show: Show::Moment },
    Column { heading: "minutes late", show: Show::Whole },
];

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("who waits", &WIDTHS);
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
        sheet.table(Some("who_waits".to_owned()), &COLUMNS, lines);
        more(&mut sheet, shown, all, "tables/shortages");
    }
    sheet
}

fn line<'p>(facts: &Facts<'p>, piece: &Waiting) -> Line<'p> {
    let demand = &piece.demand;
    let part = facts.part(demand.part);
    let delivery = piece.delivery.map(|i| facts.deliveries[i].delivery);
    let minutes = piece.available.map(|there| demand.need.minutes_until(there));
    let values = vec![
        part.code.as_str().into(),
        part.description.as_str().into(),
        supplier_name(delivery.map_or(&part.supplier, |delivery| delivery.supplier)).into(),
        owner_name(facts, demand).into(),
        place_name(facts, demand).into(),
        demand.need.into(),
        demand.qty.into(),
        piece.in_time.into(),
        piece.qty.into(),
        part.uom.as_str().into(),
        if delivery.is_some() { "late" } else { "short" }.into(),
        delivery.map(|delivery| delivery.order).into(),
        piece.available.into(),
        minutes.map_or(Value::Blank, Value::from),
    ];
    (Look::Plain, values)
}
