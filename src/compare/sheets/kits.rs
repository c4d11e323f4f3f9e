//! What to add to and take out of each run's kits and bulk deliveries.

use super::super::{Deliveries, PullChange};
use super::one_table::{OneTable, grouped};
use crate::base::Quantity;
use crate::report::listing::listing;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;

const ADD: usize = 9;
const TAKE_OUT: usize = 10;

pub fn sheet<'n>(deliveries: &Deliveries<'n>) -> Sheet<'n> {
    let changes = deliveries.changed.iter().flatten().copied();
    let lines = changes.map(|change| ((change.wave, &change.to, &change.unit, change.bulk), line(change)));
    let listing = OneTable {
        name: "kits",
        title: "Kits and bulk: what to add and what to take out".to_owned(),
        what:
            "Run by run, station by station; within a kit by storage location. A line that only stands otherwise than \
               it did has neither. Kits that go with another run as they were are not here."
                .to_owned(),
    };
    let mut sheet = listing.sheet(grouped(lines));
    let first = sheet.tables.first().map_or(sheet.rows.len(), |table| table.heading as usize + 1);
    for row in &mut sheet.rows[first..] {
        row.cells.iter_mut().filter(|cell| [ADD, TAKE_OUT].contains(&cell.column.into())).for_each(|cell| {
            cell.look = Look::Strong;
        });
    }
    sheet
}

listing! {
    /// A line of a kit.
    Kits: fn line<'n>(change: &'n PullChange) {
        let given = |qty: Quantity| Some(qty).filter(|qty| qty.is_positive());
        let unit: Value<'_> = match change.unit.given() {
            Some(unit) => unit.text().into(),
            None if change.bulk => "bulk".into(),
            None => "no unit".into(),
        };
    }
    look: Look::Plain;
    "done", 6, Box => "";
    "run", 17, Moment => change.wave;
    "station", 9, Text => change.to.text();
    "unit", 10, Text => unit;
    "location", 9, Text => change.location.text();
    "part", 10, Wrapped => change.part.text();
    "description", 18, Wrapped => change.description.text();
    "was", 7, Quantity => change.old;
    "is", 7, Quantity => change.new;
    "add", 7, Quantity => given(change.add());
    "take out", 7, Quantity => given(change.take_out());
    "uom", 6, Text => change.uom.text();
    "stands", 14, Wrapped => stands(change);
}

/// How it stands: `late (was ready)`.
fn stands(change: &PullChange) -> Value<'_> {
    match (&change.was, &change.is) {
        (Some(was), Some(is)) if was != is => format!("{is} (was {was})").into(),
        (_, Some(is)) => is.text().into(),
        _ => Value::Blank,
    }
}
