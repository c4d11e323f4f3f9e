//! The stock and the receipts of a random book.

use super::Writer;
use super::calendars::Times;
use super::dice::Dice;
use super::orders::UnitSketch;
use super::parts::{Kind, PartSketch};
use super::places::Places;
use super::sheet::Sheet;

pub fn write(
    dice: &mut Dice,
    times: &Times,
    places: &Places,
    units: &[UnitSketch],
    parts: &[PartSketch],
    book: &mut Writer,
) {
    let plenty = dice.pick(&[1, 1, 5, 40]);
    write_stock(dice, times, places, units, parts, plenty, book);
    write_receipts(dice, times, parts, plenty, book);
}

/// Stock is many times as large in a book of plenty.
fn write_stock(
    dice: &mut Dice,
    times: &Times,
    places: &Places,
    units: &[UnitSketch],
    parts: &[PartSketch],
    plenty: i64,
    book: &mut Writer,
) {
    let mut sheet = Sheet::new(&["part", "qty", "uom", "location", "station", "unit", "hold"]);
    for part in parts {
        let rows = match part.kind {
            Kind::Buy => dice.between(if plenty > 5 { 1 } else { 0 }, 4),
            Kind::Make(_) => dice.between(0, 2),
            Kind::ByProduct { .. } => dice.between(if plenty > 5 { 1 } else { 0 }, 1),
            _ => 0,
        };
        for _ in 0..rows {
            stock_row(dice, places, units, part, plenty, &mut sheet);
        }
    }
    let given = |part: &&PartSketch| times.promised && matches!(part.kind, Kind::ByProduct { .. });
    for part in parts.iter().filter(given) {
        sheet.add(&[("part", &part.code), ("qty", "900000")]);
    }
    if dice.chance(20) {
        sheet.add(&[("part", "NOT-KNOWN"), ("qty", "5")]);
    }
    book.put("Stock", &sheet);
}

fn stock_row(
    dice: &mut Dice,
    places: &Places,
    units: &[UnitSketch],
    part: &PartSketch,
    plenty: i64,
    sheet: &mut Sheet,
) {
    let high = if matches!(part.kind, Kind::Make(_)) { 3 } else { dice.pick(&[4, 30, 150]) * plenty };
    let uom = part.other_uom(dice);
    let mut qty = part.quantity(dice, high, &uom);
    if dice.chance(4) {
        qty = format!("-{qty}");
    }
    let (mut station, mut unit) = (String::new(), String::new());
    match dice.between(1, 10) {
        1 | 2 => station = dice.pick(&places.lines).random_station(dice),
        3 => station = dice.pick(&places.shops),
        4 | 5 => unit = dice.pick(units).code,
        6 if dice.chance(30) => (station, unit) = (dice.pick(&places.shops), dice.pick(units).code),
        6 if dice.chance(20) => unit = "NOT-LISTED-2".to_string(),
        _ => {}
    }
    let hold = match dice.between(1, 12) {
        1 => "cracked",
        2 => dice.pick(&["no", "0", "FALSE"]),
        _ => "",
    };
    let (code, station, unit) = (dice.spelled(&part.code), dice.spelled(&station), dice.spelled(&unit));
    sheet.add(&[
        ("part", &code),
        ("qty", &qty),
        ("uom", &uom),
        ("location", "E-1"),
        ("station", &station),
        ("unit", &unit),
        ("hold", hold),
    ]);
}

fn write_receipts(dice: &mut Dice, times: &Times, parts: &[PartSketch], plenty: i64, book: &mut Writer) {
    let mut sheet = Sheet::new(&["purchase order", "part", "qty", "uom", "due", "supplier"]);
    let mut orders: Vec<String> = Vec::new();
    for part in parts {
        let rows = match part.kind {
            Kind::Buy => dice.pick(&[0, 1, 1, 2, 3]),
            Kind::Make(_) if dice.chance(5) => 1,
            _ => 0,
        };
        for _ in 0..rows {
            let order = match dice.pick_or_none(&orders) {
                Some(order) if dice.chance(35) => order,
                _ => format!("Po-{}", 7000 + dice.between(1, 400)),
            };
            let uom = part.other_uom(dice);
            let high = dice.pick(&[5, 40, 120]) * plenty;
            let qty = part.quantity(dice, high, &uom);
            let (code, spelled) = (dice.spelled(&part.code), dice.spelled(&order));
            sheet.add(&[
                ("purchase order", &spelled),
                ("part", &code),
                ("qty", &qty),
                ("uom", &uom),
                ("due", &due(dice, times)),
            ]);
            orders.push(order);
        }
    }
    if times.promised {
        promise_the_rest(dice, times, parts, &mut sheet);
    }
    if dice.chance(15) {
        sheet.add(&[("purchase order", "Po-1"), ("part", "NOT-KNOWN"), ("qty", "5"), ("due", &times.date(1))]);
    }
    book.put("Receipts", &sheet);
}

/// As much of each bought part as anybody may ask for.
fn promise_the_rest(dice: &mut Dice, times: &Times, parts: &[PartSketch], sheet: &mut Sheet) {
    for part in parts.iter().filter(|part| part.kind == Kind::Buy) {
        if dice.chance(5) {
            continue;
        }
        let order = format!("Po-{}", 7500 + dice.between(1, 400));
        let far = dice.pick(&[16, 16, 100]);
        let due = times.moment(dice.between(1, far) * 30);
        sheet.add(&[("purchase order", &order), ("part", &part.code), ("qty", "900000"), ("due", &due)]);
    }
}

fn due(dice: &mut Dice, times: &Times) -> String {
    match dice.between(1, 10) {
        1 => times.date(dice.between(-9, -1)),
        2 => times.moment(dice.between(-4000, -1)),
        3 => times.date(0),
        4 => times.moment(dice.between(0, 600)),
        5 => times.moment(dice.between(600, 8000)),
        6 => times.moment(dice.between(600, 8000)).replace(' ', "T"),
        _ => times.date(dice.between(1, 12)),
    }
}
