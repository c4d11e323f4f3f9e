//! Crews and minutes of the shops: nine tenths of their time is used.

use crate::days::DAY;
use crate::model::{Book, Source};
use crate::usage::Usage;

const LOAD: f64 = 0.9;

/// Sets the crews and scales the minutes of make parts.
pub fn balance(book: &mut Book, usage: &Usage) {
    let per_day = DAY as f64 / book.takt() as f64 * book.lines() as f64;
    let units = book.units.iter().filter(|unit| !unit.done && !unit.hold).count() as f64;
    let day: Vec<f64> = usage.minutes.iter().map(|minutes| minutes / units * per_day / DAY as f64).collect();
    book.crews = day.iter().map(|crews| ((crews / LOAD).ceil() as i64).max(1)).collect();
    for part in &mut book.parts {
        if let Source::Make(shop) = part.source {
            let scale = LOAD * book.crews[shop] as f64 / day[shop].max(0.01);
            part.setup = (part.setup * scale * 10.0).round() / 10.0;
            part.minutes = (part.minutes * scale * 10.0).round() / 10.0;
        }
    }
}
