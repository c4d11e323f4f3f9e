//! What the units use of each part by working day, and the shops' minutes, so that supply and crews fit.

use crate::days::DAY;
use crate::model::{Book, Line, Source, Unit};
use crate::names::{SHOPS, STATIONS};

pub struct Usage {
    /// For each part its use by working day.
    pub days: Vec<Vec<f32>>,
    /// For each shop the minutes of all units.
    pub minutes: Vec<f64>,
    /// Active bill lines of all units.
    pub lines: usize,
}

impl Usage {
    pub fn of(book: &Book) -> Self {
        let last = book.units.iter().map(|unit| unit.entry).max().unwrap_or(0);
        let days = ((last + 40) * book.takt() / DAY + 3) as usize;
        let mut usage =
            Self { days: vec![vec![0.0; days]; book.parts.len()], minutes: vec![0.0; SHOPS.len()], lines: 0 };
        for unit in book.units.iter().filter(|unit| !unit.done && !unit.hold) {
            usage.add(book, unit, &book.floorplans[unit.order.floorplan].bill, 1.0, None);
        }
        usage
    }

    fn add(&mut self, book: &Book, unit: &Unit, bill: &[Line], above: f64, day: Option<usize>) {
        for line in bill.iter().filter(|line| line.when.holds(unit.order.names)) {
            let position = line.station.map_or(0, |station| STATIONS[station % STATIONS.len()].1);
            if line.qty < 0.0 || (day.is_none() && position <= unit.at) {
                continue;
            }
            self.lines += 1;
            let day = day.unwrap_or((book.need(unit, line) / DAY).max(0) as usize);
            let part = &book.parts[line.part];
            let qty = above * line.qty / per(line.uom, part.uom) / (1.0 - line.scrap);
            self.days[line.part][day] += qty as f32;
            if let Source::Make(shop) = part.source {
                self.minutes[shop] += part.setup + part.minutes * qty;
            }
            let earlier = if part.source == Source::Phantom { day } else { day.saturating_sub(1) };
            self.add(book, unit, &part.bill, qty, Some(earlier));
        }
    }

    pub fn total(&self, part: usize) -> f64 {
        self.days[part].iter().map(|qty| f64::from(*qty)).sum()
    }
}

/// How many of a line's unit of measure make one of the part's own.
fn per(line: &str, part: &str) -> f64 {
    match (line, part) {
        ("in", "ft") => 12.0,
        ("sqft", "sheet") => 32.0,
        _ => 1.0,
    }
}
