//! The extras and the started jobs of a random book.

use super::Writer;
use super::bills::LineSketch;
use super::calendars::Times;
use super::dice::Dice;
use super::orders::{Role, UnitSketch};
use super::parts::{Kind, PartSketch};
use super::places::Places;
use super::sheet::Sheet;

pub fn write(
    dice: &mut Dice,
    times: &Times,
    places: &Places,
    units: &[UnitSketch],
    parts: &[PartSketch],
    bills: &[LineSketch],
    book: &mut Writer,
) {
    write_extras(dice, times, places, units, parts, bills, book);
    write_started(dice, units, parts, bills, book);
}

fn is_on_line(unit: &UnitSketch) -> bool {
    matches!(unit.role, Role::At(_) | Role::Coming)
}

fn write_extras(
    dice: &mut Dice,
    times: &Times,
    places: &Places,
    units: &[UnitSketch],
    parts: &[PartSketch],
    bills: &[LineSketch],
    book: &mut Writer,
) {
    let mut sheet = Sheet::new(&["part", "qty", "uom", "to", "needed", "unit", "reason"]);
    let maker = Maker { times, places, units, parts, bills };
    for _ in 0..dice.between(0, 12) {
        let unit = dice.pick(units);
        let extra = match is_on_line(&unit) && dice.chance(75) {
            true => maker.for_unit_ahead(dice, &unit),
            false => maker.for_others(dice),
        };
        let uom = extra.part.other_uom(dice);
        let qty = extra.part.quantity(dice, 4, &uom);
        let spelled = [&extra.part.code, &extra.to, &extra.unit].map(|code| dice.spelled(code));
        let [part, to, unit] = &spelled;
        sheet.add(&[
            ("part", part),
            ("qty", &qty),
            ("uom", &uom),
            ("to", to),
            ("needed", &extra.needed),
            ("unit", unit),
            ("reason", "owed"),
        ]);
    }
    book.put("Extras", &sheet);
}

struct ExtraSketch {
    part: PartSketch,
    to: String,
    needed: String,
    unit: String,
}

struct Maker<'a> {
    times: &'a Times,
    places: &'a Places,
    units: &'a [UnitSketch],
    parts: &'a [PartSketch],
    bills: &'a [LineSketch],
}

impl Maker<'_> {
    /// Anything for a unit on its line, or more of what one of its bill lines brings.
    fn for_unit_ahead(&self, dice: &mut Dice, unit: &UnitSketch) -> ExtraSketch {
        let line = &self.places.lines[unit.line];
        let own = self.bills.iter().filter(|row| {
            let here = line.stations.iter().any(|(code, _)| *code == row.station);
            row.parent == unit.floorplan && here
        });
        let own: Vec<&LineSketch> = own.collect();
        let passed = |station: &(String, i64)| matches!(unit.role, Role::At(position) if station.1 < position);
        let passed: Vec<(String, i64)> = line.stations.iter().filter(|station| passed(station)).cloned().collect();
        let unit = unit.code.clone();
        if let Some((to, _)) = dice.pick_or_none(&passed).filter(|_| dice.chance(60)) {
            let part = dice.pick(&self.wanted());
            let needed = if dice.chance(50) { self.needed(dice) } else { String::new() };
            return ExtraSketch { part, to, needed, unit };
        }
        if let Some(row) = dice.pick_or_none(&own).filter(|_| dice.chance(35))
            && let Some(part) = self.wanted().into_iter().find(|part| part.code == row.part)
        {
            let (to, needed) = (row.station.clone(), String::new());
            return ExtraSketch { part, to, needed, unit };
        }
        let part = dice.pick(&self.wanted());
        let to_shop = !is_make(&part) && dice.chance(30);
        let to = match to_shop {
            true => dice.pick(&self.places.shops),
            false => line.random_station(dice),
        };
        let needed = match to_shop || dice.chance(60) {
            true => self.needed(dice),
            false => String::new(),
        };
        ExtraSketch { part, to, needed, unit }
    }

    /// For units that are not on a line, or for no unit: nothing that depends on a unit.
    fn for_others(&self, dice: &mut Dice) -> ExtraSketch {
        let mut plain = self.wanted();
        plain.retain(|part| !part_is_special(&part.code, self.bills));
        let makes: Vec<PartSketch> = plain.iter().filter(|part| is_make(part)).cloned().collect();
        let make = dice.pick_or_none(&makes).filter(|_| dice.chance(40));
        let part = make.unwrap_or_else(|| dice.pick(&plain));
        let unit = match dice.between(1, 4) {
            1 | 2 => String::new(),
            3 => dice.word(&["OUT-7", "OUT-8"]),
            _ => not_on_line(dice, self.units),
        };
        let to = match !is_make(&part) && dice.chance(30) {
            true => dice.pick(&self.places.shops),
            false => dice.pick(&self.places.lines).random_station(dice),
        };
        let needed = self.needed(dice);
        ExtraSketch { part, to, needed, unit }
    }

    fn wanted(&self) -> Vec<PartSketch> {
        let is_wanted = |part: &&PartSketch| is_make(part) || matches!(part.kind, Kind::Buy | Kind::ByProduct { .. });
        self.parts.iter().filter(is_wanted).cloned().collect()
    }

    fn needed(&self, dice: &mut Dice) -> String {
        match dice.chance(30) {
            true => self.times.date(dice.between(-2, 6)),
            false => self.times.moment(dice.between(-1500, 6000)),
        }
    }
}

fn is_make(part: &PartSketch) -> bool {
    matches!(part.kind, Kind::Make(_))
}

fn not_on_line(dice: &mut Dice, units: &[UnitSketch]) -> String {
    let others = units.iter().filter(|unit| !is_on_line(unit));
    let codes: Vec<String> = others.map(|unit| unit.code.clone()).collect();
    dice.pick_or_none(&codes).unwrap_or("OUT-9".to_string())
}

/// Whether anything below a part is for some units only, or comes free.
fn part_is_special(part: &str, bills: &[LineSketch]) -> bool {
    bills
        .iter()
        .filter(|line| line.parent == part)
        .any(|line| line.depends() || line.qty.starts_with('-') || part_is_special(&line.part, bills))
}

fn write_started(dice: &mut Dice, units: &[UnitSketch], parts: &[PartSketch], bills: &[LineSketch], book: &mut Writer) {
    let mut sheet = Sheet::new(&["unit", "part", "minutes left"]);
    let is_make_code = |code: &str| parts.iter().any(|part| part.code == code && matches!(part.kind, Kind::Make(_)));
    let mut named: Vec<(String, String)> = Vec::new();
    for _ in 0..dice.between(0, 6) {
        let unit = dice.pick(units);
        let below = bills.iter().filter(|line| line.parent == unit.floorplan && is_make_code(&line.part));
        let makes: Vec<String> = below.map(|line| line.part.clone()).collect();
        let Some(part) = dice.pick_or_none(&makes) else {
            continue;
        };
        let row = (unit.code.clone(), part.clone());
        if !is_on_line(&unit) || named.contains(&row) {
            continue;
        }
        named.push(row);
        let spelled = [&unit.code, &part].map(|code| dice.spelled(code));
        let [unit, part] = &spelled;
        sheet.add(&[("unit", unit), ("part", part), ("minutes left", &dice.minutes(1, 60))]);
    }
    book.put("Started", &sheet);
}
