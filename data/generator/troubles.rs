//! The troubles of a real day, planted one by one: late, overdue, held and short material.

use crate::days::{minute_of, working_days};
use crate::model::{Book, Receipt, Stock};
use crate::receipts::receipt;
use crate::stock::Consumption;
use crate::tune::{HOLD_HITS, LATE_HITS, OVERDUE_HITS, SHORT_HITS};

/// A part's supply rebuilt: the stock runs out so many pieces before a receipt comes at a minute of a working day.
struct Late<'a> {
    part: &'a str,
    day: usize,
    time: &'a str,
    /// Working minutes of the line before that time.
    minute: f64,
    hits: usize,
}

/// Plants all troubles of supply.
pub fn plant(book: &mut Book, drawn: &Consumption) {
    let day = |part, day, hits| Late { part, day, time: "", minute: 230.0, hits };
    late(book, drawn, &day("RAC-01", 3, LATE_HITS));
    late(book, drawn, &day("WIN-21-03", 4, LATE_HITS - 1));
    late(book, drawn, &day("CTP-18-MO-01", 2, 2));
    late(book, drawn, &day("HB4-01", 4, HOLD_HITS));
    late(book, drawn, &Late { part: "MCW-01", day: 2, time: " 11:45", minute: 305.0, hits: 0 });
    late(book, drawn, &Late { part: "F19-01", day: 1, time: " 09:00", minute: 170.0, hits: 0 });
    overdue(book, drawn, &day("F14-01", 1, OVERDUE_HITS), "2027-09-10");
    overdue(book, drawn, &day("LMF-18-04", 1, 0), "2027-09-09");
    short(book, drawn, "OSH-01", SHORT_HITS);
    book.part_mut("OSH-01").lead = 30;
    short(book, drawn, "BIK-01", SHORT_HITS - 1);
    short(book, drawn, "SNK-01", 1);
    on_hold(book, "HB4-01", 6.0, "glass scratched, quality to decide");
    on_hold(book, "WIN-25-02", 2.0, "no glazing mark");
    on_hold(book, "VLV-03", 40.0, "leak test of the lot open");
    on_hold(book, "CUS-18-SA-02", 3.0, "wrong piping");
    surplus(book);
    oversights(book);
}

fn clear(book: &mut Book, part: &str) {
    book.stock.retain(|row| row.part != part || !row.station.is_empty());
    book.receipts.retain(|row| row.part != part);
}

fn uses<'a>(drawn: &'a Consumption, part: &str) -> &'a [(f64, f64)] {
    drawn.get(part).map_or(&[], Vec::as_slice)
}

fn stand(book: &mut Book, part: &str, qty: f64) {
    let location = book.part(part).location.clone();
    if qty > 0.0 {
        book.stock.push(Stock { part: part.to_string(), qty, location, ..Stock::default() });
    }
}

fn late(book: &mut Book, drawn: &Consumption, what: &Late) {
    let uses = uses(drawn, what.part);
    let comes = minute_of(what.day) + what.minute;
    let before = uses.iter().filter(|one| one.0 < comes).count();
    let kept: f64 = uses.iter().take(before.saturating_sub(what.hits)).map(|one| one.1).sum();
    let total: f64 = uses.iter().map(|one| one.1).sum();
    clear(book, what.part);
    stand(book, what.part, kept);
    let part = book.part(what.part).clone();
    let rest = total - kept + part.safety;
    let now = receipt(&part, (rest * 0.6).ceil(), what.day);
    let due = now.due[..10].to_string() + what.time;
    let later = receipt(&part, rest - now.qty, what.day + 3);
    book.receipts.push(Receipt { due, ..now });
    if later.qty > 0.0 {
        book.receipts.push(later);
    }
}

fn overdue(book: &mut Book, drawn: &Consumption, what: &Late, due: &str) {
    late(book, drawn, what);
    let first = working_days()[what.day].to_string();
    let mut rows = book.receipts.iter_mut().filter(|row| row.part == what.part);
    if let Some(row) = rows.find(|row| row.due.starts_with(&first)) {
        row.due = due.to_string();
    }
}

/// The part's supply ends so many pieces before its need does.
fn short(book: &mut Book, drawn: &Consumption, part: &str, hits: usize) {
    let uses = uses(drawn, part);
    let kept: f64 = uses.iter().take(uses.len().saturating_sub(hits)).map(|one| one.1).sum();
    let by_friday: f64 = uses.iter().filter(|one| one.0 < minute_of(5)).map(|one| one.1).sum();
    let now = kept.min(by_friday);
    clear(book, part);
    stand(book, part, now);
    let row = receipt(book.part(part), kept - now, 4);
    if row.qty > 0.0 {
        book.receipts.push(row);
    }
    book.part_mut(part).safety = 0.0;
}

fn on_hold(book: &mut Book, part: &str, qty: f64, why: &str) {
    let row = Stock { part: part.to_string(), qty, location: "Q-01-1".to_string(), ..Stock::default() };
    book.stock.push(Stock { hold: why.to_string(), ..row });
}

/// Receipts that nothing in this sequence needs.
fn surplus(book: &mut Book) {
    for (part, qty, day) in [("AWM-15-01", 6.0, 13), ("EDR-25-GR-01", 4.0, 15), ("VNY-25-HE-01", 600.0, 14)] {
        let row = receipt(&book.part(part).clone(), qty, day);
        book.receipts.push(row);
    }
}

/// Small slips of the stores' records: a count below zero, and finished work of a unit that went to the scrap yard.
fn oversights(book: &mut Book) {
    let row = |part: &str, qty: f64, location: &str, unit: &str| Stock {
        part: part.to_string(),
        qty,
        location: location.to_string(),
        unit: unit.to_string(),
        ..Stock::default()
    };
    book.stock.push(row("GHW-18-05", -2.0, "Z-03-1", ""));
    book.stock.push(row("WASHROOM-18", 1.0, "CAB-RACK", "AF3388"));
    book.stock.push(row("OLD-7731", 14.0, "Z-11-1", ""));
}
