//! Receipts that are needed earlier or later, planned orders that came and went, and those for units past the sequence.

use super::super::{ExpectedRow, Notice, OrderChange, OrderRow, OutlookChange, ReceiptChange, Step};
use super::one_table::{OneTable, grouped};
use crate::report::listing::listing;
use crate::report::sheet::{Look, Sheet};

/// The sheet of receipts.
pub fn sheet(notice: &Notice) -> Sheet<'_> {
    let listing = OneTable {
        name: "receipts",
        title: "Receipts needed at another time".to_owned(),
        what: "How much of a purchase order's part is needed by when, all that is needed before included; by when its run \
               is picked. First what is not there by then; then, with the first moment only, what is in time all the \
               same; last what is needed later only. What is needed less may be wanted by what this sequence does not reach."
            .to_owned(),
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

listing! {
    /// What is needed of a receipt.
    Receipts: fn line<'n>(notice: &'n Notice, change: &'n ReceiptChange, step: &Step, look: Look, what: &'static str) {
        let facts = notice.parts.get(&change.part);
    }
    look: look;
    "purchase order", 14, Text => change.order.text();
    "part", 14, Wrapped => change.part.text();
    "description", 26, Wrapped => facts.map(|facts| facts.description.text());
    "by", 18, Moment => step.by;
    "was needed by then", 10, Quantity => step.old;
    "is needed by then", 10, Quantity => step.new;
    "uom", 8, Text => facts.map(|facts| facts.uom.text());
    "there at", 18, Moment => change.available;
    "what", 18, Wrapped => what;
}

/// The sheet of planned orders.
pub fn orders(notice: &Notice) -> Sheet<'_> {
    let listing = OneTable {
        name: "planned orders",
        title: "Planned orders".to_owned(),
        what: "What either plan would have ordered for a day and the other not, or not so much.".to_owned(),
    };
    listing.sheet(grouped(notice.orders.iter().filter_map(|change| {
        let row = change.new.as_ref().or(change.old.as_ref())?;
        Some((&row.part, order(notice, change, row)))
    })))
}

listing! {
    /// A planned order.
    Orders: fn order<'n>(notice: &'n Notice, change: &'n OrderChange, row: &'n OrderRow) {
        let facts = notice.parts.get(&row.part);
        let qty = |row: &Option<OrderRow>| row.as_ref().map(|row| row.qty);
    }
    look: Look::Plain;
    "part", 16, Wrapped => row.part.text();
    "description", 40, Wrapped => facts.map(|facts| facts.description.text());
    "for", 16, Date => row.date;
    "was", 12, Quantity => qty(&change.old);
    "is", 12, Quantity => qty(&change.new);
    "uom", 8, Text => facts.map(|facts| facts.uom.text());
    "to be released", 16, Date => row.release;
}

/// The sheet of orders for units past the sequence.
pub fn outlook(notice: &Notice) -> Sheet<'_> {
    let listing = OneTable {
        name: "past the sequence",
        title: "Orders for units past the sequence: a forecast".to_owned(),
        what: "What is to be ordered for what is forecast, where either plan would have ordered otherwise or by another day.".to_owned(),
    };
    listing.sheet(grouped(notice.outlook.iter().filter_map(|change| {
        let row = change.new.as_ref().or(change.old.as_ref())?;
        Some((&row.part, expected(notice, change, row)))
    })))
}

listing! {
    /// An order for a period past the sequence.
    Expected: fn expected<'n>(notice: &'n Notice, change: &'n OutlookChange, row: &'n ExpectedRow) {
        let facts = notice.parts.get(&row.part);
        let qty = |row: &Option<ExpectedRow>| row.as_ref().map(|row| row.to_order);
        let by = |row: &Option<ExpectedRow>| row.as_ref().and_then(|row| row.order_by);
    }
    look: Look::Plain;
    "part", 16, Wrapped => row.part.text();
    "description", 34, Wrapped => facts.map(|facts| facts.description.text());
    "for units from", 14, Date => row.from;
    "to", 14, Date => row.to;
    "was", 12, Quantity => qty(&change.old);
    "is", 12, Quantity => qty(&change.new);
    "uom", 8, Text => facts.map(|facts| facts.uom.text());
    "was to be ordered by", 14, Date => by(&change.old);
    "is to be ordered by", 14, Date => by(&change.new);
}
