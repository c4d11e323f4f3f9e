//! What is brought in line order, and packs to lineside: when, where from, for whom first, and what is to mind.

use super::notes::{extras, words};
use super::pull_list::{by_name, of_nobody};
use super::stores::tab_of;
use super::takes::{self, Take, exact, how, line_order, mark, missing, narrow};
use crate::oracle::sheets::key;
use crate::questions::asked::{Asked, Row, Told, seconds};
use std::collections::BTreeSet;
use std::rc::Rc;

/// What comes in line order: at each station the how manieth unit it is for, with which run, when it is needed, and what is to mind.
pub fn in_line_order(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "place");
    let mut rows: Vec<&Told> = rows.iter().filter(|row| row["place"] != "place" && !row["part"].is_empty()).collect();
    let mut expected = Vec::new();
    for (name, pulls) in by_name(asked) {
        let all = takes::takes(asked, &tab_of(&name)).map(Rc::new);
        for pull in pulls.into_iter().filter(|pull| pull["issue"] == *"sequence") {
            let (to, unit) = (&pull["to"], &pull["unit"]);
            let order = (line_order(asked, to), asked.tables.rank(unit), pull["need"].to_owned(), key(&pull["part"]));
            expected.push((order, name.clone(), pull, all.clone()));
        }
    }
    expected.sort_by(|one, other| one.0.cmp(&other.0));
    assert_eq!(rows.len(), expected.len());
    // Two columns stand side by side: in the order of what a line says.
    let told =
        |row: &Told| ["station", "place", "run", "needed", "part", "unit"].map(|of| of_nobody(&row[of]).to_owned());
    rows.sort_by_key(|row| told(row));
    let (mut place, mut right) = (0, Vec::new());
    for (at, (order, name, pull, all)) in expected.iter().enumerate() {
        let before = at.checked_sub(1).map(|at| &expected[at].0);
        place = match before {
            Some(before) if before.0 != order.0 => 1,
            Some(before) if before.1 == order.1 => place,
            _ => place + 1,
        };
        let run = name.trim_start_matches("the ").trim_end_matches(" run");
        let (place, need) = (place.to_string(), narrow(asked, seconds(&pull["need"])));
        let cells = [&pull["to"], &place, run, &need, &pull["part"], &pull["unit"]].map(str::to_owned);
        right.push((cells, pull, all));
    }
    right.sort_by(|one, other| one.0.cmp(&other.0));
    for (row, (cells, pull, all)) in rows.iter().zip(&right) {
        assert_eq!(told(row), *cells, "{row:?}: {pull:?}");
        if let Some(all) = all {
            let own = |take: &&Take| {
                take.part == pull["part"] && take.to == pull["to"] && take.unit.as_deref() == Some(&pull["unit"])
            };
            let places: BTreeSet<&str> = all.iter().filter(own).map(|take| &*take.place).collect();
            let told: BTreeSet<&str> = row["location"].split(", ").filter(|place| !place.is_empty()).collect();
            let lies = &takes::part(asked, &pull["part"]).location;
            let of_part: BTreeSet<&str> = Some(lies.as_str()).into_iter().filter(|place| !place.is_empty()).collect();
            let known = places.iter().all(|place| told.contains(place)) || places.contains("not known");
            assert!(if places.is_empty() { told == of_part } else { known }, "{row:?}: {places:?} {of_part:?}");
        }
        minds(asked, row, pull);
    }
    rows.len()
}

/// What is to mind of a pull: each piece that is not there, that one person does not lift it, and why it is pulled.
fn minds(asked: &Asked<'_>, row: &Told, pull: &Row) {
    let told = words(&row["mind"]);
    let mut must: BTreeSet<String> = BTreeSet::new();
    let bulk = pull["issue"] == *"bulk";
    for piece in missing(asked, pull) {
        let comes = piece.there.map(|at| format!("{} {}", if bulk { ", comes" } else { ": comes" }, narrow(asked, at)));
        must.insert(format!("{}{}", how(&piece), comes.unwrap_or_default()));
    }
    must.extend(mark(asked, &pull["part"], exact(&pull["qty"])).map(str::to_owned));
    assert!(must.is_subset(&told), "{row:?}: {must:?}");
    let reasons: BTreeSet<String> = extras(asked)
        .filter(|(extra, _)| extra.part == key(&pull["part"]) && extra.to == key(&pull["to"]))
        .map(|(_, row)| {
            row.get("reason").map(str::trim).filter(|reason| !reason.is_empty()).unwrap_or("extra").to_owned()
        })
        .collect();
    let other =
        |words: &&String| !must.contains(*words) && !reasons.contains(*words) && !words.ends_with(" in the stores");
    assert!(!told.iter().any(|words| other(&words)), "{row:?}: {must:?} {reasons:?}");
}

/// Packs: the first unit that they serve, when they are needed, where they lie, and what is to mind.
pub fn bulk(asked: &Asked<'_>, sheet: &str) -> usize {
    let rows = asked.maybe_rows(sheet, "packs");
    let rows: Vec<&Told> = rows.iter().filter(|row| row["packs"] != "packs" && !row["part"].is_empty()).collect();
    let mut seen = 0;
    let by_name = by_name(asked);
    for row in &rows {
        let overdue = row["run"] == "overdue";
        let name = if overdue { "overdue".to_owned() } else { format!("the {} run", row["run"]) };
        let own = by_name[&name].iter().filter(|pull| pull["part"] == row["part"] && pull["to"] == row["to"]);
        let own: Vec<&&Row> = own.collect();
        let [pull] = own.as_slice() else { continue };
        assert_eq!(row["needed"], narrow(asked, seconds(&pull["need"])), "{row:?}: {pull:?}");
        assert_eq!(row["location"], takes::part(asked, &row["part"]).location, "{row:?}");
        let first = asked.pegs(&row["part"]).iter().filter(|peg| {
            let pulled = ["reserved", "stock", "receipt", "none"].contains(&&peg["cover"]);
            pulled && peg["to"] == pull["to"] && peg["need"] == pull["need"]
        });
        let units: BTreeSet<&str> = first.map(|peg| &peg["unit"]).collect();
        assert!(units.contains(of_nobody(&row["first unit"])), "{row:?}: {units:?}");
        minds(asked, row, pull);
        seen += 1;
    }
    seen
}
