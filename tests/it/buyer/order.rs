//! `order`: the planned orders of the balances, each with the first short piece that it is for.

use super::cells::{Written, count, moment};
use super::facts::{Day, Facts, Peg, amount, date, money};
use super::{Findings, columns};
use crate::oracle::clock::day_of;
use crate::oracle::numbers::{Millionths, print};
use itertools::Itertools;
use std::collections::BTreeSet;

const COLUMNS: [&str; 10] =
    ["part", "order qty", "uom", "order by", "lead time", "wanted on", "there before", "first for", "price", "cost"];

/// A planned order: of which part, its day, and what it is for.
pub struct Order<'f> {
    pub part: &'f str,
    pub day: &'f Day,
    pub first: Option<&'f Peg>,
    /// Whether it should have been released before the as-of date.
    pub inside: bool,
}

pub fn orders(facts: &Facts) -> Vec<Order<'_>> {
    facts.balances.iter().flat_map(|(part, days)| orders_of(facts, part, days)).collect()
}

fn orders_of<'f>(facts: &'f Facts, part: &'f str, days: &'f [Day]) -> Vec<Order<'f>> {
    let planned: Vec<&Day> = days.iter().filter(|day| day.planned > 0).collect();
    let order = planned.iter().enumerate().map(|(i, day)| {
        // The first order is for what is short before its day, too.
        let from = if i == 0 { i64::MIN } else { day.date };
        let until = planned.get(i + 1).map_or(i64::MAX, |next| next.date);
        let short = facts.waiting(part).filter(|peg| peg.cover == "none");
        let first = short.into_iter().find(|peg| (from..until).contains(&day_of(peg.need)));
        Order { part, day, first, inside: day.release.expect("a day") < day_of(facts.as_of) }
    });
    order.collect()
}

/// How many there are, how many inside the lead time, and what they cost.
pub fn total(facts: &Facts, orders: &[Order<'_>]) -> String {
    let costs: Vec<Option<Millionths>> = orders.iter().map(|order| facts.cost(order.part, order.day.planned)).collect();
    let inside = orders.iter().filter(|order| order.inside).count();
    // A part may have several orders; what has no price are parts.
    let unknown = orders.iter().zip(&costs).filter(|(_, cost)| cost.is_none()).map(|(order, _)| order.part);
    let unknown = unknown.collect::<BTreeSet<_>>().len();
    let inside = if inside > 0 { format!(", {inside} inside lead time") } else { String::new() };
    let known = amount(costs.iter().flatten().sum());
    let without = format!(", without {} whose price is not known", count(unknown, "part", "parts"));
    let without = if unknown > 0 { without } else { String::new() };
    format!("{}{inside}, {known} in all{without}", count(orders.len(), "order", "orders"))
}

/// The last day on which the stores are open up to the last day for the lead time, but not before today where that is still ahead.
pub fn order_by(facts: &Facts, last: i64) -> i64 {
    let stores = &facts.plant.calendars[&facts.plant.settings.stores_calendar];
    let open = (last - 60..=last).rev().find(|day| stores.first_moment(*day).is_some()).expect("an open day");
    if last >= day_of(facts.as_of) { open.max(day_of(facts.as_of)) } else { open }
}

/// The day by which it is to be there: the last on which the stores are open, up to that on which the balance wants it.
pub fn wanted_on(facts: &Facts, order: &Order<'_>) -> i64 {
    order_by(facts, order.day.date)
}

pub fn check(facts: &Facts, written: &Written, found: &mut Findings) {
    let orders = orders(facts);
    let row = |order: &Order<'_>| {
        let part = facts.part(order.part);
        let cells = [
            part.code.clone(),
            print(order.day.planned),
            part.uom.clone(),
            date(order_by(facts, order.day.release.expect("a day"))),
            if order.inside { "inside lead time" } else { "in time" }.to_owned(),
            date(wanted_on(facts, order)),
            order.first.map_or(String::new(), |peg| moment(peg.picked)),
            order.first.map_or("safety stock".to_owned(), Peg::who),
            facts.price(order.part),
            money(facts.cost(order.part, order.day.planned)),
        ];
        cells.to_vec()
    };
    let rows = written.table("order", &COLUMNS);
    found.rows("order", columns(&rows, &COLUMNS), orders.iter().map(row).collect());
    let by: Vec<&String> = rows.iter().map(|row| &row["order by"]).collect();
    let mut sorted = by.clone();
    sorted.sort();
    found.one("order: what should be ordered first", &by.iter().join(", "), &sorted.iter().join(", "));
    if !orders.is_empty() {
        let total = total(facts, &orders);
        let told = written.behind("order", total.split(',').next().expect("a word")).unwrap_or_default();
        found.one("total of order", &told, &total[total.find(',').expect("a comma")..]);
    }
}
