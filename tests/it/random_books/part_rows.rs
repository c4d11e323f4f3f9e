//! The rows of the parts table of a random book.

use super::Writer;
use super::dice::Dice;
use super::parts::{Kind, PartSketch};
use super::places::Places;
use super::sheet::Sheet;

const HEADINGS: [&str; 20] = [
    "part",
    "description",
    "uom",
    "source",
    "shop",
    "setup",
    "minutes",
    "location",
    "issue",
    "pack quantity",
    "supplier",
    "lead days",
    "minimum buy",
    "buy multiple",
    "cover days",
    "safety stock",
    "cost",
    "weight",
    "fit by",
    "drawing",
];

/// Writes the table, its rows in any order.
pub fn write_parts(dice: &mut Dice, places: &Places, parts: &[PartSketch], book: &mut Writer) {
    let mut sheet = Sheet::new(&HEADINGS);
    let minutes = dice.pick(&[4, 12, 30]);
    let mut rows: Vec<Vec<(&str, String)>> = parts.iter().map(|part| row(dice, places, part, minutes)).collect();
    dice.shuffle(&mut rows);
    for row in &rows {
        let cells: Vec<(&str, &str)> = row.iter().map(|(heading, value)| (*heading, value.as_str())).collect();
        sheet.add(&cells);
    }
    book.put("Parts", &sheet);
}

fn row(dice: &mut Dice, places: &Places, part: &PartSketch, minutes: i64) -> Vec<(&'static str, String)> {
    let mut row = vec![
        ("part", part.code.clone()),
        ("description", dice.word(&["Sink", "Sink, new edge", "Panel 3\" core", "Wall", "", "Axle"])),
        ("uom", part.uom.clone()),
        ("location", location(dice)),
        ("issue", dice.word(&["kit", "kit", "sequence", "bulk", ""])),
        ("cost", dice.decimal(1, 90, 2)),
        ("weight", dice.decimal(0, 40, 3)),
        ("drawing", dice.maybe(10, "D-7")), // a column that nobody knows
    ];
    row.push(("fit by", fit_by(dice, places)));
    if dice.chance(60) {
        row.push(("pack quantity", part.quantity(dice, 120, "")));
    }
    row.push(("source", source(dice, part.kind)));
    match part.kind {
        Kind::Buy => row.extend(buying(dice, part)),
        Kind::Make(shop) => row.extend(making(dice, &places.shops[shop], minutes)),
        _ => {}
    }
    row
}

fn source(dice: &mut Dice, kind: Kind) -> String {
    match kind {
        Kind::Buy => dice.word(&["buy", ""]),
        Kind::Make(_) => dice.word(&["make", ""]),
        Kind::ByProduct { .. } => "by-product".to_string(),
        _ => "phantom".to_string(),
    }
}

/// For more than half of the parts a station, mostly well down its line.
fn fit_by(dice: &mut Dice, places: &Places) -> String {
    let line = dice.pick(&places.lines);
    let station = match dice.between(1, 10) {
        1..=4 => String::new(),
        5 | 6 => line.random_station(dice),
        _ => line.station_at(dice.between(line.last_position() / 2 + 1, line.last_position())),
    };
    dice.spelled(&station)
}

fn location(dice: &mut Dice) -> String {
    match dice.between(1, 8) {
        1 => String::new(),
        2 => format!("rack {}", dice.between(1, 12)),
        3 => format!("{}{}", dice.word(&["A", "b", "C"]), dice.between(1, 12)),
        _ => format!("{}-{}-{}", dice.word(&["A", "A", "a", "B"]), dice.between(1, 12), dice.between(1, 12)),
    }
}

fn making(dice: &mut Dice, shop: &str, high: i64) -> Vec<(&'static str, String)> {
    let minutes = dice.minutes(1, high);
    vec![
        ("shop", dice.spelled(shop)),
        ("setup", if dice.chance(50) { dice.minutes(0, 12) } else { String::new() }),
        ("minutes", dice.maybe(92, &minutes)),
    ]
}

fn buying(dice: &mut Dice, part: &PartSketch) -> Vec<(&'static str, String)> {
    let mut row = vec![
        ("supplier", dice.word(&["Glasswort", "Saltern", "Reedmace Doors", "Brackish Air"])),
        ("lead days", dice.maybe_number(70, 0, 20)),
        ("cover days", dice.maybe_number(50, 0, 7)),
    ];
    for (heading, percent, high) in [("minimum buy", 40, 60), ("buy multiple", 35, 25), ("safety stock", 45, 12)] {
        if dice.chance(percent) {
            row.push((heading, part.quantity(dice, high, "")));
        }
    }
    row
}
