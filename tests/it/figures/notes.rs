//! What is to know of a stop and to mind of it: its bin, what of it is reserved or on hold, what is not whole, what one person does not lift, and why
//! it is pulled.

use super::pull_list::by_name;
use super::takes::{self, Lift, Take, exact, lift, mark};
use super::walks::{OfRun, Walk, kit_of, walks};
use crate::oracle::clock::print;
use crate::oracle::numbers;
use crate::oracle::sheets::key;
use crate::oracle::waves::wave_before;
use crate::questions::asked::{Asked, Row, Told, number};
use std::collections::{BTreeSet, HashMap};

/// What a stop's notes may be of its bin and its kits, from the run's stops, its pulls and the book's stock; of each whether it must be there, or may.
fn notes_of(asked: &Asked<'_>, run: &OfRun<'_>, takes: &[Take]) -> (BTreeSet<String>, BTreeSet<String>) {
    let (mut must, mut may) = (BTreeSet::new(), BTreeSet::new());
    for take in takes {
        let (unit, part) = (take.unit.as_deref(), takes::part(asked, &take.part));
        let taken = run.taken[&kit_of(take)];
        let [pull] = run.pulls[&kit_of(take)].as_slice() else {
            // Of several runs that have left it is not known which piece is whose.
            may.insert("*".to_owned());
            continue;
        };
        let pulled = exact(&pull["qty"]);
        let (taken_told, pulled_told) = (numbers::print(taken), numbers::print(pulled));
        match unit {
            Some(unit) if taken < pulled => {
                let unit = if unit.is_empty() { "no unit" } else { unit };
                must.insert(format!("{taken_told} of {pulled_told} there for {unit}"));
            }
            None if taken < pulled => {
                let whole = part.pack.is_none_or(|pack| numbers::round_up_to(taken, pack) == taken);
                let what = if whole { "" } else { "part pack: " };
                must.insert(format!("{what}{taken_told} of {pulled_told} in the stores"));
            }
            _ => {}
        }
        // Why something is pulled that no bill asks for.
        for (row, written) in extras(asked) {
            if row.part != key(&take.part) || row.to != key(&take.to) {
                continue;
            }
            let reason = written.get("reason").map(str::trim).filter(|reason| !reason.is_empty()).unwrap_or("extra");
            let with_run = |need| print(wave_before(&asked.tables.plant, need).clock) == pull["wave"];
            match (unit, row.needed) {
                (Some(unit), Some(need)) if row.unit == key(unit) && with_run(need) => {
                    _ = must.insert(reason.to_owned())
                }
                (Some(unit), Some(_)) if row.unit != key(unit) => {}
                _ => _ = may.insert(reason.to_owned()),
            }
        }
    }
    (must, may)
}

/// Extras of known parts, as read and as written.
pub fn extras<'a>(asked: &'a Asked<'_>) -> impl Iterator<Item = (&'a crate::oracle::plant::ExtraRow, &'a Row)> {
    let written =
        asked.maybe_book("Extras").iter().filter(|row| asked.tables.plant.parts.contains_key(&key(&row["part"])));
    assert_eq!(written.clone().count(), asked.tables.plant.extras.len(), "extras");
    asked.tables.plant.extras.iter().zip(written)
}

/// What lies at a stop on hold, as the book has it.
fn held(asked: &Asked<'_>, stop: &Told) -> BTreeSet<String> {
    let rows = asked.maybe_book("Stock").iter().filter(|row| key(&row["part"]) == key(&stop["part"]));
    let reason = |row: &Row| {
        let hold = row.get("hold").unwrap_or("").trim();
        let free = ["", "no", "n", "false", "0", "-"].contains(&&*hold.to_lowercase());
        let place = match (row.get("location").unwrap_or("").trim(), row.get("station").unwrap_or("").trim()) {
            ("", "") => takes::part(asked, &stop["part"]).location.clone(),
            ("", station) => format!("at {}", asked.tables.plant.place_code(&key(station))),
            (location, _) => location.to_owned(),
        };
        let told = if place.is_empty() { "not known".to_owned() } else { place };
        // What is reserved for a unit that is not in the sequence counts for nothing, and is told in `check` alone.
        let whose = key(row.get("unit").unwrap_or(""));
        let listed = whose.is_empty() || asked.of_book("Sequence").iter().any(|unit| key(&unit["unit"]) == whose);
        let some = listed && !row["qty"].trim().starts_with('-');
        (!free && some && key(&told) == key(&stop["location"])).then(|| format!("on hold: {hold}"))
    };
    rows.filter_map(reason).collect()
}

/// Whether words are a note of some other unit's stock that is to be left.
fn left_alone(words: &str) -> bool {
    words.starts_with("leave ") && words.contains(", reserved for ")
}

pub fn words(told: &str) -> BTreeSet<String> {
    told.split("; ").filter(|words| !words.is_empty()).map(str::to_owned).collect()
}

/// Whether notes are what they must be, and nothing that they may not be.
fn is_right(told: &BTreeSet<String>, must: &BTreeSet<String>, may: &BTreeSet<String>, held: &BTreeSet<String>) -> bool {
    let on_hold = |words: &str| words.starts_with("leave ") && words.contains(" more, on hold: ");
    let of_hold = told.iter().filter(|words| on_hold(words)).count();
    let whole = may.contains("*") || held.iter().all(|held| told.iter().any(|words| words.ends_with(held)));
    let rest = told.iter().filter(|words| !on_hold(words) && !left_alone(words) && !must.contains(*words));
    must.is_subset(told)
        && whole
        && (of_hold > 0) != held.is_empty()
        && (may.contains("*") || rest.into_iter().all(|words| may.contains(words)))
}

/// What is to know of each stop of a run.
pub fn to_know(asked: &Asked<'_>, sheet: &str) -> usize {
    let tab = &sheet["stops ".len()..];
    let Some(all) = takes::takes(asked, tab) else { return 0 };
    let by_name = by_name(asked);
    let run = OfRun::of(by_name.get(&takes::run_of(tab)).map_or(&[][..], Vec::as_slice), &all);
    let mut of_stops: HashMap<(&str, &str), Vec<Take>> = HashMap::new();
    for take in &all {
        of_stops.entry((&take.part, &take.place)).or_default().push(take.clone());
    }
    let rows = takes::stop_rows(asked, sheet);
    for row in &rows {
        if row["what to know"].contains("; and ") && row["what to know"].ends_with(" more") {
            continue;
        }
        let own = &of_stops[&(&*row["part"], &*row["location"])];
        let (mut must, mut may) = notes_of(asked, &run, own);
        if number(&row["left"]) == 0.0 {
            must.insert("bin empty after".to_owned());
        }
        // What is reserved and what is not of one kit stand in the bin by themselves.
        let most = own.iter().map(|take| take.qty).max().expect("a take");
        match lift(asked, &row["part"], most) {
            Lift::NotKnown => _ = must.insert("weight not known".to_owned()),
            Lift::One => {}
            Lift::Two => {
                let limit = asked.setting("one person lifts").expect("a limit");
                let told =
                    ["", "each ", "pack ", "together "].map(|each| format!("{each}above one person's {limit} kg"));
                let found = told.iter().any(|told| row["what to know"].contains(told.as_str()));
                assert!(found || reserved(asked, own) > 0, "{row:?}");
                may.extend(told);
            }
        }
        for take in own {
            may.extend(take.unit.as_ref().map(|unit| format!("reserved for {unit}")));
        }
        let told = words(&row["what to know"]);
        let held = held(asked, row);
        assert!(is_right(&told, &must, &may, &held), "{sheet}: {row:?}\n{must:?}\n{may:?}\n{held:?}");
    }
    rows.len()
}

/// How much of what a stop takes is reserved for the units it is for.
pub fn reserved(asked: &Asked<'_>, takes: &[Take]) -> usize {
    let own = |take: &&Take| {
        let reserved = |peg: &&Row| {
            peg["cover"] == *"reserved" && peg["to"] == *take.to && Some(&peg["unit"]) == take.unit.as_deref()
        };
        asked.pegs(&take.part).iter().any(|peg| reserved(&peg))
    };
    takes.iter().filter(own).count()
}

/// What is to mind of each stop of a walk: heavy or not known, the bin, what is reserved, what is not whole, and why it is pulled.
pub fn to_mind(asked: &Asked<'_>, sheet: &str) -> usize {
    let tab = &sheet["walks ".len()..];
    let Some(walks) = walks(asked, tab) else { return 0 };
    let rows = takes::stop_rows(asked, &format!("stops {tab}"));
    let stops: HashMap<(&str, &str), &Told> =
        rows.iter().map(|row| ((&*row["part"], &*row["location"]), row)).collect();
    let by_name = by_name(asked);
    let all: Vec<Take> = walks.iter().flat_map(|walk| walk.takes.iter().flatten().cloned()).collect();
    let run = OfRun::of(by_name.get(&takes::run_of(tab)).map_or(&[][..], Vec::as_slice), &all);
    let mut seen = 0;
    for (line, own) in walks.iter().flat_map(Walk::stops) {
        let stop = stops[&(&*line["part"], &*own[0].place)];
        let (mut must, mut may) = notes_of(asked, &run, own);
        let most = own.iter().map(|take| take.qty).max().expect("a take");
        let split = reserved(asked, own) > 0;
        match mark(asked, &line["part"], most) {
            // Of a kit what is reserved and what is not are two takes.
            Some("heavy") if split => _ = may.insert("heavy".to_owned()),
            Some(mark) => _ = must.insert(mark.to_owned()),
            None => {}
        }
        may.extend(split.then(|| "reserved".to_owned()));
        let (take, left) = (exact(line["take"].split(' ').next().expect("a number")), exact(&stop["left"]));
        let low = format!("low: {} there", stop["bin before"]);
        // Several carts go to one bin: what it holds then is known of the last alone.
        if take != exact(&stop["take"]) {
            may.extend(words(&line["mind"]).into_iter().filter(|words| words.starts_with("low: ")));
            may.insert("empty after".to_owned());
        } else if left == 0 {
            if split { &mut may } else { &mut must }.insert("empty after".to_owned());
        } else if left < take {
            must.insert(low);
        }
        let told = words(&line["mind"]);
        let held = held(asked, stop);
        assert!(is_right(&told, &must, &may, &held), "{sheet}: {line:?}\n{must:?}\n{may:?}\n{held:?}");
        seen += 1;
    }
    seen
}
