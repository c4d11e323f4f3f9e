//! `not needed` and `left of receipts`: what no unit of the sequence takes, the safety stock filled first: from what is left of
//! the stock, then from what is left of the soonest receipts.

use super::cells::{Written, moment};
use super::facts::{Delivery, Facts, amount, money};
use super::{Findings, columns};
use crate::oracle::numbers::{Millionths, print};

const COLUMNS: [&str; 9] =
    ["purchase order", "part", "supplier", "due", "qty open", "needed, or safety stock", "not needed", "uom", "cost"];

/// Deliveries with what is left of each.
pub type Left<'f> = Vec<(&'f Delivery, Millionths)>;

/// What is left whole, and what in part.
pub fn left(facts: &Facts) -> (Left<'_>, Left<'_>) {
    let of_part = facts.deliveries.chunk_by(|one, other| one.part == other.part);
    let all = of_part.flat_map(|deliveries| left_of_part(facts, deliveries));
    all.partition(|(delivery, qty)| *qty == delivery.open)
}

fn left_of_part<'f>(facts: &Facts, deliveries: &'f [Delivery]) -> Vec<(&'f Delivery, Millionths)> {
    let part = &deliveries[0].part;
    // At the end of all days, without what is still to be ordered.
    let days = facts.balances.get(part).map_or(&[][..], Vec::as_slice);
    let end = days.last().map_or(0, |day| day.available) - days.iter().map(|day| day.planned).sum::<Millionths>();
    let mut spare = end - facts.part(part).safety_stock;
    let mut left = Vec::new();
    for delivery in deliveries.iter().rev() {
        let qty = (delivery.open - facts.taken(delivery)).min(spare);
        if qty > 0 {
            spare -= qty;
            left.push((delivery, qty));
        }
    }
    left
}

/// What they cost together, as far as prices are known.
pub fn cost(facts: &Facts, left: &Left<'_>) -> Millionths {
    left.iter().filter_map(|(delivery, qty)| facts.cost(&delivery.part, *qty)).sum()
}

pub fn check(facts: &Facts, written: &Written, found: &mut Findings) {
    let (whole, rest) = left(facts);
    sheet(facts, written, ("not needed", "total of not needed"), &whole, found);
    sheet(facts, written, ("left of receipts", "total of left of receipts"), &rest, found);
}

fn sheet(
    facts: &Facts,
    written: &Written,
    (name, total): (&'static str, &'static str),
    left: &Left<'_>,
    found: &mut Findings,
) {
    let row = |(delivery, qty): &(&Delivery, Millionths)| {
        let part = facts.part(&delivery.part);
        let supplier = if delivery.supplier.is_empty() { "no supplier in the book" } else { &delivery.supplier };
        let cells = [
            delivery.order.clone(),
            part.code.clone(),
            supplier.to_owned(),
            moment(delivery.due),
            print(delivery.open),
            print(delivery.open - qty),
            print(*qty),
            part.uom.clone(),
            money(facts.cost(&delivery.part, *qty)),
        ];
        cells.to_vec()
    };
    let rows = written.table(name, &COLUMNS);
    found.rows(name, columns(&rows, &COLUMNS), left.iter().map(row).collect());
    let told = written.behind(name, "Together ").unwrap_or_default();
    let right = if left.is_empty() { String::new() } else { amount(cost(facts, left)) };
    found.one(total, &told, &right);
}
