//! The sheets of receipts that this sequence does not need, as a whole or in part; never a reason to cancel.

use super::facts::Facts;
use super::text::{amount, due, money, sum_of, supplier_name};
use super::waiting::Coming;
use crate::base::{PartId, Quantity, Total, count};
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet};
use std::cmp::Reverse;

/// A delivery of which this sequence leaves something.
pub struct Left<'f, 'p> {
    coming: &'f Coming<'p>,
    qty: Quantity,
}

impl Left<'_, '_> {
    /// What it is worth, where the price is known.
    fn cost(&self, facts: &Facts<'_>) -> Option<Total> {
        facts.cost(self.coming.delivery.part, self.qty)
    }
}

/// The sheet of receipts that are not needed at all.
pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let end = facts.plan.end.map_or(String::new(), |(_, leaves)| format!(", which ends on {}", leaves.date().short()));
    let title = format!("Not needed by this sequence{end}");
    let (whole, rest) = left(facts);
    let mut sheet = of("not needed", title, "No receipt as a whole.", "not_needed", facts, &whole);
    let rest = count(rest.len(), "other receipt", "other receipts");
    sheet.gap().text(Look::Plain, format!("What is left of {rest} stands on the next sheet."));
    sheet
}

/// The sheet of receipts of which something is left.
pub fn rest<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let title = "What this sequence leaves of other receipts, the dearest first".to_owned();
    of("left of receipts", title, "No other receipt leaves anything.", "left_of_receipts", facts, &left(facts).1)
}

fn of<'p>(tab: &str, title: String, none: &str, table: &str, facts: &Facts<'p>, left: &[Left<'_, 'p>]) -> Sheet<'p> {
    let mut sheet = Sheet::new(tab, &widths::<NotNeeded>()).with_currency(&facts.plan.plant.currency);
    sheet.text(Look::Title, title);
    sheet.paragraph(
        Look::Plain,
        "What no unit of this sequence needs and the safety stock does not need either. That is no reason to cancel: what is \
         built after this sequence is not in it.",
    );
    if left.is_empty() {
        sheet.gap().text(Look::Plain, none);
        return sheet;
    }
    sheet.text(Look::Strong, format!("Together {}", amount(facts, cost(facts, left))));
    sheet.gap();
    let lines = left.iter().map(|left| line(facts, left)).collect();
    sheet.table(Some(table.to_owned()), lines);
    sheet
}

/// Receipts that are not needed at all, by due; then those of which something is left, the dearest first.
pub fn left<'f, 'p>(facts: &'f Facts<'p>) -> (Vec<Left<'f, 'p>>, Vec<Left<'f, 'p>>) {
    let of_part = facts.deliveries.chunk_by(|a, b| a.delivery.part == b.delivery.part);
    let all = of_part.flat_map(|deliveries| left_of_part(facts, deliveries[0].delivery.part, deliveries));
    let (mut whole, mut rest): (Vec<_>, Vec<_>) = all.partition(|left| left.qty == left.coming.delivery.open);
    whole.sort_by_key(|left| (left.coming.delivery.due, left.coming.delivery.part));
    rest.sort_by_cached_key(|left| (Reverse(left.cost(facts)), left.coming.delivery.part));
    (whole, rest)
}

/// `10 whole receipts (9,103.20), and some of 1511 more (84,026.41); no reason to cancel`
pub fn words(facts: &Facts<'_>) -> String {
    let (whole, rest) = left(facts);
    format!(
        "{} ({}), and some of {} more ({}); no reason to cancel",
        count(whole.len(), "whole receipt", "whole receipts"),
        amount(facts, cost(facts, &whole)),
        rest.len(),
        amount(facts, cost(facts, &rest))
    )
}

/// What is not taken, after the safety stock has been filled from the stock and the soonest of it.
fn left_of_part<'f, 'p>(facts: &Facts<'_>, part: PartId, deliveries: &'f [Coming<'p>]) -> Vec<Left<'f, 'p>> {
    let account = facts.plan.account(part);
    let all = account.begins + sum_of(deliveries.iter().map(|coming| coming.delivery.open));
    let mut spare = all - account.asked - facts.part(part).safety_stock;
    let mut left = Vec::new();
    for coming in deliveries.iter().rev() {
        let qty = coming.left().min(spare);
        if qty.is_positive() {
            spare -= qty;
            left.push(Left { coming, qty });
        }
    }
    left.reverse();
    left
}

/// What it is worth, where prices are known.
pub fn cost(facts: &Facts<'_>, left: &[Left<'_, '_>]) -> Total {
    left.iter().filter_map(|left| left.cost(facts)).sum()
}

listing! {
    /// What is not needed of a part.
    NotNeeded: fn line<'p>(facts: &Facts<'p>, left: &Left<'_, 'p>) {
        let delivery = left.coming.delivery;
        let part = facts.part(delivery.part);
    }
    look: Look::Plain;
    "purchase order", 11, Wrapped => delivery.order;
    "part", 15, Text => part.code.as_str();
    "description", 26, Wrapped => part.description.as_str();
    "supplier", 22, Wrapped => supplier_name(delivery.supplier);
    "due", 17, Moment => due(delivery);
    "qty open", 9, Quantity => delivery.open;
    "needed, or safety stock", 9, Quantity => delivery.open - left.qty;
    "not needed", 9, Quantity => left.qty;
    "uom", 5, Text => part.uom.as_str();
    "cost", 12, Money => money(left.cost(facts));
    "held units would need", 10, Quantity => facts.would_need(delivery.part);
}
