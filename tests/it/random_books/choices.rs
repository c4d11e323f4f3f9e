//! Floorplans, options, groups, offers, packages and rules of a random book.

use super::conditions::Condition;
use super::dice::Dice;
use super::offered;
use super::places::Places;
use super::sheet::Sheet;
use super::{Size, Writer};

pub struct Choices {
    pub floorplans: Vec<FloorplanSketch>,
    pub options: Vec<OptionSketch>,
    /// Floorplan or `*`, option, offer.
    pub offers: Vec<(String, String, String)>,
    /// Option, what it includes.
    pub packages: Vec<(String, String)>,
    pub rules: Vec<RuleSketch>,
}

#[derive(Clone)]
pub struct FloorplanSketch {
    pub code: String,
    pub series: String,
    /// The lines it is built on, by place in the list of lines.
    pub lines: Vec<usize>,
    /// Options that must be ordered because nothing of their group is standard.
    pub base: Vec<String>,
}

#[derive(Clone)]
pub struct OptionSketch {
    pub code: String,
    pub group: String,
}

pub struct RuleSketch {
    pub when: Option<Condition>,
    pub adds: Vec<String>,
    pub must: Option<Condition>,
}

impl Choices {
    /// All names an expression may hold.
    pub fn names(&self, places: &Places) -> Vec<String> {
        let options = self.options.iter().map(|option| option.code.clone());
        let floorplans = self.floorplans.iter().map(|floorplan| floorplan.code.clone());
        let series = self.floorplans.iter().map(|floorplan| floorplan.series.clone());
        let lines = places.lines.iter().map(|line| line.code.clone());
        let others = floorplans.chain(series).chain(lines).filter(|name| !name.is_empty());
        // Options twice: they are what most expressions are about.
        options.clone().chain(options).chain(others).collect()
    }
}

/// Each group and what it lets one choose.
pub const GROUPS: [(&str, &str); 5] =
    [("Heat", "one"), ("fridge", "at most one"), ("TRIM", "At most one"), ("BED-1", "one"), ("Extras", "any")];

pub fn single_choice(group: &str) -> bool {
    GROUPS.iter().any(|(known, choose)| *known == group && *choose != "any")
}

pub fn write(dice: &mut Dice, size: Size, places: &Places, book: &mut Writer) -> Choices {
    let floorplans = floorplans(dice, places);
    let options = options(dice, size);
    let mut choices = Choices { floorplans, options, offers: vec![], packages: vec![], rules: vec![] };
    for attempt in 0.. {
        choices.offers = if dice.chance(8) { vec![] } else { offered::offers(dice, &choices) };
        choices.packages = if attempt < 30 { offered::packages(dice, &choices) } else { vec![] };
        choices.rules = if attempt < 30 { offered::rules(dice, &choices, places) } else { vec![] };
        if choices.find_bases(dice, places) {
            break;
        }
    }
    write_floorplans(dice, &choices, book);
    write_options(dice, &choices, book);
    write_rules(dice, &choices, book);
    choices
}

fn floorplans(dice: &mut Dice, places: &Places) -> Vec<FloorplanSketch> {
    let codes = ["DUNLIN 15", "Teal 18", "PL-21", "curlew-25", "KNOT"];
    let series = ["Fen", "River Bank", "", "Fen"];
    let chosen = dice.some_of(&codes, 4);
    let count = dice.between(2, 4) as usize;
    let all_lines: Vec<usize> = (0..places.lines.len()).collect();
    chosen[..count]
        .iter()
        .map(|code| {
            let lines = if dice.chance(60) { all_lines.clone() } else { vec![dice.pick(&all_lines)] };
            let series = dice.word(&series);
            FloorplanSketch { code: code.to_string(), series, lines, base: vec![] }
        })
        .collect()
}

fn options(dice: &mut Dice, size: Size) -> Vec<OptionSketch> {
    let codes = [
        "AC", "AC-15", "MIC", "awn-3", "TV40", "SOLAR", "HT-1", "ht-2", "FR6", "FR-8", "Rack", "PK-W", "PK-SUN", "LUX",
        "B-2", "CAM1", "STEP", "4SEASON",
    ];
    let count = size.of(dice.between(7, 12), dice.between(11, 18)) as usize;
    let groups: Vec<&str> = GROUPS.iter().map(|(group, _)| *group).collect();
    dice.some_of(&codes, count)
        .into_iter()
        .map(|code| {
            let group = if dice.chance(55) { dice.word(&groups) } else { String::new() };
            OptionSketch { code: code.to_string(), group }
        })
        .collect()
}

fn write_floorplans(dice: &mut Dice, choices: &Choices, book: &mut Writer) {
    let mut sheet = Sheet::new(&["floorplan", "name", "series"]);
    for floorplan in &choices.floorplans {
        let series = dice.spelled(&floorplan.series);
        sheet.add(&[("floorplan", &floorplan.code), ("name", "A floorplan"), ("series", &series)]);
    }
    book.put("Floorplans", &sheet);
}

fn write_options(dice: &mut Dice, choices: &Choices, book: &mut Writer) {
    let mut sheet = Sheet::new(&["option", "name", "group"]);
    for option in &choices.options {
        let group = dice.spelled(&option.group);
        sheet.add(&[("option", &option.code), ("name", "An option"), ("group", &group)]);
    }
    book.put("Options", &sheet);
    let mut sheet = Sheet::new(&["group", "choose"]);
    GROUPS.iter().for_each(|(group, choose)| sheet.add(&[("group", group), ("choose", choose)]));
    book.put("Groups", &sheet);
    let mut sheet = Sheet::new(&["floorplan", "option", "offer"]);
    for (floorplan, option, offer) in &choices.offers {
        let (floorplan, option) = (dice.spelled(floorplan), dice.spelled(option));
        sheet.add(&[("floorplan", &floorplan), ("option", &option), ("offer", offer)]);
    }
    book.put("Offers", &sheet);
}

fn write_rules(dice: &mut Dice, choices: &Choices, book: &mut Writer) {
    let mut sheet = Sheet::new(&["option", "includes"]);
    for (option, included) in &choices.packages {
        let (option, included) = (dice.spelled(option), dice.spelled(included));
        sheet.add(&[("option", &option), ("includes", &included)]);
    }
    book.put("Packages", &sheet);
    let mut sheet = Sheet::new(&["when", "adds", "must", "message"]);
    for rule in &choices.rules {
        let when = rule.when.as_ref().map_or(String::new(), |when| when.text(dice));
        let must = rule.must.as_ref().map_or(String::new(), |must| must.text(dice));
        let adds = rule.adds.join(&dice.word(&[" ", ", ", ";"]));
        sheet.add(&[("when", &when), ("adds", &adds), ("must", &must), ("message", "ask the planner")]);
    }
    book.put("Rules", &sheet);
}
