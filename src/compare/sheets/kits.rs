//! What to add to and take out of each run's kits and bulk deliveries.

use super::super::{Deliveries, PullChange};
use super::listing::{Listing, grouped};
use crate::base::Quantity;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;

const COLUMNS: [Column; 13] = [
    Column { heading: "done", show: Show::Box },
    Column { heading: "run", show: Show::Moment },
    Column { heading: "station", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "location", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "was", show: Show::Quantity },
    Column { heading: "is", show: Show::Quantity },
    Column { heading: "add", show: Show::Quantity },
    Column { heading: "take out", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "stands", show: Show::Wrapped },
];
const LEAST: [u16; 13] = [6, 17, 9, 10, 9, 10, 18, 7, 7, 7, 7, 6, 14];
const ADD: usize = 9;
const TAKE_OUT: usize = 10;

/// The sheet.
pub fn sheet<'n>(deliveries: &Deliveries<'n>) -> Sheet<'n> {
    let changes = deliveries.changed.iter().flatten().copied();
    let lines = changes.map(|change| ((change.wave, &change.to, &change.unit, change.bulk), line(change)));
    let listing = Listing {
        name: "kits",
        title: "Kits and bulk: what to add and what to take out".to_owned(),
        what:
            "Run by run, station by station; within a kit by storage location. A line that only stands otherwise than \
               it did has neither. Kits that go with another run as they were are not here."
                .to_owned(),
        columns: &COLUMNS,
        least: &LEAST,
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

fn line(change: &PullChange) -> Line<'_> {
    let given = |qty: Quantity| Some(qty).filter(|qty| qty.is_positive());
    let unit: Value<'_> = match change.unit.given() {
        Some(unit) => unit.text().into(),
        None if change.bulk => "bulk".into(),
        None => "no unit".into(),
    };
    let values = vec![
        "".into(),
        change.wave.into(),
        change.to.text().into(),
        unit,
        change.location.text().into(),
        change.part.text().into(),
        change.description.text().into(),
        change.old.into(),
        change.new.into(),
        given(change.add()).into(),
        given(change.take_out()).into(),
        change.uom.text().into(),
        stands(change),
    ];
    (Look::Plain, values)
}

/// How it stands: `late (was ready)`.
fn stands(change: &PullChange) -> Value<'_> {
    match (&change.was, &change.is) {
        (Some(was), Some(is)) if was != is => format!("{is} (was {was})").into(),
        (_, Some(is)) => is.text().into(),
        _ => Value::Blank,
    }
}
