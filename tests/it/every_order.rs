//! Proofs over every order against placing every order, and counts against published ones; catches clauses that say more or
//! less than the contract, an order told that is not the smallest, a sum that is off by one build.

use super::oracle;
use super::support::{Sheets, rounds};
use lineward::base::Moment;
use lineward::every_order::{self, Count, Over, Proof};
use lineward::{check, line};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

/// Proves a book that has no errors.
fn proof(sheets: &Sheets) -> Proof {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    assert!(!findings.any_error(), "{findings:?}\n{}", sheets.shown());
    every_order::prove(&plant, &line::pace(&plant), |_, _| ())
}

/// A plant with one floorplan, TEAL, of which one unit was built long ago.
fn plant() -> Sheets {
    let mut sheets = Sheets::plant(&["X", "Y"]);
    sheets.set("Sequence", "line,seq,unit,floorplan,done\nL1,1,U1,TEAL,yes");
    sheets
}

/// How many builds TEAL has.
fn builds(sheets: &Sheets) -> String {
    let proof = proof(sheets);
    match proof.figures.first().map(|figures| &figures.builds) {
        Some(Count::Exactly(count)) => count.to_string(),
        Some(Count::MoreThan(count)) => format!("more than {count}"),
        None => "none".to_owned(),
    }
}

/// Groups of which a unit has one each, with so many options.
fn groups(sizes: &[usize]) -> Sheets {
    let mut sheets = plant();
    sheets.set("Groups", "group,choose").set("Options", "option,group");
    for (group, size) in sizes.iter().enumerate() {
        sheets.add("Groups", &format!("G{group},one"));
        (0..*size).for_each(|option| _ = sheets.add("Options", &format!("G{group}-{option},G{group}")));
    }
    sheets
}

/// J. Orlicky, Material Requirements Planning (1975), the modular bill of a tractor: choices of 3, 3, 2, 2, 2, 2, 2, 2, 3, 2 and
/// 2 modules, 25 in all, make 6,912 different tractors; one more choice of two makes it 13,824.
#[test]
fn a_tractor_of_25_modules() {
    let choices = [3, 3, 2, 2, 2, 2, 2, 2, 3, 2, 2];
    assert_eq!(choices.iter().sum::<usize>(), 25);
    assert_eq!(builds(&groups(&choices)), "6912");
    assert_eq!(builds(&groups(&[&choices[..], &[2]].concat())), "13824");
}

/// Ten options of which no two neighbours go together: in a row as many ways as the Fibonacci number F(12) = 144, in a ring as
/// many as the Lucas number L(10) = 123 (OEIS A000045 and A000032).
#[test]
fn no_two_neighbours() {
    let mut sheets = plant();
    sheets.set("Options", "option").set("Rules", "when,must");
    (0..10).for_each(|i| _ = sheets.add("Options", &format!("N{i}")));
    (0..9).for_each(|i| _ = sheets.add("Rules", &format!("N{i},not N{}", i + 1)));
    assert_eq!(builds(&sheets), "144");
    sheets.add("Rules", "N9,not N0");
    assert_eq!(builds(&sheets), "123");
}

/// Queens on a board, none of which attacks another: OEIS A000170 has 0, 2, 10 and 4 ways for boards of 3 to 6.
#[test]
fn queens() {
    for (size, ways) in [(3_usize, "none"), (4, "2"), (5, "10"), (6, "4")] {
        let mut sheets = groups(&vec![size; size]);
        sheets.set("Rules", "when,must");
        let squares = || (0..size * size).map(|square| (square / size, square % size));
        for ((a, b), (c, d)) in squares().flat_map(|first| squares().map(move |second| (first, second))) {
            if a < c && (b == d || c - a == b.abs_diff(d)) {
                sheets.add("Rules", &format!("G{a}-{b},not G{c}-{d}"));
            }
        }
        let proof = proof(&sheets);
        assert_eq!(proof.findings.iter().any(|finding| finding.kind.name == "nobody-can-order"), ways == "none");
        assert_eq!(builds(&sheets), ways, "a board of {size}");
    }
}

/// A number of any size: two hundred options that have nothing to do with each other, 2^200 (worked out by doubling by hand of
/// digits is long: OEIS A000079 has it).
#[test]
fn more_builds_than_a_machine_word_counts() {
    let mut sheets = plant();
    sheets.set("Options", "option");
    (0..200).for_each(|i| _ = sheets.add("Options", &format!("N{i}")));
    assert_eq!(builds(&sheets), "1606938044258990275541962092341162602522202993782792835301376");
}

/// Rules that look whether something is missing apply in their order: with the one that brings the large axle first there are
/// two builds, with it last no order with BIG can be placed at all, since the small axle was added before.
#[test]
fn the_order_of_rules_counts() {
    let mut sheets = plant();
    sheets.set("Options", "option\nBIG\nAXLES\nAXLEL").set("Offers", "floorplan,option,offer\n*,BIG,optional");
    sheets.set("Rules", "when,adds\nBIG,AXLEL\nnot AXLEL,AXLES");
    assert_eq!(builds(&sheets), "2");
    sheets.set("Rules", "when,adds\nnot AXLEL,AXLES\nBIG,AXLEL");
    let proof = proof(&sheets);
    let told: Vec<&str> = proof.findings.iter().map(|finding| finding.kind.name).collect();
    assert_eq!(builds(&sheets), "1");
    assert!(told.contains(&"offer-never-ordered"), "{told:?}");
}

/// Packages and rules that bring each other about bring nothing by themselves, and the search ends.
#[test]
fn circles_bring_nothing() {
    let mut sheets = plant();
    sheets.set("Options", "option\nA\nB\nC\nD").set("Offers", "floorplan,option,offer\n*,D,optional");
    sheets.set("Packages", "option,includes\nA,B\nB,A").set("Rules", "when,adds\nC,A\nB,C");
    // Nothing, or D.
    assert_eq!(builds(&sheets), "2");
}

/// The dice of the random books.
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
    Name(usize),
    Not(Box<Thrown>),
    And(Box<Thrown>, Box<Thrown>),
    Or(Box<Thrown>, Box<Thrown>),
}

impl Thrown {
    fn new(dice: &mut Dice, options: usize, depth: usize) -> Self {
        let part = |dice: &mut Dice| Box::new(Self::new(dice, options, depth - 1));
        match if depth == 0 { 0 } else { dice.below(5) } {
            0 | 1 => Self::Name(dice.below(options)),
            2 => Self::Not(part(dice)),
            3 => Self::And(part(dice), part(dice)),
            _ => Self::Or(part(dice), part(dice)),
        }
    }

    fn text(&self) -> String {
        match self {
            Self::Name(option) => format!("O{option}"),
            Self::Not(a) => format!("not ({})", a.text()),
            Self::And(a, b) => format!("({}) and ({})", a.text(), b.text()),
            Self::Or(a, b) => format!("({}) or ({})", a.text(), b.text()),
        }
    }

    fn holds(&self, has: &BTreeSet<usize>) -> bool {
        match self {
            Self::Name(option) => has.contains(option),
            Self::Not(a) => !a.holds(has),
            Self::And(a, b) => a.holds(has) && b.holds(has),
            Self::Or(a, b) => a.holds(has) || b.holds(has),
        }
    }
}

/// A random book with one floorplan.
struct Random {
    sheets: Sheets,
    /// For each option whether it is offered, and standard.
    offers: Vec<(bool, bool)>,
    /// Conditions of rules, and what they ask for.
    rules: Vec<(Thrown, Option<Thrown>)>,
    /// Lines: condition, quantity.
    lines: Vec<(Thrown, u32)>,
    most: u32,
}

impl Random {
    fn new(seed: u64) -> Self {
        let mut dice = Dice(fastrand::Rng::with_seed(seed));
        let count = 3 + dice.below(6);
        let mut sheets = plant();
        let grouped = |dice: &mut Dice| ["", "", "GA", "GB", "GC"][dice.below(5)];
        sheets.set("Groups", "group,choose\nGA,one\nGB,at most one\nGC,any").set("Options", "option,group");
        sheets
            .set("Offers", "floorplan,option,offer")
            .set("Packages", "option,includes")
            .set("Rules", "when,adds,must");
        let mut offers = Vec::new();
        let mut standards: BTreeSet<&str> = BTreeSet::new();
        for option in 0..count {
            let group = grouped(&mut dice);
            sheets.add("Options", &format!("O{option},{group}"));
            let single = matches!(group, "GA" | "GB");
            let word = match dice.below(10) {
                0..=4 => "optional",
                5..=7 if !single || standards.insert(group) => "standard",
                5..=7 => "optional",
                _ => "not offered",
            };
            offers.push((word != "not offered", word == "standard"));
            sheets.add("Offers", &format!("*,O{option},{word}"));
        }
        for _ in 0..dice.below(3) {
            let (package, inner) = (dice.below(count), dice.below(count));
            sheets.add("Packages", &format!("O{package},O{inner}"));
        }
        let mut rules = Vec::new();
        for _ in 0..dice.below(5) {
            let when = Thrown::new(&mut dice, count, 2);
            let adds = if dice.chance(60) { format!("O{}", dice.below(count)) } else { String::new() };
            let must = (adds.is_empty() || dice.chance(15)).then(|| Thrown::new(&mut dice, count, 1));
            let must_text = must.as_ref().map(Thrown::text).unwrap_or_default();
            sheets.add("Rules", &format!("{},{adds},{must_text}", when.text()));
            rules.push((when, must));
        }
        sheets.set("Parts", "part,uom,kind,weight").set("Bills", "parent,part,qty,station,when");
        let mut lines = Vec::new();
        for line in 0..2 + dice.below(4) {
            let (when, qty) = (Thrown::new(&mut dice, count, 2), 1 + dice.0.u32(0..3));
            sheets.add("Parts", &format!("P{line},ea,fridge,2.5"));
            sheets.add("Bills", &format!("TEAL,P{line},{qty},X,{}", when.text()));
            lines.push((when, qty));
        }
        let most = 1 + dice.0.u32(0..4);
        sheets.set("Content", &format!("kind,least,most\nfridge,0,{most}"));
        Self { sheets, offers, rules, lines, most }
    }

    /// Every order, each option's mention in the order of their codes.
    fn orders(&self) -> Vec<Vec<(usize, bool)>> {
        let mut all = vec![Vec::new()];
        for (option, (offered, standard)) in self.offers.iter().enumerate() {
            let mut next = all.clone();
            for (allowed, away) in [(*offered, false), (*standard, true)] {
                next.extend(all.iter().filter(|_| allowed).map(|order| [&order[..], &[(option, away)]].concat()));
            }
            all = next;
        }
        all
    }
}

fn words(order: &[(usize, bool)]) -> String {
    let words: Vec<String> =
        order.iter().map(|(option, away)| format!("{}O{option}", if *away { "-" } else { "" })).collect();
    words.join(" ")
}

/// What placing every order of a book comes to.
struct Placed {
    /// Each build, and the smallest order that leads to it.
    builds: BTreeMap<BTreeSet<usize>, Vec<(usize, bool)>>,
}

impl Placed {
    fn of(random: &Random) -> Self {
        let plant = oracle::read(&random.sheets.0, None).expect("a book");
        let mut builds: BTreeMap<BTreeSet<usize>, Vec<(usize, bool)>> = BTreeMap::new();
        for order in random.orders() {
            let Some(names) = oracle::options_with(&plant, &words(&order)) else { continue };
            let has = (0..random.offers.len()).filter(|option| names.contains(&format!("o{option}"))).collect();
            let known = builds.entry(has).or_insert_with(|| order.clone());
            if (order.len(), &order) < (known.len(), known) {
                known.clone_from(&order);
            }
        }
        Self { builds }
    }

    fn any(&self, holds: impl Fn(&BTreeSet<usize>) -> bool) -> bool {
        self.builds.keys().any(holds)
    }
}

/// All answers as text, worked out by placing every order.
fn expected(random: &Random, placed: &Placed) -> String {
    let mut text = format!("{} builds\n", placed.builds.len());
    if placed.builds.is_empty() {
        return text;
    }
    let pieces = |has: &BTreeSet<usize>| -> u32 {
        random.lines.iter().filter(|(when, _)| when.holds(has)).map(|(_, qty)| qty).sum()
    };
    let (least, most) = (placed.builds.keys().map(pieces).min(), placed.builds.keys().map(pieces).max());
    let half_kilograms = |pieces: Option<u32>| f64::from(pieces.unwrap_or(0)) * 2.5;
    let _ = writeln!(text, "{} to {} kg", half_kilograms(least), half_kilograms(most));
    for (i, (when, qty)) in random.lines.iter().enumerate() {
        let used = placed.any(|has| when.holds(has));
        let _ = writeln!(text, "line {i} {used}, most {}", if used { *qty } else { 0 });
    }
    for (option, (offered, _)) in random.offers.iter().enumerate().filter(|(_, (offered, _))| *offered) {
        let _ = writeln!(text, "offer {option} {offered} {}", placed.any(|has| has.contains(&option)));
    }
    for (i, (when, must)) in random.rules.iter().enumerate() {
        // A rule that asks for something may forbid its own condition: then it is told only in other cases, see the contract.
        if must.is_none() {
            let _ = writeln!(text, "rule {i} {}", placed.any(|has| when.holds(has)));
        }
    }
    let breaks = placed.builds.iter().filter(|(has, _)| pieces(has) > random.most).map(|(_, order)| order);
    if let Some(order) = breaks.min_by_key(|order| (order.len(), (*order).clone())) {
        let _ = writeln!(text, "broken by '{}'", words(order));
    }
    text
}

/// The same answers as the program gives them.
fn told(random: &Random) -> String {
    let proof = proof(&random.sheets);
    let rows = |kind: &str| -> BTreeSet<u32> {
        proof.findings.iter().filter(|finding| finding.kind.name == kind).map(|finding| finding.place.row).collect()
    };
    assert!(rows("not-proved").is_empty(), "{:?}", proof.findings);
    let Some(figures) = proof.figures.first() else {
        assert_eq!(rows("nobody-can-order").len(), 1);
        return "0 builds\n".to_owned();
    };
    let Count::Exactly(count) = &figures.builds else { panic!("{:?}", figures.builds) };
    let mut text = format!("{count} builds\n");
    let Over::Is((least, most)) = figures.weight else { panic!("no weights") };
    let _ = writeln!(text, "{least} to {most} kg");
    let never = rows("line-never-used");
    for (i, _) in random.lines.iter().enumerate() {
        let Over::Is(most) = figures.most[i].1 else { panic!("no most") };
        let _ = writeln!(text, "line {i} {}, most {most}", !never.contains(&(i as u32 + 2)));
    }
    let never = rows("offer-never-ordered");
    for (option, (offered, _)) in random.offers.iter().enumerate().filter(|(_, (offered, _))| *offered) {
        let _ = writeln!(text, "offer {option} {offered} {}", !never.contains(&(option as u32 + 2)));
    }
    let never = rows("rule-never-applies");
    for (i, (_, must)) in random.rules.iter().enumerate() {
        if must.is_none() {
            let _ = writeln!(text, "rule {i} {}", !never.contains(&(i as u32 + 2)));
        }
    }
    if let Some(broken) = proof.findings.iter().find(|finding| finding.kind.name == "content-can-break") {
        let order = broken.message.strip_prefix("TEAL ordered as ").and_then(|rest| rest.split(" has ").next());
        let _ = writeln!(text, "broken by '{}'", order.unwrap_or_default());
    }
    text
}

#[test]
fn every_answer_is_that_of_placing_every_order() {
    let (mut empty, mut broken, mut several) = (0, 0, 0);
    for seed in 0..rounds(1_000) {
        let random = Random::new(seed);
        let placed = Placed::of(&random);
        let expected = expected(&random, &placed);
        assert_eq!(told(&random), expected, "seed {seed}\n{}", random.sheets.shown());
        empty += u32::from(placed.builds.is_empty());
        several += u32::from(placed.builds.len() > 10);
        broken += u32::from(expected.contains("broken by"));
    }
    // The books are not all of one sort.
    assert!(empty > 20 && broken > 100 && several > 200, "{empty} {broken} {several}");
}

/// The demo's builds, multiplied out by hand: choices that have nothing to do with each other, and by themselves those that have.
/// COLD brings TANKH and FLOORI: 2·2 without it and 1 with it, 5; on a family floorplan it needs an air unit: 4·3 + 1·2 = 14.
/// TOUR brings AWN, SOL1 and OUTSH; SOL2 and JACKE bring BATTLI; AWNE needs BATTLI or a panel. Without TOUR: OUTSH or not, times
/// (with BATTLI 3 panels · 3 awnings · 2 jacks = 18; without 2 + 3 = 5), 46; with TOUR 2 + 1 = 3; in all 49.
#[test]
fn the_demo_is_proved_and_its_three_planted_mistakes_are_found() {
    let sheets = Sheets::read(&std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen"));
    let proof = proof(&sheets);
    // Inside, outside, wheels, hob and oven, fridge and microwave, air, screen, bike and slides, the two packages.
    let dunlin = 3 * 3 * 2 * 2 * (2 * 2) * 2 * 2 * 2 * 5 * (2 * (2 * 2 * 2) + 2);
    let teal = 3 * 3 * 2 * 3 * 5 * 3 * 3 * (2 * 2) * 5 * 49;
    let plover = 4 * 3 * 2 * 3 * 5 * 3 * (2 * 2) * 14 * 49;
    let curlew = 4 * 3 * 2 * 3 * (2 * 2) * 3 * (2 + 2 + 1) * 14 * 49;
    let counts: Vec<String> = proof
        .figures
        .iter()
        .map(|figures| match &figures.builds {
            Count::Exactly(count) => count.to_string(),
            Count::MoreThan(count) => format!("more than {count}"),
        })
        .collect();
    assert_eq!(counts, [dunlin, teal, plover, curlew].map(|count: u32| count.to_string()));
    let row_of =
        |table: &str, start: &str| sheets.0[table].lines().position(|line| line.starts_with(start)).expect(start) + 1;
    let told: Vec<(&str, u32)> = proof.findings.iter().map(|finding| (finding.kind.name, finding.place.row)).collect();
    let wanted: BTreeSet<(&str, u32)> = [
        ("content-can-break", row_of("Content", "fridge,")),
        ("content-can-break", row_of("Content", "heater,")),
        ("line-never-used", row_of("Bills", "DUNLIN 15,TVF-04,1,,TRM,COLD and not TANKH")),
    ]
    .map(|(kind, row)| (kind, row as u32))
    .into();
    assert_eq!(told.len(), 3, "{:?}", proof.findings);
    assert_eq!(told.into_iter().collect::<BTreeSet<_>>(), wanted);
    let all: String = proof.findings.iter().map(|finding| format!("{finding}\n")).collect();
    for words in [
        "TEAL 18 ordered as FR190 TOUR has 2 of the kind fridge",
        "CURLEW 25 ordered as COLD JACKE has 0 of the kind heater",
        "(COLD includes TANKH)",
    ] {
        assert!(all.contains(words), "{words}\n{all}");
    }
}

/// An order that nobody has placed is told as a unit is, with its weight; one that can't be placed is refused with the reason.
#[test]
fn an_order_that_nobody_has_placed_is_explained() {
    let book = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data/alder-fen");
    let why = |words: &[&str]| {
        let run = std::process::Command::new(env!("CARGO_BIN_EXE_lineward")).arg("why").arg(&book).args(words).output();
        let run = run.expect("the command runs");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
        (run.status.code(), text(run.stdout), text(run.stderr))
    };
    let (status, text, _) = why(&["--order", "TEAL 18: FR190 TOUR"]);
    assert_eq!(status, Some(0));
    // Packages and standards are there, and what it weighs: all parts of TEAL 18 do but 33, see the figures.
    for word in
        ["Nobody has placed this order: TEAL 18: FR190 TOUR.", "AWN", "SOL1", "OUTSH", "HOB3", "Its bought parts weigh"]
    {
        assert!(text.contains(word), "{word}\n{text}");
    }
    let (status, text, _) = why(&["--order", "TEAL 18: FR190 TOUR", "--part", "F9A-01"]);
    assert_eq!((status, text.contains("F9A-01")), (Some(0), true), "{text}");
    let (status, _, wrong) = why(&["--order", "DUNLIN 15: FR190"]);
    assert_eq!((status, wrong.contains("DUNLIN 15 does not offer")), (Some(1), true), "{wrong}");
    let (status, _, wrong) = why(&["--order", "DUNLIN 16: AC"]);
    assert_eq!((status, wrong.contains("did you mean DUNLIN 15?")), (Some(2), true), "{wrong}");
}
