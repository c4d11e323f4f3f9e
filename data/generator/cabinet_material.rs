//! What a cabinet is built from: board, edge band, doors, drawers and fittings.

use crate::model::{BillLine, Book, PLANS};
use crate::options::OPTIONS;
use fastrand::Rng;

/// A cabinet whose lines are being written.
pub struct Below<'a> {
    pub book: &'a mut Book,
    pub code: String,
    pub plan: usize,
}

impl Below<'_> {
    fn line(&mut self, part: String, qty: f64, uom: &str, scrap: f64, when: &str) {
        let (parent, uom, when) = (self.code.clone(), uom.to_string(), when.to_string());
        let qty = crate::model::round_to(qty, 2);
        self.book.add_line(BillLine { parent, part, qty, uom, scrap, when, ..BillLine::default() });
    }

    /// One line for each inside that is offered on the floorplan.
    fn by_decor(&mut self, stem: &str, n: usize, qty: f64, uom: &str, scrap: f64) {
        let decors = OPTIONS.iter().filter(|row| row.2 == "DECOR");
        let offered = decors.filter(|row| crate::family_parts::can_hold(row.0, self.plan));
        for row in offered.collect::<Vec<_>>() {
            self.line(format!("{stem}-{}-{n:02}", &row.0[..2]), qty, uom, scrap, row.0);
        }
    }
}

/// Writes all lines of a cabinet of a size (1 is a middling one) with so many doors and drawers.
pub fn add(mut to: Below, size: f64, doors: u32, drawers: u32, rng: &mut Rng) {
    let own = format!("CDR-{}", PLANS[to.plan].3);
    to.by_decor("BFD", 1, size * 18.0, "sqft", 0.07);
    to.line(format!("BBK-0{}", rng.usize(1..=2)), size * 7.0, "sqft", 0.05, "");
    to.line(format!("BPL-0{}", rng.usize(1..=2)), size * 6.0, "sqft", 0.06, "");
    to.by_decor("EDG", 1, size * 22.0, "ft", 0.04);
    if doors > 0 {
        let door = if doors == 1 { 12 } else { rng.usize(1..=8) };
        to.by_decor(&own, door, f64::from(doors), "", 0.0);
        to.by_decor("HDL", 2, f64::from(doors), "", 0.0);
        to.line(format!("HNG-0{}", rng.usize(1..=4)), f64::from(doors), "", 0.0, "");
        to.line(format!("LCH-0{}", rng.usize(1..=3)), f64::from(doors), "", 0.0, "");
        to.line(format!("LST-0{}", rng.usize(1..=3)), f64::from(doors), "", 0.0, "");
    }
    if drawers > 0 {
        to.by_decor(&own, rng.usize(9..=11), f64::from(drawers), "", 0.0);
        to.by_decor("HDL", 1, f64::from(drawers), "", 0.0);
        to.line(format!("RUN-0{}", rng.usize(1..=4)), f64::from(drawers), "", 0.0, "");
    }
    to.line(format!("CFT-0{}", rng.usize(1..=2)), (size * 16.0).round(), "", 0.0, "");
    to.line(format!("CFT-0{}", rng.usize(3..=5)), (size * 8.0).round(), "", 0.0, "");
    to.line(format!("CSC-0{}", rng.usize(1..=4)), (size * 30.0).round(), "", 0.0, "");
    to.line(format!("CWG-0{}", rng.usize(1..=2)), size * 0.22, "", 0.03, "");
}
