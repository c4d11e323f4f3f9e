//! The lines with their takt and stations, and the shops of a random book.

use super::calendars::Times;
use super::dice::Dice;
use super::sheet::Sheet;
use super::{Size, Writer};

pub struct Places {
    pub lines: Vec<LineSketch>,
    pub shops: Vec<String>,
}

#[derive(Clone)]
pub struct LineSketch {
    pub code: String,
    /// The stations and their positions, in the order of the line.
    pub stations: Vec<(String, i64)>,
}

impl LineSketch {
    pub fn station_at(&self, position: i64) -> String {
        let found = self.stations.iter().find(|(_, own)| *own == position);
        found.expect("a station at each position").0.clone()
    }

    pub fn last_position(&self) -> i64 {
        self.stations.iter().map(|(_, position)| *position).max().expect("stations")
    }

    pub fn random_station(&self, dice: &mut Dice) -> String {
        dice.pick(&self.stations).0
    }
}

pub fn write(dice: &mut Dice, size: Size, times: &Times, book: &mut Writer) -> Places {
    let count = if dice.chance(75) { 2 } else { size.of(1, 3) };
    let codes = ["L1", "Line 2", "ln-3"];
    let lines: Vec<LineSketch> = codes[..count]
        .iter()
        .enumerate()
        .map(|(number, code)| LineSketch { code: code.to_string(), stations: stations(dice, number) })
        .collect();
    write_lines(dice, times, &lines, book);
    write_takt(dice, times, &lines, book);
    write_stations(dice, &lines, book);
    let shops = ["CAB", "Wall shop", "SLD-1", "weld"][..dice.between(2, 4) as usize].to_vec();
    let places = Places { lines, shops: shops.into_iter().map(str::to_string).collect() };
    write_shops(dice, times, &places, book);
    places
}

fn stations(dice: &mut Dice, line: usize) -> Vec<(String, i64)> {
    let names = ["CH", "FL", "CB", "WL", "SL", "RF", "EL", "FN"];
    let mut stations = Vec::new();
    for position in 1..=dice.between(3, 8) {
        let name = format!("{}{}", names[position as usize - 1], ["", "-2", " 3"][line]);
        if dice.chance(15) {
            stations.push((format!("{name}b"), position));
        }
        stations.push((name, position));
    }
    stations
}

fn write_lines(dice: &mut Dice, times: &Times, lines: &[LineSketch], book: &mut Writer) {
    let mut sheet = Sheet::new(&["line", "name", "calendar", "last move"]);
    for line in lines {
        let back = match dice.between(1, 6) {
            1 | 2 => None,
            3 => Some(0),
            4 => Some(dice.between(1, 90)),
            5 if times.promised => Some(dice.between(2, 20) * 30),
            5 => Some(dice.between(60, 600)),
            _ => Some(dice.between(1000, 6000)),
        };
        let last_move = back.map_or(String::new(), |minutes| times.moment(-minutes));
        let calendar = dice.pick(&times.calendars);
        let calendar = dice.spelled(&calendar);
        sheet.add(&[("line", &line.code), ("name", "A line"), ("calendar", &calendar), ("last move", &last_move)]);
    }
    book.put("Lines", &sheet);
}

fn write_takt(dice: &mut Dice, times: &Times, lines: &[LineSketch], book: &mut Writer) {
    let mut sheet = Sheet::new(&["line", "from", "minutes"]);
    for line in lines {
        let mut day = dice.between(-20, 2);
        for _ in 0..dice.between(1, 4) {
            let minutes = if times.promised { dice.word(&["30", "60", "90"]) } else { dice.minutes(20, 150) };
            let code = dice.spelled(&line.code);
            sheet.add(&[("line", &code), ("from", &times.date(day)), ("minutes", &minutes)]);
            day += dice.between(1, 8);
        }
    }
    book.put("Takt", &sheet);
}

fn write_stations(dice: &mut Dice, lines: &[LineSketch], book: &mut Writer) {
    let mut sheet = Sheet::new(&["line", "station", "position", "name", "deliver ahead"]);
    for line in lines {
        for (station, position) in &line.stations {
            let ahead = if dice.chance(80) { dice.minutes(0, 240) } else { String::new() };
            let (code, position) = (dice.spelled(&line.code), position.to_string());
            sheet.add(&[("line", &code), ("station", station), ("position", &position), ("deliver ahead", &ahead)]);
        }
    }
    book.put("Stations", &sheet);
}

fn write_shops(dice: &mut Dice, times: &Times, places: &Places, book: &mut Writer) {
    let mut sheet = Sheet::new(&["shop", "name", "calendar", "crews", "transit", "deliver ahead"]);
    for shop in &places.shops {
        let calendar = dice.pick(&times.calendars);
        let crews = dice.maybe_number(70, 1, 3);
        let transit = if dice.chance(80) { dice.minutes(0, 90) } else { String::new() };
        let ahead = if dice.chance(80) { dice.minutes(0, 60) } else { String::new() };
        sheet.add(&[
            ("shop", shop),
            ("name", "A shop"),
            ("calendar", &calendar),
            ("crews", &crews),
            ("transit", &transit),
            ("deliver ahead", &ahead),
        ]);
    }
    book.put("Shops", &sheet);
}
