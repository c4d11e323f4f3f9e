//! Extras and begun jobs of the full book.

use crate::days::date;
use crate::model::{Book, Source};
use crate::names::{SHOPS, STATIONS};
use crate::supply::BUILT_AHEAD;
use fastrand::Rng;

/// One extra for twenty units: owed, a sample, a part for a finished unit.
pub fn extras(book: &mut Book, rng: &mut Rng) {
    let count = (book.wanted.units / 20).max(5);
    for n in 0..count {
        let part = book.parts[400 + rng.usize(..3_584)].code.clone();
        let unit = &book.units[rng.usize(..book.units.len())];
        let place = STATIONS[rng.usize(..STATIONS.len())].0;
        let station = format!("{place}{}", if unit.line == 1 { "2" } else { "" });
        let needed = format!("{} 10:00", date(1 + rng.i64(0..(book.wanted.units as i64 / 40).max(1))));
        let (unit, reason) = match n % 5 {
            0 => (String::new(), "sample for the audit room"),
            1 => (unit.code.clone(), "remake: scratched"),
            _ => (unit.code.clone(), "owed: torn"),
        };
        book.extras.push([part, station, needed, unit, reason.to_string()]);
    }
}

/// Each shop that feeds a line has begun a job for the next unit that has one.
pub fn started(book: &mut Book) {
    for shop in 0..SHOPS.len() {
        let mut jobs = Vec::new();
        for unit in book.units.iter().filter(|unit| !unit.done && !unit.hold && unit.at == 0) {
            let bill = book.floorplans[unit.order.floorplan].bill.iter();
            let active = bill.filter(|line| line.when.holds(unit.order.names));
            let later = active.filter(|line| book.need(unit, line) >= BUILT_AHEAD);
            let mut made = later.filter(|line| book.parts[line.part].source == Source::Make(shop));
            jobs.extend(made.next().map(|line| [unit.code.clone(), book.parts[line.part].code.clone(), "6".into()]));
            if jobs.len() >= book.crews[shop] as usize {
                break;
            }
        }
        book.started.extend(jobs);
    }
}
