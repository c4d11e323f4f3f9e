//! The driver's page: what goes to each station with a run, as the sheet of its stops divides it; and what is fetched between two runs, from the pegs,
//! the jobs and the shops' own time.

use super::dock::promise;
use super::pull_list::by_name;
use super::takes::{self, Kilograms, Lift, exact, lift, line_order, mark, marked, missing, narrow, place_name};
use super::walks;
use crate::oracle::clock::{DAY, print};
use crate::oracle::numbers::{self, Millionths};
use crate::oracle::sheets::key;
use crate::questions::asked::{Asked, Row, Told, minutes_up, seconds};
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// The stations of a run by first need, then in line order: kits, labels, lines, kilograms, and when the first of their units arrives.
pub fn stations(asked: &Asked<'_>, sheet: &str) -> usize {
    let tab = &sheet["driver ".len()..];
    let rows = asked.maybe_rows(sheet, "labels");
    let rows: Vec<&Told> = rows.iter().filter(|row| row.contains_key("heavy lines")).collect();
    let (Some(takes), Some(walks)) = (takes::takes(asked, tab), walks::walks(asked, tab)) else { return 0 };
    let mut of_pulls: BTreeMap<(&str, &str, Option<&str>), Millionths> = BTreeMap::new();
    for take in &takes {
        *of_pulls.entry((&take.to, &take.part, take.unit.as_deref())).or_default() += take.qty;
    }
    let by_name = by_name(asked);
    let pulls = by_name.get(&takes::run_of(tab)).map_or(&[][..], Vec::as_slice).iter();
    let pulls: HashMap<(&str, &str, &str), &Row> =
        pulls.map(|pull| ((&pull["to"], &pull["part"], &pull["unit"]), *pull)).collect();
    let mut expected = Vec::new();
    for to in of_pulls.keys().map(|(to, ..)| *to).collect::<BTreeSet<_>>() {
        let own: Vec<_> = of_pulls.iter().filter(|((of, ..), _)| *of == to).collect();
        let pull = |part: &str, unit: Option<&str>| pulls[&(to, part, unit.unwrap_or(""))];
        let need = own.iter().map(|((_, part, unit), _)| pull(part, *unit)["need"].to_owned()).min().expect("a pull");
        let units: BTreeSet<&str> = own.iter().filter_map(|((.., unit), _)| *unit).collect();
        let arrives = units.iter().filter_map(|unit| asked.tables.arrives(unit, to)).min();
        let of_issue =
            |issue: &str| own.iter().filter(|((_, part, _), _)| takes::part(asked, part).issue == issue).count();
        let mut load = Kilograms::default();
        own.iter().for_each(|((_, part, _), qty)| load.add(asked, part, **qty));
        let heavy = own.iter().filter(|((_, part, _), qty)| lift(asked, part, **qty) == Lift::Two).count();
        let labels = walks.iter().flat_map(|walk| walk.kits()).filter(|(of, _)| *of == to).count();
        let told = |number: usize| if number == 0 { String::new() } else { number.to_string() };
        let cells = [
            need.clone(),
            place_name(asked, to),
            arrives.map_or(String::new(), print),
            told(units.len()),
            told(labels),
            told(of_issue("sequence")),
            told(of_issue("bulk")),
            load.cell(),
            told(heavy),
        ];
        expected.push(((need, line_order(asked, to)), cells));
    }
    expected.sort();
    let headings = [
        "needed",
        "station",
        "unit arrives",
        "kits",
        "labels",
        "lines in line order",
        "lines of bulk",
        "kg",
        "heavy lines",
    ];
    let told: Vec<[String; 9]> = rows.iter().map(|row| headings.map(|heading| row[heading].clone())).collect();
    let expected: Vec<[String; 9]> = expected.into_iter().map(|(_, cells)| cells).collect();
    assert_eq!(told, expected, "{sheet}");
    told.len()
}

/// What is fetched at one place by one moment.
struct Trip {
    last: i64,
    special: bool,
    from: String,
    need: i64,
    there: Option<i64>,
    /// When it can be fetched.
    ready: Option<i64>,
    what: Vec<String>,
}

/// Pieces that miss their run, by when they save the line or else are needed; `None` where the table of the consequences does not say which of several
/// pieces alike is meant.
fn special_runs(asked: &Asked<'_>) -> Option<Vec<Trip>> {
    let mut until: BTreeMap<[&str; 4], BTreeSet<&str>> = BTreeMap::new();
    for row in asked.table("consequences") {
        let of = ["part", "unit", "to", "there_at"].map(|column| &row[column]);
        until.entry(of).or_default().insert(&row["saves_until"]);
    }
    let mut found = Vec::new();
    for pull in asked.listed_pulls().flat_map(|(_, pulls)| pulls) {
        for missing in missing(asked, pull) {
            let Some(there) = missing.there else { continue };
            let at = print(there);
            // Of packs the first unit is told of nobody: the one that needs the piece.
            let unit = if pull["issue"] == *"bulk" { whose(asked, pull, missing.need)? } else { &pull["unit"] };
            let own = until.get(&[&pull["part"], unit, &pull["to"], &at]);
            let last = match own.map(|own| own.iter().copied().collect::<Vec<_>>()).unwrap_or_default()[..] {
                [] | [""] => missing.need,
                [one] => seconds(one),
                _ => return None,
            };
            let (part, qty) = (takes::part(asked, &pull["part"]), missing.qty);
            let words = promise(asked, &missing.order, &pull["part"], &at);
            let promised = if ["", "confirmed"].contains(&&*words) { String::new() } else { format!(" ({words})") };
            let whose = match (&pull["issue"], &pull["unit"]) {
                ("bulk", _) => String::new(),
                (_, "") => " for no unit".to_owned(),
                (_, unit) => format!(" for {unit}"),
            };
            let told = numbers::print(numbers::round_up(qty, part.decimals));
            let (code, name) = (&part.code, marked(asked, &part.code, qty));
            let (order, to) = (&missing.order, &pull["to"]);
            let what = format!("{told} {} {code} {name} of order {order}{promised}{whose} at {to}", part.uom);
            let from = "special run from the dock".to_owned();
            let (need, there) = (missing.need, Some(there));
            found.push(Trip { last, special: true, from, need, there, ready: there, what: vec![what] });
        }
    }
    Some(found)
}

/// The unit whose need of a bulk part is at a moment, if it is one alone.
fn whose<'a>(asked: &'a Asked<'_>, pull: &Row, need: i64) -> Option<&'a str> {
    let own = |peg: &&Row| peg["to"] == pull["to"] && seconds(&peg["need"]) == need;
    let units: BTreeSet<&str> = asked.pegs(&pull["part"]).iter().filter(own).map(|peg| &peg["unit"]).collect();
    units.first().copied().filter(|_| units.len() == 1)
}

/// What the shops build, by when it must leave them: so much of their own time before its need as the way takes.
fn collections(asked: &Asked<'_>) -> Vec<Trip> {
    let plant = &asked.tables.plant;
    let trip = |job: &Row| {
        let shop = &plant.shops[&key(&job["shop"])];
        let hours = plant.calendar_of_shop(&key(&job["shop"]));
        let need = seconds(&asked.peg_of_job(job)["need"]);
        let leaves = |clock: i64| hours.starts(hours.worked(clock) - shop.transit);
        let there = Some(&job["there_at"]).filter(|there| !there.is_empty()).map(seconds);
        let heavy = mark(asked, &job["part"], exact(&job["qty"])) == Some("heavy");
        let unit = if job["unit"].is_empty() { "no unit" } else { &job["unit"] };
        let what = format!("{}{} for {unit} at {}", &job["part"], if heavy { " (heavy)" } else { "" }, &job["to"]);
        let (from, ready) = (format!("collect at {}", shop.code), there.map(leaves));
        Trip { last: leaves(need), special: false, from, need, there, ready, what: vec![what] }
    };
    asked.table("jobs").iter().map(trip).collect()
}

/// The pages of the day's runs, each with the time from when its run leaves until the next does; the first from midnight, the last until the next.
fn windows(asked: &Asked<'_>) -> Vec<(String, i64, i64)> {
    let midnight = seconds(&asked.tables.day);
    let pages = asked.sheets.iter().map(|sheet| &sheet.name).filter(|name| name.starts_with("driver "));
    let leaves =
        |name: &str| seconds(&format!("{}T{}:00", asked.tables.day, name["driver ".len()..].replace('.', ":")));
    let mut pages: Vec<(i64, &String)> = pages.map(|name| (leaves(name), name)).collect();
    pages.sort_unstable();
    let begins = |at: usize| if at == 0 { midnight } else { pages[at].0 };
    let ends = |at: usize| pages.get(at + 1).map_or(midnight + DAY, |next| next.0);
    pages.iter().enumerate().map(|(at, (_, name))| ((*name).clone(), begins(at), ends(at))).collect()
}

/// Special runs and collections between two runs, by the latest moment; those of one place and moment are one trip.
pub fn trips(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "at the last");
    let Some(special) = special_runs(asked) else { return 0 };
    let windows = windows(asked);
    let (_, from, until) = windows.iter().find(|(name, ..)| name == sheet).expect("a page");
    let mut expected: BTreeMap<(i64, bool, String), Trip> = BTreeMap::new();
    for trip in special.into_iter().chain(collections(asked)) {
        let when = trip.ready.map_or(trip.last, |ready| trip.last.max(ready));
        if !(*from..*until).contains(&when) {
            continue;
        }
        let of = (trip.last, trip.special, trip.from.clone());
        match expected.get_mut(&of) {
            None => _ = expected.insert(of, trip),
            Some(known) => {
                known.there = known.there.zip(trip.there).map(|(one, other)| one.max(other));
                known.need = known.need.min(trip.need);
                known.what.extend(trip.what);
            }
        }
    }
    let more = expected.len().saturating_sub(20);
    assert_eq!(asked.texts(sheet).contains(&format!("and {more} more: see 'not pulled'")), more > 0, "{sheet}");
    assert_eq!(rows.len(), expected.len().min(20), "{sheet}: {rows:#?}");
    let hand_over = asked.tables.plant.settings.hand_over;
    let mut before: Option<i64> = None;
    for (row, trip) in rows.iter().zip(expected.values()) {
        let there = trip.there.map_or("no time known".to_owned(), print);
        let late = trip.there.is_none_or(|there| there > trip.need);
        let past = trip.special && !late && trip.there.is_some_and(|there| there > trip.last);
        let mut notes = Vec::new();
        notes.extend(late.then(|| "late".to_owned()));
        notes.extend(past.then(|| "after the last moment".to_owned()));
        let close = before.is_some_and(|before| trip.last - before < hand_over);
        notes.extend(close.then(|| format!("less than {} min after", minutes_up(hand_over))));
        before = Some(trip.last);
        let told = ["at the last", "from", "there", "needed", "note"].map(|heading| row[heading].clone());
        let right = [print(trip.last), trip.from.clone(), there, narrow(asked, trip.need), notes.join("; ")];
        assert_eq!(told, right, "{row:?}: {:?}", trip.what);
        let what = &row["what, for whom and where to"];
        assert_eq!(
            what.len(),
            trip.what.iter().map(|what| what.len() + 2).sum::<usize>() - 2,
            "{row:?}: {:?}",
            trip.what
        );
        assert!(trip.what.iter().all(|own| what.contains(own)), "{row:?}: {:?}", trip.what);
    }
    rows.len()
}
