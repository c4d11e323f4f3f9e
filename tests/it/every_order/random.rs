//! Random small books of which every order is placed by the second implementation: the same builds, lines, offers, rules, sums,
//! parts that come twice and smallest orders, on several floorplans and lines and in each state of changes.
//!
//! Rules `builds`, `proofs`.

use super::super::oracle;
use super::super::support::{Sheets, rounds};
use super::{plant, proof};
use lineward::every_order::{Count, Over, Proof};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

const FLOORPLANS: [&str; 2] = ["TEAL", "KNOT"];
const LINES: [&str; 2] = ["L1", "L2"];
/// So many orders of a floorplan are placed at most.
const MOST_ORDERS: usize = 1_500;

/// An order: options by number, and whether each is taken away.
type Mentions = Vec<(usize, bool)>;
/// What is true of a build, in lower case.
type Names = BTreeSet<String>;

struct Dice(fastrand::Rng);

impl Dice {
    fn chance(&mut self, percent: u32) -> bool {
        self.0.u32(1..=100) <= percent
    }

    fn below(&mut self, end: usize) -> usize {
        self.0.usize(0..end)
    }
}

/// A condition as it was thrown: text for the book, and its own way to be true.
enum Thrown {
    Name(String),
    Not(Box<Thrown>),
    And(Box<Thrown>, Box<Thrown>),
    Or(Box<Thrown>, Box<Thrown>),
}

impl Thrown {
    fn new(dice: &mut Dice, names: &[String], depth: usize) -> Self {
        let part = |dice: &mut Dice| Box::new(Self::new(dice, names, depth - 1));
        match if depth == 0 { 0 } else { dice.below(5) } {
            0 | 1 => Self::Name(names[dice.below(names.len())].clone()),
            2 => Self::Not(part(dice)),
            3 => Self::And(part(dice), part(dice)),
            _ => Self::Or(part(dice), part(dice)),
        }
    }

    fn text(&self) -> String {
        match self {
            Self::Name(name) => name.clone(),
            Self::Not(a) => format!("not ({})", a.text()),
            Self::And(a, b) => format!("({}) and ({})", a.text(), b.text()),
            Self::Or(a, b) => format!("({}) or ({})", a.text(), b.text()),
        }
    }

    fn holds(&self, has: &Names) -> bool {
        match self {
            Self::Name(name) => has.contains(&name.to_lowercase()),
            Self::Not(a) => !a.holds(has),
            Self::And(a, b) => a.holds(has) && b.holds(has),
            Self::Or(a, b) => a.holds(has) || b.holds(has),
        }
    }

    fn speaks_of_a_line(&self) -> bool {
        match self {
            Self::Name(name) => LINES.contains(&name.as_str()),
            Self::Not(a) => a.speaks_of_a_line(),
            Self::And(a, b) | Self::Or(a, b) => a.speaks_of_a_line() || b.speaks_of_a_line(),
        }
    }
}

/// A bill line.
struct Line {
    floorplan: usize,
    part: usize,
    qty: u32,
    when: Thrown,
    /// The change from which it counts, and until which.
    from: Option<usize>,
    until: Option<usize>,
}

impl Line {
    /// Whether its changes let it count where so many of them are reached.
    fn in_state(&self, reached: usize) -> bool {
        self.from.is_none_or(|change| change < reached) && self.until.is_none_or(|change| change >= reached)
    }

    fn holds(&self, has: &Names, reached: usize) -> bool {
        self.in_state(reached) && self.when.holds(has)
    }
}

/// A random book.
struct Random {
    sheets: Sheets,
    options: usize,
    /// For each floorplan and option whether it is offered, and standard.
    offers: Vec<Vec<(bool, bool)>>,
    /// Conditions of rules, and whether each asks for something.
    rules: Vec<(Thrown, bool)>,
    lines: Vec<Line>,
    least: u32,
    most: u32,
    by_line: bool,
}

impl Random {
    fn new(seed: u64) -> Self {
        let mut dice = Dice(fastrand::Rng::with_seed(seed));
        let options = 3 + dice.below(10);
        let mut sheets = plant();
        sheets.set("Floorplans", "floorplan\nTEAL\nKNOT").add("Lines", "L2,DAY").add("Takt", "L2,2027-01-01,60");
        sheets.add("Stations", "L2,Z,1").set("Changes", "change,from date\nC1,2027-10-01\nC2,2027-11-01");
        let names: Vec<String> = (0..options).map(|option| format!("O{option:02}")).collect();
        let mut all = names.clone();
        all.extend(FLOORPLANS.iter().chain(&LINES).map(ToString::to_string).filter(|_| dice.chance(25)));
        sheets.set("Groups", "group,choose\nGA,one\nGB,at most one\nGC,any").set("Options", "option,group");
        let groups: Vec<&str> = names.iter().map(|_| ["", "", "GA", "GB", "GC"][dice.below(5)]).collect();
        names.iter().zip(&groups).for_each(|(name, group)| _ = sheets.add("Options", &format!("{name},{group}")));
        sheets.set("Packages", "option,includes").set("Rules", "when,adds,must");
        let offers = Self::offers(&mut dice, &mut sheets, &names, &groups);
        for _ in 0..dice.below(3) {
            sheets.add("Packages", &format!("{},{}", names[dice.below(options)], names[dice.below(options)]));
        }
        let mut by_line = false;
        let mut rules = Vec::new();
        for _ in 0..dice.below(5) {
            let when = Thrown::new(&mut dice, &all, 2);
            let adds = if dice.chance(60) { names[dice.below(options)].as_str() } else { "" };
            let must = (adds.is_empty() || dice.chance(15)).then(|| Thrown::new(&mut dice, &all, 1));
            by_line |= when.speaks_of_a_line() || must.as_ref().is_some_and(Thrown::speaks_of_a_line);
            let must_text = must.as_ref().map(Thrown::text).unwrap_or_default();
            sheets.add("Rules", &format!("{},{adds},{must_text}", when.text()));
            rules.push((when, must.is_some()));
        }
        let lines = Self::lines(&mut dice, &mut sheets, &all);
        by_line |= lines.iter().any(|line| line.when.speaks_of_a_line());
        let (least, most) = (dice.0.u32(0..2), 1 + dice.0.u32(0..4));
        sheets.set("Content", &format!("kind,least,most\nfridge,{least},{most}"));
        Self { sheets, options, offers, rules, lines, least, most, by_line }
    }

    fn offers(dice: &mut Dice, sheets: &mut Sheets, names: &[String], groups: &[&str]) -> Vec<Vec<(bool, bool)>> {
        sheets.set("Offers", "floorplan,option,offer");
        let mut all = Vec::new();
        for floorplan in FLOORPLANS {
            let (mut of, mut standards, mut orders) = (Vec::new(), BTreeSet::new(), 1);
            for (name, group) in names.iter().zip(groups) {
                let single = matches!(*group, "GA" | "GB");
                let word = match dice.below(10) {
                    5..=7 if orders * 3 <= MOST_ORDERS && (!single || standards.insert(*group)) => "standard",
                    0..=7 if orders * 2 <= MOST_ORDERS => "optional",
                    _ => "not offered",
                };
                orders *= 1 + usize::from(word != "not offered") + usize::from(word == "standard");
                of.push((word != "not offered", word == "standard"));
                sheets.add("Offers", &format!("{floorplan},{name},{word}"));
            }
            all.push(of);
        }
        all
    }

    fn lines(dice: &mut Dice, sheets: &mut Sheets, names: &[String]) -> Vec<Line> {
        sheets.set("Parts", "part,uom,kind,weight");
        sheets.set("Bills", "parent,part,qty,station,when,from change,until change");
        let (mut lines, mut parts): (Vec<Line>, usize) = (Vec::new(), 0);
        for (floorplan, plan) in FLOORPLANS.iter().enumerate() {
            for i in 0..2 + dice.below(4) {
                // Now and then the part of the line before.
                if i == 0 || dice.chance(75) || lines.iter().filter(|line| line.part + 1 == parts).count() > 1 {
                    sheets.add("Parts", &format!("P{parts:02},ea,fridge,2.5"));
                    parts += 1;
                }
                let when = Thrown::new(dice, names, 2);
                let change = |dice: &mut Dice| dice.chance(20).then(|| dice.below(2));
                let (from, until) = (change(dice), change(dice));
                let line = Line { floorplan, part: parts - 1, qty: 1 + dice.0.u32(0..3), when, from, until };
                let code = |change: Option<usize>| change.map(|c| format!("C{}", c + 1)).unwrap_or_default();
                let text = line.when.text();
                let (from, until) = (code(line.from), code(line.until));
                sheets.add("Bills", &format!("{plan},P{:02},{},X,{text},{from},{until}", line.part, line.qty));
                lines.push(line);
            }
        }
        lines
    }

    /// Every order of a floorplan, its mentions in the order of their codes.
    fn orders(&self, floorplan: usize) -> Vec<Mentions> {
        let mut all = vec![Vec::new()];
        for (option, (offered, standard)) in self.offers[floorplan].iter().enumerate() {
            let mut next = all.clone();
            for (allowed, away) in [(*offered, false), (*standard, true)] {
                next.extend(all.iter().filter(|_| allowed).map(|order| [&order[..], &[(option, away)]].concat()));
                // Ordered and taken away at once: an order, too, though never a right one.
            }
            all = next;
        }
        all
    }

    /// The lines of a plant on which orders differ.
    fn own_lines(&self) -> &[&'static str] {
        if self.by_line { &LINES } else { &LINES[..1] }
    }
}

fn words(order: &Mentions) -> String {
    let words: Vec<String> =
        order.iter().map(|(option, away)| format!("{}O{option:02}", if *away { "-" } else { "" })).collect();
    words.join(" ")
}

/// A floorplan on a line, and each of its builds with the smallest order that leads to it.
struct Frame {
    floorplan: usize,
    line: &'static str,
    builds: BTreeMap<Names, Mentions>,
}

/// Places every order.
fn placed(random: &Random) -> Vec<Frame> {
    let plant = oracle::read(&random.sheets.0, None).expect("a book");
    let mut frames = Vec::new();
    for (floorplan, code) in FLOORPLANS.iter().enumerate() {
        let orders = random.orders(floorplan);
        for line in random.own_lines() {
            let mut builds: BTreeMap<Names, Mentions> = BTreeMap::new();
            for order in &orders {
                let names = oracle::names_with(&plant, code, line, &words(order));
                let Some(names) = names else { continue };
                let known = builds.entry(names).or_insert_with(|| order.clone());
                if (order.len(), order) < (known.len(), known) {
                    known.clone_from(order);
                }
            }
            frames.push(Frame { floorplan, line, builds });
        }
    }
    frames
}

/// So many changes are reached, in each state.
const STATES: [usize; 3] = [0, 1, 2];

impl Frame {
    fn lines<'r>(&self, random: &'r Random) -> impl Iterator<Item = &'r Line> {
        let floorplan = self.floorplan;
        random.lines.iter().filter(move |line| line.floorplan == floorplan)
    }

    /// How many pieces a build has, of a part or of all.
    fn pieces(&self, random: &Random, has: &Names, reached: usize, part: Option<usize>) -> u32 {
        let counts = |line: &&Line| part.is_none_or(|part| part == line.part) && line.holds(has, reached);
        self.lines(random).filter(counts).map(|line| line.qty).sum()
    }

    /// The smallest order that leads to one of some builds.
    fn smallest(&self, of: impl Fn(&Names) -> bool) -> Option<&Mentions> {
        self.builds.iter().filter(|(has, _)| of(has)).map(|(_, order)| order).min_by_key(|order| (order.len(), *order))
    }

    fn any(&self, of: impl Fn(&Names) -> bool) -> bool {
        self.builds.keys().any(of)
    }

    /// Where two lines bring one part in some builds of a state only: the smallest order that has both.
    fn twice(&self, a: &Line, b: &Line) -> Option<&Mentions> {
        STATES.iter().find_map(|reached| {
            let both = |has: &Names| a.holds(has, *reached) && b.holds(has, *reached);
            self.smallest(both).filter(|_| self.any(|has| !both(has)))
        })
    }

    fn figures(&self, random: &Random) -> String {
        let mut text = format!("{} {} {} builds", FLOORPLANS[self.floorplan], self.line, self.builds.len());
        let sums = |part| -> Vec<u32> {
            let of_build = |has| STATES.iter().map(move |reached| self.pieces(random, has, *reached, part));
            self.builds.keys().flat_map(of_build).collect()
        };
        let kilograms = |pieces: Option<&u32>| f64::from(*pieces.expect("a build")) * 2.5;
        let all = sums(None);
        let _ = write!(text, ", {} to {} kg", kilograms(all.iter().min()), kilograms(all.iter().max()));
        for part in self.lines(random).map(|line| line.part).collect::<BTreeSet<_>>() {
            let _ = write!(text, ", P{part:02} {}", sums(Some(part)).iter().max().expect("a build"));
        }
        text + "\n"
    }
}

/// All answers as text, worked out by placing every order.
fn expected(random: &Random, frames: &[Frame]) -> String {
    let sound: Vec<&Frame> = frames.iter().filter(|frame| !frame.builds.is_empty()).collect();
    let mut text: String = sound.iter().map(|frame| frame.figures(random)).collect();
    for (i, floorplan) in FLOORPLANS.iter().enumerate() {
        let of: Vec<&&Frame> = sound.iter().filter(|frame| frame.floorplan == i).collect();
        if of.is_empty() {
            let _ = writeln!(text, "nobody can order {floorplan}");
            continue;
        }
        for (line, row) in random.lines.iter().zip(2..).filter(|(line, _)| line.floorplan == i) {
            if !of.iter().any(|frame| STATES.iter().any(|reached| frame.any(|has| line.holds(has, *reached)))) {
                let _ = writeln!(text, "no build has the line on row {row}");
            }
        }
        let row_of = |option: usize| i * random.options + option + 2;
        for (option, (offered, _)) in random.offers[i].iter().enumerate() {
            if *offered && !of.iter().any(|frame| frame.any(|has| has.contains(&format!("o{option:02}")))) {
                let _ = writeln!(text, "no build has the offer on row {}", row_of(option));
            }
        }
        let broken = |breaks: &dyn Fn(u32) -> bool| {
            let of_state = |frame: &'_ Frame, reached: usize| {
                frame.smallest(|has| breaks(frame.pieces(random, has, reached, None))).cloned()
            };
            let all = of.iter().flat_map(|frame| STATES.map(|reached| of_state(frame, reached)));
            all.flatten().min_by_key(|order| (order.len(), order.clone()))
        };
        for (column, order) in
            [("least", broken(&|pieces| pieces < random.least)), ("most", broken(&|pieces| pieces > random.most))]
        {
            if let Some(order) = order {
                let _ = writeln!(text, "{floorplan} breaks {column} by '{}'", words(&order));
            }
        }
        for (second, row) in random.lines.iter().zip(2..).filter(|(line, _)| line.floorplan == i) {
            let first = random.lines.iter().find(|first| first.part == second.part).expect("itself");
            if !std::ptr::eq(first, second)
                && let Some(order) = of.iter().find_map(|frame| frame.twice(first, second))
            {
                let _ = writeln!(text, "twice on row {row} by '{}'", words(order));
            }
        }
    }
    for ((when, must), row) in random.rules.iter().zip(2..) {
        // A rule that asks for something may forbid its own condition: then it is told only in other cases, see the contract.
        if !must && !sound.is_empty() && !sound.iter().any(|frame| frame.any(|has| when.holds(has))) {
            let _ = writeln!(text, "no build has the rule on row {row}");
        }
    }
    sorted(&text)
}

fn sorted(text: &str) -> String {
    let mut lines: Vec<&str> = text.lines().collect();
    lines.sort_unstable();
    lines.join("\n")
}

/// The order in a finding's message.
fn order_in(message: &str) -> &str {
    let after = message.split_once(" ordered as ").map_or("", |(_, after)| after);
    after.split([',', '(']).next().and_then(|order| order.split(" has ").next()).unwrap_or_default().trim()
}

/// The same answers as the program gives them.
fn told(random: &Random, proof: &Proof) -> String {
    let mut text = String::new();
    for figures in &proof.figures {
        let Count::Exactly(count) = &figures.builds else { panic!("{:?}", figures.builds) };
        let line = figures.line.map_or(LINES[0], |line| LINES[line.at()]);
        let _ = write!(text, "{} {line} {count} builds", FLOORPLANS[figures.floorplan.at()]);
        let Over::Is((least, most)) = figures.weight else { panic!("no weights") };
        let _ = write!(text, ", {least} to {most} kg");
        for (part, most) in &figures.most {
            let Over::Is(most) = most else { panic!("no most") };
            let _ = write!(text, ", P{:02} {most}", part.at());
        }
        text.push('\n');
    }
    let with_must = |row: u32| random.rules[row as usize - 2].1;
    for finding in proof.findings.iter() {
        let (row, message) = (finding.place.row, &finding.message);
        let _ = match finding.kind.name {
            "nobody-can-order" => writeln!(text, "nobody can order {}", finding.value),
            "line-never-used" => writeln!(text, "no build has the line on row {row}"),
            "offer-never-ordered" => writeln!(text, "no build has the offer on row {row}"),
            "rule-never-applies" if with_must(row) => Ok(()),
            "rule-never-applies" => writeln!(text, "no build has the rule on row {row}"),
            "must-never-true" => Ok(()),
            "content-can-break" => {
                let column = if message.contains("at most") { "most" } else { "least" };
                writeln!(text, "{} breaks {column} by '{}'", &message[..4], order_in(message))
            }
            "part-twice" => writeln!(text, "twice on row {row} by '{}'", order_in(message)),
            other => panic!("{other}: {message}"),
        };
    }
    sorted(&text)
}

#[test]
fn every_answer_is_that_of_placing_every_order() {
    let mut seen: BTreeMap<&str, u32> = BTreeMap::new();
    let books = rounds(100);
    for seed in 0..books {
        let random = Random::new(seed);
        let frames = placed(&random);
        let expected = expected(&random, &frames);
        assert_eq!(told(&random, &proof(&random.sheets)), expected, "seed {seed}\n{}", random.sheets.shown());
        for what in ["nobody", "the line", "the offer", "the rule", "breaks least", "breaks most", "twice"] {
            *seen.entry(what).or_default() += u32::from(expected.contains(what));
        }
        *seen.entry("lines").or_default() += u32::from(random.by_line);
        *seen.entry("many").or_default() += u32::from(frames.iter().any(|frame| frame.builds.len() > 100));
    }
    // The books are not all of one sort.
    assert!(seen.len() == 9 && seen.values().all(|count| u64::from(*count) * 40 > books), "{seen:?}");
}
