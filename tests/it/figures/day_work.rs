//! The day's work: what two must lift, bins that the day empties, bins that rest on what nobody promised, and how much each zone is.

use super::dock::{promise, waits};
use super::pull_list::by_name;
use super::stores::zone;
use super::takes::{self, Kilograms, Lift, exact, lift, narrow};
use crate::oracle::clock::print;
use crate::oracle::numbers::{self, Millionths};
use crate::oracle::plant::Source;
use crate::oracle::sheets::key;
use crate::questions::asked::{Asked, Told, seconds};
use std::collections::{BTreeMap, BTreeSet};

/// So many lines of a list stand on the sheet.
const MOST: usize = 15;

/// The names of what is picked, in order: what is overdue, then the day's runs.
fn trips(asked: &Asked<'_>) -> Vec<String> {
    let tabs = asked.sheets.iter().filter_map(|sheet| sheet.name.strip_prefix("stops "));
    let mut tabs: Vec<String> = tabs.map(str::to_owned).collect();
    tabs.sort_by_key(|tab| (tab != "overdue", tab.clone()));
    tabs
}

/// All that is taken, trip by trip; `None` where a sheet does not have all of it.
fn taken(asked: &Asked<'_>) -> Option<Vec<(String, Vec<takes::Take>)>> {
    trips(asked).into_iter().map(|tab| Some((tab.clone(), takes::takes(asked, &tab)?))).collect()
}

fn list(asked: &Asked<'_>, sheet: &str, heading: &str, other: &str) -> Vec<Told> {
    let rows = asked.maybe_rows(sheet, heading);
    rows.into_iter()
        .filter(|row| row.contains_key(heading) && row.contains_key(other) && row["part"] != "part")
        .collect()
}

/// The first few, and how many more.
fn few(all: &BTreeSet<String>) -> String {
    let shown: Vec<&str> = all.iter().take(6).map(String::as_str).collect();
    let more = all.len().saturating_sub(6);
    if more > 0 { format!("{}, and {more} more", shown.join(", ")) } else { shown.join(", ") }
}

/// Parts of which a piece is above what one person lifts here, the heaviest first: what is taken of them, for where, with which runs.
pub fn heavy(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = list(asked, sheet, "kg each", "with the runs");
    let Some(taken) = taken(asked) else { return 0 };
    let mut lifted: BTreeMap<String, (Millionths, BTreeSet<String>, BTreeSet<String>)> = BTreeMap::new();
    for (tab, takes) in &taken {
        let mut of_pulls: BTreeMap<(&str, &str, Option<&str>), Millionths> = BTreeMap::new();
        for take in takes {
            *of_pulls.entry((&take.part, &take.to, take.unit.as_deref())).or_default() += take.qty;
        }
        for ((part, to, _), qty) in of_pulls {
            if lift(asked, part, qty) == Lift::Two {
                let (all, stations, runs) = lifted.entry(part.to_owned()).or_default();
                *all += qty;
                stations.insert(to.to_owned());
                runs.insert(tab.replace('.', ":"));
            }
        }
    }
    let mut lifted: Vec<_> = lifted.into_iter().collect();
    let weight = |part: &str| asked.exact_weight(part).expect("a weight");
    lifted.sort_by_key(|(part, _)| (std::cmp::Reverse(weight(part)), key(part)));
    assert_eq!(rows.len(), lifted.len().min(MOST), "{rows:#?}\n{lifted:#?}");
    for (row, (part, (qty, to, runs))) in rows.iter().zip(&lifted) {
        let known = takes::part(asked, part);
        let told = ["part", "location", "kg each", "today", "to", "with the runs"].map(|heading| &*row[heading]);
        let today = format!("{} {}", numbers::print(*qty), known.uom);
        let right = [part, &known.location, &numbers::print(weight(part)), &today, &few(to), &few(runs)];
        // Of several runs that have left, each for one kit, it is not known which takes what.
        if told[3..] != right.map(String::as_str)[3..] && runs.contains("overdue") {
            continue;
        }
        assert_eq!(told, right.map(String::as_str), "{row:?}");
    }
    rows.len()
}

/// A bin of a bought part at whose last stop of the day all of it was taken; what comes next of the part behind the picking, and who promised it.
pub fn empty(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = list(asked, sheet, "empty after", "next comes");
    if trips(asked).iter().any(|tab| asked.texts(&format!("stops {tab}")).contains(" stops more: ")) {
        return 0;
    }
    let plant = &asked.tables.plant;
    let mut last: BTreeMap<(String, String), (String, Told)> = BTreeMap::new();
    for tab in trips(asked) {
        for row in takes::stop_rows(asked, &format!("stops {tab}")) {
            let place = if row["location"] == "not known" { String::new() } else { row["location"].clone() };
            last.insert((row["part"].clone(), place), (tab.clone(), row));
        }
    }
    let by_name = by_name(asked);
    let bought = |part: &str| plant.parts[&key(part)].source == Source::Buy;
    let mut expected: BTreeMap<(String, String), [String; 5]> = BTreeMap::new();
    for ((part, place), (tab, row)) in last {
        if exact(&row["left"]) != 0 || !bought(&part) {
            continue;
        }
        let picked = by_name.get(&takes::run_of(&tab)).and_then(|pulls| pulls.first());
        let picked = picked.map(|pull| seconds(&pull["pick_start"])).filter(|_| tab != "overdue");
        let own = plant.receipts.iter().filter(|receipt| receipt.part == key(&part));
        let later = own.clone().filter(|receipt| picked.is_none_or(|picked| receipt.available > picked));
        let next = later.min_by_key(|receipt| (receipt.available, key(&receipt.order)));
        let cells = match next {
            None => ["nothing comes".to_owned(), String::new(), String::new(), String::new()],
            Some(next) => {
                let same = own.filter(|row| row.available == next.available && key(&row.order) == key(&next.order));
                let open = numbers::print(same.map(|row| row.qty).sum());
                let comes = print(next.available);
                let promised = promise(asked, &next.order, &part, &comes);
                [comes, format!("{open} {}", plant.parts[&key(&part)].uom), next.order.clone(), promised]
            }
        };
        let [comes, open, order, promised] = cells;
        expected.insert((part, place), [takes::run_of(&tab), comes, open, order, promised]);
    }
    // What comes later lies where the part has its place, whether a later run takes of it or not.
    let last_pick = |part: &str| {
        let pulls = by_name.values().flatten().filter(|pull| pull["part"] == *part);
        pulls.map(|pull| seconds(&pull["pick_start"])).max().unwrap_or(0)
    };
    let filled = |(part, place): &(String, String)| {
        let own = &plant.parts[&key(part)];
        let comes = |receipt: &&crate::oracle::plant::ReceiptRow| receipt.available <= last_pick(part);
        let receipts = plant.receipts.iter().filter(|receipt| receipt.part == key(part));
        key(&own.location) == key(place) && receipts.filter(comes).count() > 0
    };
    let told = |of: &(String, String)| rows.iter().any(|row| (&row["part"], &row["location"]) == (&of.0, &of.1));
    assert!(rows.len() == MOST || expected.keys().all(|of| told(of) || filled(of)), "{rows:#?}\n{expected:#?}");
    let columns = ["empty after", "next comes", "how much", "purchase order", "promised"];
    for row in &rows {
        let right = expected.get(&(row["part"].clone(), row["location"].clone()));
        assert_eq!(Some(&columns.map(|column| row[column].clone())), right, "{row:?}");
    }
    // Those that nothing comes for first, then the last to come.
    let order =
        |row: &Told| if row["next comes"] == "nothing comes" { "9".to_owned() } else { row["next comes"].clone() };
    assert!(rows.iter().map(order).collect::<Vec<_>>().is_sorted_by(|one, other| one >= other), "{rows:#?}");
    rows.len()
}

/// Deliveries that nobody promised of which something goes into the stores before a run is picked: how much.
pub fn resting(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = list(asked, sheet, "how much of it", "picked from");
    let mut expected: Vec<(i64, String, [String; 5])> = Vec::new();
    for ([order, part, comes], waits) in waits(asked).0 {
        let promised = promise(asked, &order, &part, &comes);
        let Some(picked) = waits.picked.filter(|_| !["", "confirmed"].contains(&&*promised)) else { continue };
        let known = takes::part(asked, &part);
        let receipts = asked.tables.plant.receipts.iter();
        let own =
            receipts.filter(|row| row.part == key(&part) && key(&row.order) == order && print(row.available) == comes);
        let open: Millionths = own.map(|row| row.qty).sum();
        let stores = numbers::round_up(waits.to_stores(), known.decimals).min(open);
        let much = format!("{} {}", numbers::print(stores), known.uom);
        expected.push((picked, key(&part), [known.code.clone(), narrow(asked, picked), comes, much, promised]));
    }
    expected.sort();
    assert_eq!(rows.len(), expected.len().min(MOST), "{rows:#?}\n{expected:#?}");
    let columns = ["part", "picked from", "comes", "how much of it", "promised"];
    let mut told: Vec<[String; 5]> = rows.iter().map(|row| columns.map(|column| row[column].clone())).collect();
    let mut right: Vec<[String; 5]> = expected.into_iter().map(|(.., cells)| cells).take(MOST).collect();
    told.sort();
    right.sort();
    assert_eq!(told, right);
    rows.len()
}

/// Stops, kits and kilograms.
type OfZone<'a> = (usize, BTreeSet<(&'a str, &'a str)>, Kilograms);

/// Stops, kits and kilograms of each zone of a run.
pub fn zones(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "zone");
    let rows: Vec<&Told> = rows.iter().filter(|row| row.contains_key("zone") && row["zone"] != "zone").collect();
    let Some(taken) = taken(asked) else { return 0 };
    let mut seen = 0;
    for (tab, takes) in taken.iter().take(7) {
        let stops = takes::stop_rows(asked, &format!("stops {tab}"));
        let mut expected: BTreeMap<String, OfZone<'_>> = BTreeMap::new();
        for stop in &stops {
            let place = if stop["location"] == "not known" { "" } else { &stop["location"] };
            let (all, kits, load) = expected.entry(key(&zone(place))).or_default();
            *all += 1;
            load.add(asked, &stop["part"], exact(&stop["take"]));
            let own = takes.iter().filter(|take| take.part == stop["part"] && take.place == stop["location"]);
            kits.extend(own.filter_map(|take| Some((&*take.to, take.unit.as_deref()?))));
        }
        for row in &rows {
            let name = if row["zone"] == "no location" { "" } else { &row["zone"] };
            let told = row.get(&takes::run_of(tab)).map_or("", String::as_str);
            let Some((all, kits, load)) = expected.get(&key(name)) else {
                assert_eq!(told, "", "{row:?}");
                continue;
            };
            let tenths = numbers::print(numbers::round_up(load.known, 1));
            let kg = match (load.lines, load.unknown) {
                (0, _) => "not known".to_owned(),
                (_, 0) => tenths,
                _ => format!("{tenths} +"),
            };
            assert_eq!(told, format!("{all} / {} / {kg}", kits.len()), "{tab}: {row:?}");
            seen += 1;
        }
        assert!(rows.len() == MOST || expected.len() <= rows.len(), "{tab}: {rows:#?}");
    }
    seen
}
