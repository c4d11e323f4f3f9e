//! The conversions and decimals of a random book.

use super::Writer;
use super::dice::Dice;
use super::parts::PartSketch;
use super::sheet::Sheet;

/// For all parts: one of the first is so many of the second.
const GENERAL: [(&str, &str, &str); 7] = [
    ("box", "ea", "24"),
    ("ea", "pr", "0.5"),
    ("sheet", "sqft", "32"),
    ("ft", "coil", "0.0064"),
    ("gal", "lb", "8.34"),
    ("Stick", "bf", "1.333333"),
    ("sqm", "roll", "0.07"),
];

pub fn write(dice: &mut Dice, parts: &[PartSketch], book: &mut Writer) {
    let mut rows: Vec<[String; 4]> = Vec::new();
    for (from, to, factor) in GENERAL {
        rows.push([String::new(), from.to_string(), to.to_string(), factor.to_string()]);
    }
    for part in parts.iter().filter(|part| !part.code.is_empty()) {
        if dice.chance(25) {
            rows.extend(own(dice, part));
        }
    }
    dice.shuffle(&mut rows);
    let mut sheet = Sheet::new(&["part", "from", "to", "factor"]);
    for [part, from, to, factor] in &rows {
        let (part, from) = (dice.spelled(part), dice.spelled(from));
        sheet.add(&[("part", &part), ("from", &from), ("to", to), ("factor", factor)]);
    }
    book.put("Conversions", &sheet);
    write_decimals(dice, book);
}

/// A part's own rows, which count before the general ones.
fn own(dice: &mut Dice, part: &PartSketch) -> Vec<[String; 4]> {
    let rows: &[(&str, &str, &str)] = match part.uom.as_str() {
        "ea" => &[("ea", "box", "0.02")],
        "sheet" => &[("sheet", "sqm", "2.97"), ("sqft", "sheet", "0.03")],
        "ft" | "m" => &[("coil", "m", "30.5")],
        "lb" => &[("lb", "floz", "12.5")],
        "roll" => &[("roll", "sqm", "15.5"), ("yd", "roll", "0.033")],
        _ => &[],
    };
    let count = dice.between(1, 2) as usize;
    let rows = rows.iter().take(count);
    rows.map(|(from, to, factor)| [part.code.clone(), from.to_string(), to.to_string(), factor.to_string()]).collect()
}

fn write_decimals(dice: &mut Dice, book: &mut Writer) {
    let mut sheet = Sheet::new(&["uom", "decimals"]);
    for (uom, low, high) in [("coil", 0, 2), ("sheet", 1, 1), ("kg", 0, 1), ("set", 0, 0), ("l", 1, 6), ("gal", 0, 2)] {
        if dice.chance(40) {
            let decimals = dice.between(low, high).to_string();
            sheet.add(&[("uom", uom), ("decimals", &decimals)]);
        }
    }
    book.put("Uoms", &sheet);
}
