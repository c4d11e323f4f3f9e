//! The walks: each piece that a run takes is on one walk, for the kit that it is for; and what is not there stands at their ends.

use super::pull_list::by_name;
use super::takes::{self, Take, exact, how, line_order, mark, missing, narrow};
use crate::oracle::clock::print;
use crate::oracle::numbers::{self, Millionths};
use crate::questions::asked::{Asked, Row, Told, short, text, told_rows};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A walk as its paper has it.
pub struct Walk {
    /// What stands in its title behind its number.
    title: String,
    /// What stands above its stops.
    told: String,
    /// The lines of its stops, and of what is not there.
    lines: Vec<Told>,
    /// What each stop takes for whom.
    pub takes: Vec<Vec<Take>>,
    /// The kits that are named by their places alone, and those at a single stop.
    places: BTreeMap<usize, (String, String)>,
}

impl Walk {
    /// The kits on its cart: where to, and for whom.
    pub fn kits(&self) -> BTreeSet<(&str, &str)> {
        self.takes.iter().flatten().filter_map(|take| Some((&*take.to, take.unit.as_deref()?))).collect()
    }

    pub fn stops(&self) -> impl Iterator<Item = (&Told, &Vec<Take>)> {
        self.lines.iter().filter(|line| !line["stop"].is_empty()).zip(&self.takes)
    }
}

/// The walks of a run, `None` where the sheet of its stops or a line of its walks does not name all kits. What a stop takes for whom is read from
/// its words: `4 CHS U2`; `2 each to 4, 6; 1 to 5`; of bulk `FL 260`.
pub fn walks(asked: &Asked<'_>, tab: &str) -> Option<Vec<Walk>> {
    let name = format!("walks {tab}");
    let takes = takes::takes(asked, tab)?;
    if !asked.sheets.iter().any(|known| known.name == name) {
        return Some(Vec::new());
    }
    let kits: BTreeMap<String, (String, String)> = takes
        .iter()
        .filter_map(|take| {
            let unit = take.unit.as_deref()?;
            let named = if unit.is_empty() { "no unit" } else { unit };
            Some((format!("{} {named}", take.to), (take.to.clone(), unit.to_owned())))
        })
        .collect();
    let sheet = asked.sheet(&name);
    let begins = format!("{}, walk ", takes::run_of(tab));
    let title = |row: &lineward::report::sheet::Row<'_>| match row.cells.as_slice() {
        [only] => text(&only.value).strip_prefix(&begins).map(str::to_owned),
        _ => None,
    };
    let firsts: Vec<(usize, String)> =
        sheet.rows.iter().enumerate().filter_map(|(at, row)| Some((at, title(row)?))).collect();
    let mut walks: Vec<Walk> = Vec::new();
    for (at, (first, title)) in firsts.iter().enumerate() {
        let end = firsts.get(at + 1).map_or(sheet.rows.len(), |next| next.0);
        let rows = &sheet.rows[first + 1..end];
        let heading = rows.iter().position(|row| row.cells.iter().any(|cell| text(&cell.value) == "stop"));
        let lines =
            told_rows(rows, "stop").into_iter().filter(|row| row.contains_key("take") && !row["part"].is_empty());
        if title.contains(", page ") && !title.contains(", page 1 of ") {
            walks.last_mut().expect("a first page").lines.extend(lines);
            continue;
        }
        let above: Vec<String> =
            rows[..heading.unwrap_or(0)].iter().flat_map(|row| &row.cells).map(|cell| text(&cell.value)).collect();
        let mut walk = Walk {
            title: title.split(", page ").next().expect("a title").to_owned(),
            told: above.first().cloned().unwrap_or_default(),
            lines: lines.collect(),
            takes: Vec::new(),
            places: BTreeMap::new(),
        };
        for placed in above.iter().skip(1) {
            let (place, kit) = placed.split_once(' ').expect("a place and a kit");
            walk.places.insert(place.parse().expect("a place"), kits[kit].clone());
        }
        walks.push(walk);
    }
    for walk in &mut walks {
        // In the order of their numbers, whatever column they stand in.
        walk.lines.sort_by_key(|line| line["stop"].parse::<usize>().unwrap_or(usize::MAX));
        for line in walk.lines.iter().filter(|line| !line["stop"].is_empty()) {
            let bulk = takes::part(asked, &line["part"]).issue == "bulk";
            let place = if line["location"] == "no location" { "not known" } else { &line["location"] };
            let take = |to: &str, unit: Option<&str>, qty: Millionths| Take {
                part: line["part"].clone(),
                place: place.to_owned(),
                to: to.to_owned(),
                unit: unit.map(str::to_owned),
                qty,
            };
            let mut own = Vec::new();
            let whole = exact(line["take"].split(' ').next().expect("a number"));
            for words in line["for"].split("; ") {
                if words.starts_with("and ") && words.ends_with(" more") {
                    return None;
                }
                let (qty, places) = match (words.split_once(" each to "), words.split_once(" to ")) {
                    _ if bulk => {
                        let (to, qty) = words.rsplit_once(' ').expect("a place and a quantity");
                        own.push(take(to, None, exact(qty)));
                        continue;
                    }
                    (Some(told), _) | (None, Some(told)) if told.0.parse::<f64>().is_ok() => told,
                    _ => {
                        let (place, kit) = words.split_once(' ').expect("a place and a kit");
                        let kit = &kits[kit];
                        walk.places.insert(place.parse().expect("a place"), kit.clone());
                        own.push(take(&kit.0, Some(&kit.1), whole));
                        continue;
                    }
                };
                for place in places.split(", ") {
                    let (to, unit) = &walk.places[&place.parse().expect("a place")];
                    own.push(take(to, Some(unit), exact(qty)));
                }
            }
            walk.takes.push(own);
        }
    }
    Some(walks)
}

/// All of a run's takes once, on some walk, for whom they are; stops numbered through, kits at their places in line order.
pub fn for_whom(asked: &Asked<'_>, sheet: &str) -> usize {
    let tab = &sheet["walks ".len()..];
    let (Some(takes), Some(walks)) = (takes::takes(asked, tab), walks(asked, tab)) else { return 0 };
    type Of<'a> = (&'a str, &'a str, &'a str, Option<&'a str>);
    fn sums<'a>(takes: impl Iterator<Item = &'a Take>) -> BTreeMap<Of<'a>, Millionths> {
        let mut sums = BTreeMap::new();
        for take in takes {
            *sums.entry((&*take.part, &*take.place, &*take.to, take.unit.as_deref())).or_default() += take.qty;
        }
        sums
    }
    let told = sums(walks.iter().flat_map(|walk| walk.takes.iter().flatten()));
    assert_eq!(told, sums(takes.iter()), "{sheet}");
    let by_name = by_name(asked);
    let run = OfRun::of(by_name.get(&takes::run_of(tab)).map_or(&[][..], Vec::as_slice), &takes);
    let mut seen = 0;
    for (number, walk) in (1..).zip(&walks) {
        assert!(walk.title.starts_with(&format!("{number} of {}: ", walks.len())), "{}", walk.title);
        let numbers = walk.stops().map(|(line, _)| line["stop"].parse::<usize>().expect("a number"));
        assert!(numbers.eq(1..=walk.takes.len()), "{sheet}: {}", walk.title);
        for (line, own) in walk.stops() {
            let whole: Millionths = own.iter().map(|take| take.qty).sum();
            assert_eq!(exact(line["take"].split(' ').next().expect("a number")), whole, "{line:?}");
            seen += 1;
        }
        let order = |(to, unit): &(&str, &str)| (line_order(asked, to), asked.tables.rank(unit));
        let mut kits: Vec<(&str, &str)> = walk.kits().into_iter().collect();
        kits.sort_by_key(order);
        for (place, (to, unit)) in &walk.places {
            assert_eq!(kits.get(place - 1), Some(&(&**to, &**unit)), "{sheet}: {}: {kits:?}", walk.title);
        }
        above(asked, tab, walk, &run);
    }
    seen
}

/// What stands above a walk's stops: how many, when the run is picked, when its first piece is needed and its first unit arrives, and what is not there.
fn above(asked: &Asked<'_>, tab: &str, walk: &Walk, pulls: &OfRun<'_>) {
    let stops = walk.takes.len();
    let told = &walk.told;
    assert!(told.starts_with(&format!("{stops} {}, ", if stops == 1 { "stop" } else { "stops" })), "{told}");
    // Of runs that have left several pulls may be for one kit.
    if tab != "overdue" {
        let own = walk.takes.iter().flatten().flat_map(|take| &pulls.pulls[&kit_of(take)]);
        let need = own.map(|pull| pull["need"].to_owned()).min();
        let arrives = walk.kits().iter().filter_map(|(to, unit)| asked.tables.arrives(unit, to)).min();
        assert_eq!(told.contains("first needed"), need.is_some(), "{told}");
        assert!(need.is_none_or(|need| told.contains(&format!("; first needed {}", short(&need)))), "{told}");
        assert_eq!(told.contains("first unit arrives"), arrives.is_some(), "{told}");
        let words = |at: i64| told.contains(&format!(", first unit arrives {};", short(&print(at))));
        assert!(arrives.is_none_or(words), "{told}: {arrives:?}");
    }
    let waits = walk.lines.iter().filter(|line| line["stop"].is_empty()).count();
    let more = told.contains(" more in 'not pulled'");
    let words = format!("; {waits} not there yet: at the end");
    assert!(more || told.contains(&words) == (waits > 0), "{told}: {waits}");
}

/// What is not there stands at the ends of the walks, piece by piece: how much, for whom, how it stands and when it comes.
pub fn not_there(asked: &Asked<'_>, sheet: &str) -> usize {
    let tab = &sheet["walks ".len()..];
    let Some(walks) = walks(asked, tab) else { return 0 };
    if walks.iter().any(|walk| walk.told.contains(" more in 'not pulled'")) {
        return 0;
    }
    let mut told: Vec<[String; 4]> = Vec::new();
    for line in walks.iter().flat_map(|walk| &walk.lines).filter(|line| line["stop"].is_empty()) {
        assert_eq!(line["location"], "not there", "{line:?}");
        told.push(["part", "take", "for", "mind"].map(|heading| line[heading].clone()));
    }
    let mut expected: Vec<[String; 4]> = Vec::new();
    for pull in by_name(asked).get(&takes::run_of(tab)).into_iter().flatten() {
        for piece in missing(asked, pull) {
            let part = takes::part(asked, &pull["part"]);
            let take = format!("{} {}", numbers::print(numbers::round_up(piece.qty, part.decimals)), part.uom);
            let whose = match (&pull["issue"], &pull["unit"]) {
                ("bulk", _) => pull["to"].to_owned(),
                (_, "") => format!("{} no unit", &pull["to"]),
                (_, unit) => format!("{} {unit}", &pull["to"]),
            };
            let comes = match piece.there {
                None => "nothing covers it".to_owned(),
                Some(at) => format!("comes {}", narrow(asked, at)),
            };
            let words =
                [Some(format!("{}: {comes}", how(&piece))), mark(asked, &part.code, piece.qty).map(str::to_owned)];
            let mind = words.into_iter().flatten().collect::<Vec<_>>().join("; ");
            expected.push([part.code.clone(), take, whose, mind]);
        }
    }
    told.sort();
    expected.sort();
    assert_eq!(told, expected, "{sheet}");
    told.len()
}

/// A run's pulls by part, place and unit, blank of bulk; and what is taken of each.
pub struct OfRun<'a> {
    pub pulls: HashMap<(&'a str, &'a str, &'a str), Vec<&'a Row>>,
    pub taken: HashMap<(&'a str, &'a str, &'a str), Millionths>,
}

impl<'a> OfRun<'a> {
    pub fn of(pulls: &[&'a Row], takes: &'a [Take]) -> Self {
        let (mut of_pulls, mut taken): (HashMap<_, Vec<&Row>>, HashMap<_, Millionths>) = Default::default();
        for pull in pulls {
            of_pulls.entry((&pull["part"], &pull["to"], &pull["unit"])).or_default().push(pull);
        }
        for take in takes {
            *taken.entry((&*take.part, &*take.to, take.unit.as_deref().unwrap_or(""))).or_default() += take.qty;
        }
        Self { pulls: of_pulls, taken }
    }
}

pub fn kit_of(take: &Take) -> (&str, &str, &str) {
    (&take.part, &take.to, take.unit.as_deref().unwrap_or(""))
}
