//! `by supplier`: all that is asked of anybody, once each.

use super::cells::{Written, moment};
use super::facts::{Delivery, Facts, date};
use super::{Findings, chase, columns, forward, order};
use crate::oracle::numbers::{Millionths, print};
use crate::oracle::sheets::key;

const COLUMNS: [&str; 7] = ["supplier", "ask", "purchase order", "part", "how many", "by when", "now due"];

pub fn check(facts: &Facts, written: &Written, found: &mut Findings) {
    let of_delivery = |ask: &str, delivery: &Delivery, qty: Millionths, by: Option<i64>| {
        let part = facts.part(&delivery.part).code.clone();
        let (by, due) = (by.map_or(String::new(), moment), moment(delivery.due));
        let supplier = name(&delivery.supplier);
        vec![supplier, ask.to_owned(), delivery.order.clone(), part, print(qty), by, due]
    };
    let first = |delivery: &Delivery| facts.steps(delivery, |_| true).first().map(|step| step.0);
    let chased = chase::overdue(facts);
    let chased = chased.iter().map(|delivery| of_delivery("chase", delivery, delivery.open, first(delivery)));
    let late = forward::late(facts);
    let steps = late.iter().flat_map(|(delivery, steps)| steps.iter().map(move |step| (*delivery, step.1, step.0)));
    let forward = steps.map(|(delivery, qty, by)| of_delivery("bring forward", delivery, qty, Some(by)));
    let orders = order::orders(facts);
    let ordered = orders.iter().map(|order| {
        let part = facts.part(order.part).code.clone();
        let by = order.first.map_or_else(|| date(order.day.date), |peg| moment(peg.picked));
        let (supplier, ask, qty) = (name(facts.supplier(order.part)), "order".to_owned(), print(order.day.planned));
        vec![supplier, ask, String::new(), part, qty, by, String::new()]
    });
    let expected = chased.chain(forward).chain(ordered).collect();
    let mut told = columns(&written.table("by supplier", &COLUMNS), &COLUMNS);
    // A supplier prints as first spelled.
    told.iter_mut().for_each(|row| row[0] = key(&row[0]));
    found.rows("by supplier", told, expected);
}

fn name(supplier: &str) -> String {
    if supplier.is_empty() { "no supplier in the book".to_owned() } else { key(supplier) }
}
