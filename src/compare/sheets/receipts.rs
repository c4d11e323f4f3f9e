//! Receipts that are needed earlier or later, and planned orders that came and went.

use super::super::{Notice, OrderChange, OrderRow};
use super::listing::{Listing, grouped};
use crate::report::sheet::{Column, Line, Look, Sheet, Show};

const COLUMNS: [Column; 8] = [
    Column { heading: "purchase order", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "by", show: Show::Moment },
    Column { heading: "was needed by then", show: Show::Quantity },
    Column { heading: "is needed by then", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "what", show: Show::Wrapped },
];
const LEAST: [u16; 8] = [14, 14, 30, 18, 12, 12, 8, 20];

const ORDERS: [Column; 7] = [
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "for", show: Show::Date },
    Column { heading: "was", show: Show::Quantity },
    Column { heading: "is", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "to be released", show: Show::Date },
];
const ORDERS_LEAST: [u16; 7] = [16, 40, 16, 12, 12, 8, 16];

/// The sheet of receipts.
pub fn sheet(notice: &Notice) -> Sheet<'_> {
    let listing = Listing {
        name: "receipts",
        title: "Receipts needed at another time".to_owned(),
        what: "How much of a purchase order's part is needed by when, all that is needed before included; by when its run \
               is picked. What is needed less may be wanted by what this sequence does not reach."
            .to_owned(),
        columns: &COLUMNS,
        least: &LEAST,
    };
    let changes = notice.receipts.iter().enumerate();
    let lines = changes.flat_map(|(i, change)| {
        let facts = notice.parts.get(&change.part);
        change.steps.iter().map(move |step| {
            let more = step.new > step.old;
            let values = vec![
                change.order.text().into(),
                change.part.text().into(),
                facts.map(|facts| facts.description.text()).into(),
                step.by.into(),
                step.old.into(),
                step.new.into(),
                facts.map(|facts| facts.uom.text()).into(),
                if more { "needed earlier" } else { "later or less" }.into(),
            ];
            (i, (if more { Look::Wrong } else { Look::Plain }, values))
        })
    });
    listing.sheet(grouped(lines))
}

/// The sheet of planned orders.
pub fn orders(notice: &Notice) -> Sheet<'_> {
    let listing = Listing {
        name: "planned orders",
        title: "Planned orders".to_owned(),
        what: "What either plan would have ordered for a day and the other not, or not so much.".to_owned(),
        columns: &ORDERS,
        least: &ORDERS_LEAST,
    };
    listing.sheet(grouped(notice.orders.iter().filter_map(|change| order(notice, change))))
}

fn order<'n>(notice: &'n Notice, change: &'n OrderChange) -> Option<(&'n super::super::Code, Line<'n>)> {
    let row = change.new.as_ref().or(change.old.as_ref())?;
    let facts = notice.parts.get(&row.part);
    let qty = |row: &Option<OrderRow>| row.as_ref().map(|row| row.qty);
    let values = vec![
        row.part.text().into(),
        facts.map(|facts| facts.description.text()).into(),
        row.date.into(),
        qty(&change.old).into(),
        qty(&change.new).into(),
        facts.map(|facts| facts.uom.text()).into(),
        row.release.into(),
    ];
    Some((&row.part, (Look::Plain, values)))
}
