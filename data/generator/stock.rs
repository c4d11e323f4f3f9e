//! Stock: finished work standing ready, jobs begun, lineside stock, and what the stores hold.

use crate::explode::{Explosion, Job};
use crate::model::{Book, Stock, is_counted, round_to, round_up};
use crate::tune::{LINESIDE_PACKS, LINESIDE_PERCENT, SHOPS, STARTED};
use fastrand::Rng;
use std::collections::BTreeMap;

/// For each bought part its uses still to be served from the stores, earliest first: minute and quantity.
pub type Consumption = BTreeMap<String, Vec<(f64, f64)>>;

/// Finished sets, walls and slide boxes reserved for the units that want them soon.
pub fn ready(book: &mut Book, found: &Explosion) {
    let racks = ["CAB-RACK", "WALL-RACK", "SLIDE-BAY"];
    for job in found.jobs.iter().filter(|job| job.ready) {
        let shop = SHOPS.iter().position(|tune| tune.shop == job.shop).unwrap_or(0);
        let unit = book.units[job.unit].code.clone();
        let location = racks[shop].to_string();
        book.stock.push(Stock { part: job.part.clone(), qty: 1.0, location, unit, ..Stock::default() });
    }
}

/// The next jobs of each shop are on the benches already.
pub fn started(book: &mut Book, found: &Explosion, rng: &mut Rng) {
    for (tune, count) in SHOPS.iter().zip(STARTED) {
        let mut jobs: Vec<&Job> = found.jobs.iter().filter(|job| job.shop == tune.shop && !job.ready).collect();
        jobs.sort_by(|a, b| a.due.total_cmp(&b.due));
        for job in jobs.into_iter().take(count) {
            let left = round_to(job.length * (0.2 + 0.5 * rng.f64()), 0).max(3.0);
            book.started.push((book.units[job.unit].code.clone(), job.part.clone(), left));
        }
    }
}

/// What is drawn from the stores by part, lineside stock used up first.
pub fn consumption(book: &mut Book, found: &Explosion, rng: &mut Rng) -> Consumption {
    let mut by_place: BTreeMap<(&str, &str), Vec<(f64, f64)>> = BTreeMap::new();
    for one in found.uses.iter().filter(|one| one.minute >= 0.0) {
        let uses = by_place.entry((&one.part, &one.to)).or_default();
        uses.push((one.minute, one.qty));
    }
    let mut out = Consumption::new();
    for ((part, to), mut uses) in by_place {
        uses.sort_by(|a, b| a.0.total_cmp(&b.0));
        if book.part(part).issue == "bulk" && rng.u32(0..100) < LINESIDE_PERCENT {
            let there = lineside(book, part, to, rng);
            use_up(&mut uses, there);
        }
        out.entry(part.to_string()).or_default().extend(uses);
    }
    for extra in book.extras.iter().filter(|extra| book.part(&extra.part).source == "buy") {
        let uses = out.entry(extra.part.clone()).or_default();
        uses.push((0.0, extra.qty));
    }
    out.values_mut().for_each(|uses| uses.sort_by(|a, b| a.0.total_cmp(&b.0)));
    out
}

fn lineside(book: &mut Book, part: &str, to: &str, rng: &mut Rng) -> f64 {
    let (pack, counted) = (book.part(part).pack, is_counted(&book.part(part).uom));
    let qty = round_up(pack * (0.1 + LINESIDE_PACKS * rng.f64()), if counted { 0 } else { 2 });
    let (part, station) = (part.to_string(), to.to_string());
    book.stock.push(Stock { part, qty, station, ..Stock::default() });
    qty
}

fn use_up(uses: &mut [(f64, f64)], mut there: f64) {
    for one in uses {
        let taken = there.min(one.1);
        one.1 -= taken;
        there -= taken;
    }
}
