//! Reads stock, receipts, extras and started jobs, each quantity in its part's own unit.
//!
//! Rules `receipts`, `extras`.

use std::collections::BTreeMap;

use super::Book;
use super::calendar::Calendar;
use super::clock::{DAY, Moment, day_of};
use super::measures::Measures;
use super::numbers::{Millionths, millionths};
use super::plant::{ExtraRow, Part, ReceiptRow, Settings, StartedRow, StockRow};
use super::sheets::{Key, Row, key, rows};

/// What a reader of quantities must know.
pub struct Scale<'a> {
    pub parts: &'a BTreeMap<Key, Part>,
    pub measures: &'a Measures,
}

impl Scale<'_> {
    /// A row's quantity in its part's unit; nothing for a part the book does not know.
    fn quantity(&self, row: &Row) -> Option<Millionths> {
        let part = self.parts.get(&row.key("part"))?;
        let own = key(&part.uom);
        let uom = row.maybe_key("uom").unwrap_or(own.clone());
        let factor = self.measures.factor(&row.key("part"), &uom, &own).expect("a conversion");
        let number = row.number("qty").expect("a quantity");
        Some(millionths(number.times(factor)))
    }
}

/// The stock that counts: not held, not below zero, of known parts.
pub fn stock(book: &Book, scale: &Scale) -> Vec<StockRow> {
    let mut stock = Vec::new();
    for row in rows(book, "Stock") {
        let Some(qty) = scale.quantity(&row) else {
            continue;
        };
        if qty > 0 && !row.is_set("hold") {
            let (at, unit) = (row.maybe_key("station"), row.maybe_key("unit"));
            stock.push(StockRow { part: row.key("part"), qty, at, unit });
        }
    }
    stock
}

pub fn receipts(book: &Book, scale: &Scale, settings: &Settings, stores: &Calendar) -> Vec<ReceiptRow> {
    let mut receipts = Vec::new();
    let mut spellings: BTreeMap<Key, String> = BTreeMap::new();
    for row in rows(book, "Receipts") {
        let spelling = spellings.entry(row.key("purchase order"));
        let order = spelling.or_insert(row.text("purchase order")).clone();
        let Some(qty) = scale.quantity(&row) else {
            continue;
        };
        let due = row.moment("due").expect("a due date");
        let (day, available) = arrival(due, settings, stores);
        receipts.push(ReceiptRow { order, part: row.key("part"), qty, day, available });
    }
    receipts
}

/// The day a receipt counts on, and the moment it is there.
fn arrival(due: Moment, settings: &Settings, stores: &Calendar) -> (i64, i64) {
    let today = day_of(settings.as_of);
    let is_overdue = if due.has_time { due.clock < settings.as_of } else { day_of(due.clock) < today };
    if due.has_time && !is_overdue {
        return (day_of(due.clock), due.clock);
    }
    let day = match is_overdue {
        true => open_day_after(today, settings.overdue_days, stores),
        false => day_of(due.clock),
    };
    let usual = day * DAY + settings.receipts_at;
    (day, if day == today { usual.max(settings.as_of) } else { usual })
}

fn open_day_after(today: i64, count: i64, stores: &Calendar) -> i64 {
    let mut day = today;
    for _ in 0..count {
        day += 1;
        while stores.first_moment(day).is_none() {
            day += 1;
        }
    }
    day
}

pub fn extras(book: &Book, scale: &Scale) -> Vec<ExtraRow> {
    let extra = |row: &Row| ExtraRow {
        part: row.key("part"),
        qty: scale.quantity(row).expect("a known part"),
        to: row.key("to"),
        needed: row.moment("needed").map(|moment| moment.clock),
        unit: row.key("unit"),
        unit_text: row.text("unit"),
    };
    rows(book, "Extras").iter().map(extra).collect()
}

pub fn started(book: &Book) -> Vec<StartedRow> {
    let started =
        |row: &Row| StartedRow { unit: row.key("unit"), part: row.key("part"), left: row.minutes("minutes left") };
    rows(book, "Started").iter().map(started).collect()
}
