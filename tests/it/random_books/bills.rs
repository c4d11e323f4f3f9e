//! The bills of a random book: floorplans, phantoms and make parts, with all that lines can say.

use super::choices::{Choices, FloorplanSketch};
use super::conditions::Condition;
use super::dice::Dice;
use super::parts::{Kind, PartSketch};
use super::places::Places;
use super::sheet::Sheet;
use super::{Size, Writer};

/// A bill line as far as others must know it.
#[derive(Clone, Default)]
pub struct LineSketch {
    pub parent: String,
    pub part: String,
    pub qty: String,
    pub uom: String,
    pub station: String,
    pub when: String,
    pub scrap: String,
    pub from: String,
    pub until: String,
}

impl LineSketch {
    pub fn depends(&self) -> bool {
        [&self.when, &self.from, &self.until].iter().any(|text| !text.is_empty())
    }
}

pub fn write(
    dice: &mut Dice,
    size: Size,
    places: &Places,
    choices: &Choices,
    changes: &[String],
    parts: &[PartSketch],
    book: &mut Writer,
) -> Vec<LineSketch> {
    let names = choices.names(places);
    let mut maker = Maker { dice, places, names, changes, parts, lines: Vec::new() };
    for floorplan in &choices.floorplans {
        let count = size.of(maker.dice.between(7, 14), maker.dice.between(20, 50));
        (0..count).for_each(|_| maker.below_floorplan(floorplan));
    }
    for place in 0..parts.len() {
        maker.below_part(place);
    }
    maker.givers_in_shops();
    maker.what_is_ignored();
    let mut lines = maker.lines;
    dice.shuffle(&mut lines);
    write_bills(dice, &lines, book);
    lines
}

/// The bills while they are made.
pub struct Maker<'a> {
    pub dice: &'a mut Dice,
    pub places: &'a Places,
    pub names: Vec<String>,
    pub changes: &'a [String],
    pub parts: &'a [PartSketch],
    pub lines: Vec<LineSketch>,
}

impl Maker<'_> {
    /// Puts the line down, for each line of the plant named its own station and condition.
    fn put(&mut self, line: LineSketch, lines: &[usize], percent_with_condition: i64) {
        let condition = match self.dice.chance(percent_with_condition) {
            true => Some(Condition::random(self.dice, &self.names, 3)),
            false => None,
        };
        if lines.is_empty() {
            let when = condition.map_or(String::new(), |condition| condition.text(self.dice));
            self.lines.push(LineSketch { when, ..line });
            return;
        }
        for own in lines {
            let name = Condition::Name(self.places.lines[*own].code.clone());
            let when = match condition.clone() {
                Some(condition) if lines.len() > 1 => Some(name.and(condition)),
                None if lines.len() > 1 => Some(name),
                other => other,
            };
            let when = when.map_or(String::new(), |when| when.text(self.dice));
            let station = self.places.lines[*own].random_station(self.dice);
            self.lines.push(LineSketch { when, station, ..line.clone() });
        }
    }

    fn below_floorplan(&mut self, floorplan: &FloorplanSketch) {
        let (part, gives) = self.for_station(0);
        let line = self.line(&floorplan.code, &part, gives);
        self.put(line, &floorplan.lines, 25);
    }

    fn below_part(&mut self, place: usize) {
        let part = self.parts[place].clone();
        let count = self.dice.between(1, 4);
        for _ in 0..count {
            match part.kind {
                Kind::StationPhantom => self.below_station_phantom(place),
                Kind::Make(shop) | Kind::ShopPhantom(shop) => {
                    let (found, gives) = self.for_shop(place + 1, shop);
                    let line = self.line(&part.code, &found, gives);
                    self.put(line, &[], 12);
                }
                Kind::Phantom => {
                    let later = |kind| matches!(kind, Kind::Buy | Kind::Phantom);
                    let found = self.find(place + 1, later).expect("bought parts come last");
                    let line = self.line(&part.code, &found, false);
                    self.put(line, &[], 10);
                }
                Kind::Buy | Kind::ByProduct { .. } => {}
            }
        }
    }

    fn below_station_phantom(&mut self, place: usize) {
        let parent = self.parts[place].code.clone();
        let (found, gives) = self.for_station(place + 1);
        let mut line = self.line(&parent, &found, gives);
        if self.dice.chance(50) {
            let all: Vec<usize> = (0..self.places.lines.len()).collect();
            self.put(line, &all, 10);
        } else {
            line.station = String::new();
            self.put(line, &[], 15);
        }
    }

    /// Sees to it that what comes free in shops is given by a job there.
    fn givers_in_shops(&mut self) {
        let parts = self.parts.to_vec();
        for part in &parts {
            if let Kind::ByProduct { in_shop: Some(shop), .. } = part.kind {
                let giver = self.find(0, |kind| kind == Kind::Make(shop)).expect("a part of each shop");
                let line = self.line(&giver.code, part, true);
                self.put(line, &[], 10);
                if let Some(taker) = self.find(0, |kind| matches!(kind, Kind::Make(own) if own > shop)) {
                    let line = self.line(&taker.code, part, false);
                    self.put(line, &[], 10);
                }
            }
        }
    }

    /// Lines that count for nothing: below a bought part, below a parent nobody knows.
    fn what_is_ignored(&mut self) {
        let last = self.parts[self.parts.len() - 1].clone();
        let first = self.find(0, |kind| kind == Kind::Buy).expect("a bought part");
        if self.dice.chance(30) && first.code != last.code {
            let line = self.line(&first.code, &last, false);
            self.put(line, &[], 0);
        }
        if self.dice.chance(20) {
            let line = self.line("OLD-99", &last, false);
            self.put(line, &[], 0);
        }
    }
}

fn write_bills(dice: &mut Dice, lines: &[LineSketch], book: &mut Writer) {
    let headings = ["parent", "part", "qty", "uom", "station", "when", "scrap", "from change", "until change", "note"];
    let mut sheet = Sheet::new(&headings);
    for line in lines {
        let spelled = [&line.parent, &line.part, &line.station, &line.from, &line.until].map(|code| dice.spelled(code));
        let [parent, part, station, from, until] = &spelled;
        sheet.add(&[
            ("parent", parent),
            ("part", part),
            ("qty", &line.qty),
            ("uom", &line.uom),
            ("station", station),
            ("when", &line.when),
            ("scrap", &line.scrap),
            ("from change", from),
            ("until change", until),
        ]);
    }
    book.put("Bills", &sheet);
}
