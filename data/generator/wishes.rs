//! What no bill asks for, and work begun that takes longer than it should.

use crate::layout::station;
use crate::model::{Book, Extra, PLANS};

/// Adds the extras: owed, a remake, a sample, a part for a finished unit.
pub fn extras(book: &mut Book) {
    let trimmed = on_line(book, 21, &[0, 1, 2, 3]);
    let glazed = on_line(book, 16, &[0, 1, 2, 3]);
    let washed = on_line(book, 12, &[1, 2, 3]);
    let done = book.units.iter().rposition(|unit| unit.done).unwrap_or(0);
    let long = |n: usize| PLANS[book.units[n].plan].3;
    let code = |n: usize| book.units[n].code.clone();
    let row = |part: String, to, needed, unit, reason| Extra { part, qty: 1.0, uom: "", to, needed, unit, reason };
    let blind = format!("BLN-{}-02", long(trimmed));
    let set = format!("WASHROOM-{}", long(washed));
    let rows = vec![
        row(blind, "TRM", "2027-09-14 06:30", code(trimmed), "owed: blind came with a torn cloth"),
        Extra {
            qty: 2.0,
            ..row(
                format!("WNF-{}-03", long(glazed)),
                "WIN",
                "2027-09-14 06:00",
                code(glazed),
                "owed: two catches missing",
            )
        },
        row(set, "WSH", "2027-09-15 06:00", code(washed), "remake: vanity cracked by a trolley"),
        row("CDR-21-MO-12".into(), "INS", "2027-09-16", String::new(), "sample for the audit room"),
        row("TAP-01".into(), "INS", "2027-09-14 09:00", code(done), "tap drips on a finished unit"),
        row("AWF-05".into(), "AWG", "2027-09-14 10:00", code(glazed), "owed: crank missing from the awning box"),
    ];
    book.extras = rows;
}

/// The first unit on the line at or past a position that is of one of these floorplans.
fn on_line(book: &Book, position: i64, plans: &[usize]) -> usize {
    let at = |n: &usize| station(book.units[*n].at).map_or(0, |row| row.0);
    let units = (0..book.units.len()).rev().filter(|n| at(n) >= position);
    let mut fitting = units.filter(|n| plans.contains(&book.units[*n].plan));
    fitting.next().expect("a unit on the line")
}

/// The first set on a bench of the cabinet shop has to be glued again.
pub fn slow_bench(book: &mut Book) {
    if let Some(row) = book.started.first_mut() {
        row.2 = crate::tune::SLOW_BENCH_MINUTES;
    }
}
