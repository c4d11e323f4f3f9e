//! Receipts that are needed earlier or later, and planned orders that came and went.

use super::super::{Notice, OrderChange, OrderRow, ReceiptChange, Step};
use super::listing::{Listing, grouped};
use crate::report::sheet::{Column, Line, Look, Sheet, Show};

const COLUMNS: [Column; 9] = [
    Column { heading: "purchase order", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "by", show: Show::Moment },
    Column { heading: "was needed by then", show: Show::Quantity },
    Column { heading: "is needed by then", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "there at", show: Show::Moment },
    Column { heading: "what", show: Show::Wrapped },
];
const LEAST: [u16; 9] = [14, 14, 26, 18, 10, 10, 8, 18, 18];

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
               is picked. First what is not there by then; then, with the first moment only, what is in time all the \
               same; last what is needed later only. What is needed less may be wanted by what this sequence does not reach."
            .to_owned(),
        columns: &COLUMNS,
        least: &LEAST,
    };
    let mut changes: Vec<&ReceiptChange> = notice.receipts.iter().collect();
    changes.sort_by_key(|change| (change.missed().is_none(), !change.earlier()));
    let lines = changes.into_iter().flat_map(|change| {
        told(change)
            .into_iter()
            .map(move |(step, look, what)| ((&change.order, &change.part), line(notice, change, step, look, what)))
    });
    listing.sheet(grouped(lines))
}

/// The steps of a receipt that someone may act on.
fn told(change: &ReceiptChange) -> Vec<(&Step, Look, &'static str)> {
    let more = change.steps.iter().filter(|step| step.new > step.old);
    let missed = more.clone().filter(|step| change.available.is_none_or(|available| available > step.by));
    let missed: Vec<_> = missed.map(|step| (step, Look::Wrong, "not there by then")).collect();
    if !missed.is_empty() {
        return missed;
    }
    match more.clone().next() {
        Some(step) => vec![(step, Look::Plain, "earlier, in time")],
        None => change.steps.iter().take(1).map(|step| (step, Look::Faint, "later or less")).collect(),
    }
}

fn line<'n>(notice: &'n Notice, change: &'n ReceiptChange, step: &Step, look: Look, what: &'static str) -> Line<'n> {
    let facts = notice.parts.get(&change.part);
    let values = vec![
        change.order.text().into(),
        change.part.text().into(),
        facts.map(|facts| facts.description.text()).into(),
        step.by.into(),
        step.old.into(),
        step.new.into(),
        facts.map(|facts| facts.uom.text()).into(),
        change.available.into(),
        what.into(),
    ];
    (look, values)
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
