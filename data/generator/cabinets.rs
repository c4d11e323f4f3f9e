//! The cabinets inside the cabinet sets, each with its own bill of board, doors and fittings.

use crate::cabinet_material::{self, Below};
use crate::makes;
use crate::model::{BillLine, Book, PLANS, Part};
use fastrand::Rng;

/// Set, cabinet, minutes (before loads are tuned), doors, drawers, first floorplan that has it, when.
type Cabinet = (&'static str, &'static str, f64, u32, u32, usize, &'static str);

#[rustfmt::skip]
const CABINETS: [Cabinet; 17] = [
    ("GALLEY", "Base cabinet", 9.0, 2, 0, 0, ""),
    ("GALLEY", "Drawer stack", 8.0, 0, 3, 0, ""),
    ("GALLEY", "Overhead locker, short", 6.0, 2, 0, 0, "not MIC"),
    ("GALLEY", "Overhead locker with microwave shelf", 8.0, 1, 0, 0, "MIC"),
    ("GALLEY", "Housing for the tall fridge", 8.0, 1, 0, 1, "FR190"),
    ("GALLEY", "Housing for the oven", 6.0, 1, 1, 1, "OVEN"),
    ("GALLEY", "Larder", 7.0, 1, 2, 2, ""),
    ("BEDROOM", "Wardrobe", 9.0, 2, 0, 0, ""),
    ("BEDROOM", "Bed base", 7.0, 1, 1, 0, ""),
    ("BEDROOM", "Overhead lockers", 8.0, 3, 0, 1, ""),
    ("BEDROOM", "Night stand", 4.0, 0, 2, 3, ""),
    ("WASHROOM", "Vanity", 7.0, 2, 0, 0, ""),
    ("WASHROOM", "Mirror cupboard", 5.0, 1, 0, 0, ""),
    ("DINETTE", "Seat base, left", 5.0, 1, 0, 0, ""),
    ("DINETTE", "Seat base, right", 5.0, 1, 0, 0, ""),
    ("DINETTE", "Screen shelf", 4.0, 1, 0, 0, "TV24 or TV32"),
    ("DINETTE", "Overhead lockers, dinette", 6.0, 2, 0, 2, ""),
];

/// Adds every floorplan's cabinets below its sets.
pub fn build(book: &mut Book, rng: &mut Rng) {
    for plan in 0..4 {
        let here = CABINETS.iter().filter(|cabinet| cabinet.5 <= plan);
        here.enumerate().for_each(|(n, cabinet)| add(book, cabinet, plan, n + 1, rng));
    }
}

fn add(book: &mut Book, cabinet: &Cabinet, plan: usize, n: usize, rng: &mut Rng) {
    let (set, name, minutes, doors, drawers, _, when) = *cabinet;
    let long = PLANS[plan].3;
    let code = format!("CAB-{long}-{n:02}");
    let minutes = (minutes * (0.5 + 0.5 * PLANS[plan].4) * 4.0).round() / 4.0;
    book.add_part(Part {
        code: code.clone(),
        description: format!("{name}, for {long}"),
        uom: "ea".to_string(),
        source: "make",
        shop: "CABSHOP",
        setup: 1.0,
        minutes,
        ..Part::default()
    });
    book.add_line(BillLine {
        parent: makes::code(set, plan),
        part: code.clone(),
        qty: 1.0,
        when: when.to_string(),
        ..BillLine::default()
    });
    let size = PLANS[plan].4 * (0.7 + 0.15 * f64::from(doors + drawers));
    cabinet_material::add(Below { book, code, plan }, size, doors, drawers, rng);
}
