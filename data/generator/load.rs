//! Job minutes stretched until each shop's load is the tuned one.

use crate::explode::{Explosion, explode};
use crate::model::Book;
use crate::tune::SHOPS;

/// Stretches the minutes of all made parts, shop by shop; a few rounds, since minutes are rounded.
pub fn fit(book: &mut Book) {
    for _ in 0..3 {
        let found = explode(book);
        for tune in &SHOPS {
            stretch(book, tune.shop, tune.load / load(&found, tune.shop));
        }
    }
}

/// The crew time a shop's jobs take against the crew time it has until the last is due.
pub fn load(found: &Explosion, shop: &str) -> f64 {
    let jobs = || found.jobs.iter().filter(|job| job.shop == shop && !job.ready);
    let work: f64 = jobs().map(|job| job.length).sum();
    let last = jobs().map(|job| job.due).fold(0.0, f64::max);
    work / (crate::explode::shop_tune(shop).crews * last)
}

fn stretch(book: &mut Book, shop: &str, by: f64) {
    for part in book.parts.iter_mut().filter(|part| part.shop == shop) {
        part.minutes = ((part.minutes * by * 4.0).round() / 4.0).max(0.25);
    }
}
