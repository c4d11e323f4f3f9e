//! Stock and receipts that fit what is used, with a small share late or short; or scarce, or none.

use crate::model::{Book, Receipt, Source, Stock, Supply};
use crate::names::{SHOPS, STATIONS};
use crate::parts::BOUGHT;
use crate::usage::Usage;
use fastrand::Rng;

/// Receipts in ten thousand that come some days too late.
const LATE: u32 = 8;
/// Parts in a thousand of which the last tenth is not ordered.
const NOT_ORDERED: u32 = 15;

/// Each part's use is cut into stretches of days: stock covers the first, a receipt each of the others, a day ahead.
pub fn build(book: &mut Book, usage: &Usage, rng: &mut Rng) {
    let most = (book.wanted.units * 60).min(120_000);
    let each = book.wanted.receipts.unwrap_or(most) as f64 / BOUGHT as f64;
    for part in 0..BOUGHT {
        let days = &usage.days[part];
        let used: f64 = usage.total(part);
        if used == 0.0 {
            continue;
        }
        let count = each as i64 + i64::from(rng.f64() < each.fract());
        let last = days.iter().rposition(|qty| *qty > 0.0).unwrap_or(0) as i64 + 1;
        let mut cuts: Vec<i64> =
            (0..count).map(|n| 2 + (n * (last - 2).max(1) + rng.i64(0..last.max(2))) / count.max(1)).collect();
        cuts.sort_unstable();
        let sum = |from: i64, to: i64| -> f64 {
            (from..to).filter_map(|day| days.get(day as usize)).map(|qty| f64::from(*qty)).sum()
        };
        let end = days.len() as i64;
        let first = cuts.first().copied().unwrap_or(end);
        let margin = sum(first, first + 1).ceil();
        stock(book, part, sum(0, first).ceil() + margin, rng);
        let cut_off = if rng.u32(..1000) < NOT_ORDERED { last * 9 / 10 } else { end };
        for (n, from) in cuts.iter().enumerate() {
            let to = cuts.get(n + 1).copied().unwrap_or(end).min(cut_off.max(*from));
            let qty = sum(*from, to).ceil().max(1.0);
            let late = if rng.u32(..10_000) < LATE { rng.i64(2..5) } else { 0 };
            book.receipts.push(Receipt { part, qty, day: from - 1 + late });
        }
    }
    match book.wanted.supply {
        Supply::Well => {}
        Supply::Scarce => scatter(book, rng),
        Supply::None => {
            book.stock.clear();
            book.receipts.clear();
        }
    }
    rng.shuffle(&mut book.receipts);
    book.receipts.sort_by_key(|receipt| receipt.day);
}

/// Leaves one receipt in five out, and lets the others come on any day of the sequence.
fn scatter(book: &mut Book, rng: &mut Rng) {
    let last = book.receipts.iter().map(|receipt| receipt.day).max().unwrap_or(0).max(1);
    book.receipts.retain(|_| rng.u32(..5) > 0);
    book.receipts.iter_mut().for_each(|receipt| receipt.day = rng.i64(1..=last));
}

/// In the simple book all in the stores; in the full one some at the line, some on hold, some reserved.
fn stock(book: &mut Book, part: usize, qty: f64, rng: &mut Rng) {
    let row = |qty, station, unit, hold| Stock { part, qty, station, unit, hold };
    if qty > 0.0 {
        book.stock.push(row(qty, String::new(), String::new(), ""));
    }
    if !book.wanted.full {
        return;
    }
    if book.parts[part].issue == "bulk" {
        for place in (0..STATIONS.len()).filter(|place| place % 8 == part % 8) {
            let station = format!("{}{}", STATIONS[place].0, if part.is_multiple_of(16) { "2" } else { "" });
            book.stock.push(row(rng.u32(20..200) as f64, station, String::new(), ""));
        }
        book.stock.push(row(50.0, SHOPS[part % 8].to_string(), String::new(), ""));
    }
    if qty > 0.0 && rng.u32(..100) == 0 {
        book.stock.push(row(qty / 10.0, String::new(), String::new(), "damp"));
    }
}

/// Minutes from the as-of moment in which what the shops make is there already.
pub const BUILT_AHEAD: i64 = 420;

/// Stock reserved for single units: bought parts, and what the shops have built ahead or for one unit in thirty.
pub fn reserve(book: &mut Book, rng: &mut Rng) {
    if book.wanted.supply == Supply::None {
        return;
    }
    let mut rows = Vec::new();
    for unit in book.units.iter().filter(|unit| !unit.done && !unit.hold) {
        let bill = &book.floorplans[unit.order.floorplan].bill;
        let row = |part| Stock { part, qty: 1.0, station: String::new(), unit: unit.code.clone(), hold: "" };
        let any = bill[rng.usize(..bill.len())].part;
        if rng.u32(..5) == 0 && book.parts[any].source == Source::Buy && book.parts[any].uom == "ea" {
            rows.push(row(any));
        }
        let one = rng.u32(..30) == 0;
        let active = bill.iter().filter(|line| line.when.holds(unit.order.names));
        let mut made = active.filter(|line| matches!(book.parts[line.part].source, Source::Make(_)));
        let first = made.clone().next().filter(|_| one);
        let ahead = made.by_ref().filter(|line| (-59..BUILT_AHEAD).contains(&book.need(unit, line)));
        rows.extend(ahead.chain(first).map(|line| row(line.part)));
    }
    book.stock.extend(rows);
}
