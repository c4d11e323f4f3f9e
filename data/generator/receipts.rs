//! Buying: lot sizes and safety stock, what the stores hold, and receipts at each supplier's rhythm.

use crate::days::{minute_of, working_days};
use crate::model::{Book, Part, Receipt, Stock, is_counted, round_up};
use crate::stock::Consumption;
use crate::suppliers::delivery_days;
use crate::tune::{CUSHION_DAYS, ONE_DELIVERY_PERCENT, OPEN_END_PERCENT};
use chrono::Datelike;
use fastrand::Rng;
use std::collections::BTreeMap;

/// The last working day on which anything is needed, and one more.
const LAST_DAY: usize = 18;

/// Sizes every bought part's lots, stock and receipts to what is drawn from the stores.
pub fn build(book: &mut Book, drawn: &Consumption, rng: &mut Rng) {
    let codes: Vec<String> = book.parts.iter().filter(|p| p.source == "buy").map(|p| p.code.clone()).collect();
    for code in codes {
        let none = Vec::new();
        let uses = drawn.get(&code).unwrap_or(&none);
        let total: f64 = uses.iter().map(|one| one.1).sum();
        lots(book.part_mut(&code), total / 15.0, rng);
        supply(book, &code, uses, rng);
    }
}

fn lots(part: &mut Part, daily: f64, rng: &mut Rng) {
    let counted = is_counted(&part.uom);
    part.multiple = if part.issue == "bulk" {
        part.pack
    } else if !counted {
        if daily > 200.0 { 100.0 } else { 20.0 }
    } else if part.cost > 60.0 {
        1.0
    } else {
        [1.0, 5.0, 10.0, 25.0][usize::from(daily > 3.0) + usize::from(daily > 10.0) + usize::from(daily > 40.0)]
    };
    let times = if part.cost > 60.0 { 0.0 } else { rng.i32(1..=4) as f64 };
    part.minimum = part.multiple * times;
    part.safety = if rng.u32(0..100) < 55 { round_up(daily * (0.3 + 0.7 * rng.f64()), 0) } else { 0.0 };
    part.cover = [0, 0, 5, 7][rng.usize(0..4)];
}

/// What is drawn before the end of a working day.
fn drawn_by(uses: &[(f64, f64)], day: usize) -> f64 {
    let end = minute_of(day + 1);
    uses.iter().filter(|one| one.0 < end).map(|one| one.1).sum()
}

/// The days, as places in `working_days`, on which a part's supplier brings it.
fn deliveries(part: &Part, rng: &mut Rng) -> Vec<usize> {
    let all = working_days();
    let on = delivery_days(&part.supplier);
    let days = (1..LAST_DAY - 2).filter(|n| on.contains(&all[*n].weekday().number_from_monday()));
    let mut days: Vec<usize> = days.collect();
    if part.cost < 60.0 && rng.u32(0..100) < ONE_DELIVERY_PERCENT {
        let keep = rng.usize(0..days.len().min(4));
        days = vec![days[keep]];
    } else if part.cost < 60.0 && days.len() > 4 {
        days = days.into_iter().step_by(2).collect();
    } else {
        days.drain(..rng.usize(0..=1));
    }
    days
}

fn supply(book: &mut Book, code: &str, uses: &[(f64, f64)], rng: &mut Rng) {
    let part = book.part(code).clone();
    let days = deliveries(&part, rng);
    let first = days.first().copied().unwrap_or(LAST_DAY);
    let counted = is_counted(&part.uom);
    let step = if part.issue == "bulk" && !counted { 2 } else { 0 };
    let mut have = round_up(drawn_by(uses, first + CUSHION_DAYS) + part.safety, step);
    if part.issue == "bulk" && part.pack > 1.0 {
        have = round_up(have / part.pack, 0) * part.pack;
    }
    put_away(book, &part, have, rng);
    let open_end = part.lead <= 9 && rng.u32(0..100) < OPEN_END_PERCENT;
    for (n, day) in days.iter().enumerate() {
        let until = days.get(n + 1).map_or(LAST_DAY, |next| next + CUSHION_DAYS);
        let spare = if open_end && n + 1 == days.len() { 0.0 } else { part.safety };
        let lack = drawn_by(uses, until) + spare - have;
        if lack > 1e-6 {
            let lot = part.multiple.max(if counted { 1.0 } else { 0.01 });
            let qty = round_up(lack.max(part.minimum) / lot, 0) * lot;
            have += qty;
            book.receipts.push(receipt(&part, qty, *day));
        }
    }
}

/// Most stock lies in the part's own bin; now and then some of it lies in the overflow.
fn put_away(book: &mut Book, part: &Part, have: f64, rng: &mut Rng) {
    if have <= 0.0 {
        return;
    }
    let row = |qty: f64, location: &str| Stock {
        part: part.code.clone(),
        qty,
        location: location.to_string(),
        ..Stock::default()
    };
    let over = if have > 20.0 && rng.u32(0..100) < 6 { (have / 3.0).floor() } else { 0.0 };
    book.stock.push(row(crate::model::round_to(have - over, 3), &part.location));
    if over > 0.0 {
        book.stock.push(row(over, &format!("Z-{:02}-1", rng.u32(1..=12))));
    }
}

/// A receipt on a working day; some suppliers say at what time they come.
pub fn receipt(part: &Part, qty: f64, day: usize) -> Receipt {
    let date = working_days()[day].to_string();
    let times = ["", "", "", " 07:00", "", " 09:00", ""];
    let time = times[part.supplier.len() % times.len()];
    let (code, supplier) = (part.code.clone(), part.supplier.clone());
    Receipt { part: code, qty, due: date + time, supplier, ..Receipt::default() }
}

/// Numbers the purchase orders: one for each supplier and day; boxed goods are counted in boxes.
pub fn number(book: &mut Book) {
    book.receipts.sort_by(|a, b| (&a.due, &a.supplier, &a.part).cmp(&(&b.due, &b.supplier, &b.part)));
    let mut orders: BTreeMap<(String, String), usize> = BTreeMap::new();
    for row in &mut book.receipts {
        let next = 52_100 + 3 * orders.len();
        let day = row.due[..10].to_string();
        let order = orders.entry((row.supplier.clone(), day)).or_insert(next);
        row.order = order.to_string();
        let boxed = book.conversions.iter().find(|c| c.0 == row.part && ["box", "roll"].contains(&c.1));
        if let Some(box_of) = boxed.filter(|c| row.qty % c.3 == 0.0) {
            row.qty /= box_of.3;
            row.uom = box_of.1.to_string();
        }
    }
}
