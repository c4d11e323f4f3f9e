//! The parts of a random book, in an order in which a parent comes before what it holds.

use super::dice::Dice;
use super::places::Places;
use super::{Size, Writer, part_rows};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Buy,
    /// Built in a shop, given by its place; it takes from shops further down the list only.
    Make(usize),
    /// Stands below floorplans only.
    StationPhantom,
    /// Stands below make parts of one shop only.
    ShopPhantom(usize),
    /// Holds bought parts and stands anywhere.
    Phantom,
    /// Comes free at stations, in a shop, or both.
    ByProduct {
        at_stations: bool,
        in_shop: Option<usize>,
    },
}

#[derive(Clone)]
pub struct PartSketch {
    pub code: String,
    pub kind: Kind,
    pub uom: String,
    pub is_counted: bool,
}

/// Units of measure with others that can be turned into them.
const UOMS: [(&str, &[&str]); 12] = [
    ("ea", &["ea", "EA", "box", "pr"]),
    ("sheet", &["sheet", "sqft", "sqm", "sqin"]),
    ("ft", &["ft", "in", "yd", "cm", "coil"]),
    ("m", &["m", "mm", "ft", "coil"]),
    ("sqft", &["sqft", "sqin", "sqyd", "sqm", "sheet"]),
    ("kg", &["kg", "g", "lb", "oz"]),
    ("lb", &["lb", "oz", "kg", "gal", "l"]),
    ("gal", &["gal", "qt", "pt", "floz", "l", "ml"]),
    ("l", &["l", "ml", "FLOZ", "pt"]),
    ("bf", &["bf", "cuin", "cuft", "stick"]),
    ("coil", &["coil", "ft", "m"]),
    ("roll", &["roll", "sqm", "sqft"]),
];

impl PartSketch {
    /// A unit of measure that someone else may use for the part.
    pub fn other_uom(&self, dice: &mut Dice) -> String {
        if dice.chance(65) {
            return String::new();
        }
        let known = UOMS.iter().find(|(uom, _)| *uom == self.uom);
        known.map_or(String::new(), |(_, others)| dice.word(others))
    }

    /// A quantity in some unit of measure.
    pub fn quantity(&self, dice: &mut Dice, high: i64, uom: &str) -> String {
        let whole = if self.is_counted && uom.is_empty() { 93 } else { 40 };
        if dice.chance(whole) {
            return dice.between(1, high).to_string();
        }
        let places = dice.pick(&[1, 2, 3, 4]);
        dice.decimal(0, high, places)
    }
}

pub fn write(dice: &mut Dice, size: Size, places: &Places, book: &mut Writer) -> Vec<PartSketch> {
    let mut parts: Vec<PartSketch> = Vec::new();
    for kind in kinds(dice, size, places.shops.len()) {
        let (uom, is_counted) = uom_for(dice, kind);
        let stem = dice.word(&["AX", "SCR", "win", "P", "Brd", "KB", "tr-x", "M4"]);
        let code = format!("{stem}-{}", 10 + parts.len());
        parts.push(PartSketch { code, kind, uom, is_counted });
    }
    part_rows::write_parts(dice, places, &parts, book);
    parts
}

fn kinds(dice: &mut Dice, size: Size, shops: usize) -> Vec<Kind> {
    let mut kinds = vec![Kind::StationPhantom; size.of(dice.between(1, 2), dice.between(3, 8)) as usize];
    for shop in 0..shops {
        let mut own = vec![Kind::Make(shop); size.of(dice.between(1, 4), dice.between(5, 12)) as usize];
        own.extend(vec![Kind::ShopPhantom(shop); size.of(dice.between(0, 1), dice.between(0, 3)) as usize]);
        dice.shuffle(&mut own);
        kinds.extend(own);
    }
    kinds.extend(vec![Kind::Phantom; size.of(1, dice.between(2, 5)) as usize]);
    for _ in 0..size.of(dice.between(1, 4), dice.between(4, 10)) {
        let in_shop = Some(dice.between(0, shops as i64 - 1) as usize);
        kinds.push(match dice.between(1, 4) {
            1 => Kind::ByProduct { at_stations: true, in_shop: None },
            2 => Kind::ByProduct { at_stations: true, in_shop },
            _ => Kind::ByProduct { at_stations: false, in_shop },
        });
    }
    let bought = size.of(30, 200usize).saturating_sub(kinds.len()).max(size.of(12, 90));
    kinds.extend(vec![Kind::Buy; bought]);
    kinds
}

fn uom_for(dice: &mut Dice, kind: Kind) -> (String, bool) {
    let uom = match kind {
        Kind::Make(_) => dice.word(&["ea", "ea", "ea", "set", "m"]),
        Kind::Buy if dice.chance(50) => "ea".to_string(),
        Kind::ByProduct { .. } if dice.chance(50) => "ea".to_string(),
        Kind::Buy | Kind::ByProduct { .. } => dice.pick(&UOMS).0.to_string(),
        _ => dice.word(&["ea", "set", "m"]),
    };
    let is_counted = ["ea", "set", "sheet", "roll"].contains(&uom.as_str());
    (uom, is_counted)
}
