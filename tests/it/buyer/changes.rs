//! `changes`: of each part that a change takes out of a bill or brings in, what the sequence needs of it, for whom, and what is
//! left over or comes first.

use super::cells::{Row, Written, few, spoken};
use super::facts::{Demand, Facts, Peg, date, money};
use super::{Findings, columns};
use crate::oracle::Book;
use crate::oracle::clock::day_of;
use crate::oracle::numbers::{Millionths, print};
use crate::oracle::plant::Source;
use crate::oracle::sheets::{key, rows};
use std::collections::BTreeSet;

const COLUMNS: [&str; 9] = [
    "change",
    "goes out or comes in",
    "part",
    "needed",
    "uom",
    "needed from",
    "needed to",
    "cost of what is left",
    "how it stands",
];

pub fn check(facts: &Facts, book: &Book, written: &Written, found: &mut Findings) {
    let told: Vec<Row> = written.table("changes", &COLUMNS);
    let mut expected = Vec::new();
    for change in rows(book, "Changes") {
        let (out, into) = touched(facts, &change.key("change"));
        for part in out.union(&into) {
            let word = match (out.contains(part), into.contains(part)) {
                (true, true) => "changes",
                (true, false) => "goes out",
                _ => "comes in",
            };
            expected.push(row(facts, change.text("change"), word, part));
        }
    }
    found.rows("changes", columns(&told, &COLUMNS), expected);
    for row in &told {
        let part = key(&row["part"]);
        found.one("changes: for units", &row["for units"], &units(facts, &part));
    }
}

/// The parts that a change takes out of bills, and those that it brings in; what is only exploded further is none.
fn touched(facts: &Facts, change: &str) -> (BTreeSet<String>, BTreeSet<String>) {
    let plant = &facts.plant;
    let is_parent = |parent: &str| plant.parts.contains_key(parent) || plant.floorplans.contains_key(parent);
    let lines = plant.bills.iter().filter(|(parent, _)| is_parent(parent)).flat_map(|(_, lines)| lines);
    let (mut out, mut into) = (BTreeSet::new(), BTreeSet::new());
    for line in lines.filter(|line| !line.gives && plant.parts[&line.part].source != Source::Phantom) {
        if line.until_change.as_deref() == Some(change) {
            out.insert(line.part.clone());
        }
        if line.from_change.as_deref() == Some(change) {
            into.insert(line.part.clone());
        }
    }
    (out, into)
}

fn row(facts: &Facts, change: String, word: &str, part: &str) -> Vec<String> {
    let demands = facts.demands.get(part).map_or(&[][..], Vec::as_slice);
    let day = |demand: Option<&Demand>| demand.map_or(String::new(), |demand| date(day_of(demand.need)));
    let goes_out = word == "goes out";
    let taken =
        facts.pegs_of(part).iter().filter(|peg| ["stock", "reserved", "lineside"].contains(&peg.cover.as_str()));
    let left = facts.usable(part) - taken.map(|peg| peg.qty).sum::<Millionths>();
    let known = facts.part(part);
    let cells = [
        change,
        word.to_owned(),
        known.code.clone(),
        print(demands.iter().map(|demand| demand.qty).sum()),
        known.uom.clone(),
        day(demands.first()),
        day(demands.last()),
        if goes_out && left > 0 { money(facts.cost(part, left)) } else { String::new() },
        if goes_out { left_over(facts, part, left) } else { first_cover(facts, part) },
    ];
    cells.to_vec()
}

/// What nothing in the sequence takes, of stock and of receipts.
fn left_over(facts: &Facts, part: &str, left: Millionths) -> String {
    let of_part = facts.deliveries.iter().filter(|delivery| delivery.part == part);
    let open = of_part.map(|delivery| (delivery, delivery.open - facts.taken(delivery))).filter(|(_, qty)| *qty > 0);
    let receipts =
        open.map(|(delivery, qty)| format!("{} of {}, due {}", print(qty), delivery.order, delivery.spoken_due()));
    let stock = format!("{} left over in stock", print(left));
    let days = facts.balances.get(part).map_or(&[][..], Vec::as_slice);
    let ordered: Millionths = days.iter().map(|day| day.planned).sum();
    let short: Millionths = facts.pegs_of(part).iter().filter(|peg| peg.cover == "none").map(|peg| peg.qty).sum();
    let more = (ordered > short).then(|| format!("{} of what is to be ordered", print(ordered - short)));
    few(&[stock].into_iter().chain(more).chain(receipts).collect::<Vec<_>>(), 3)
}

/// What covers the first need, and whether in time.
fn first_cover(facts: &Facts, part: &str) -> String {
    let Some(first) = facts.demands.get(part).and_then(|demands| demands.first()) else {
        return "not needed in this sequence".to_owned();
    };
    let of_first = |peg: &&Peg| (&peg.unit, &peg.to, peg.need) == (&first.unit, &first.to, first.need);
    let words = facts.pegs_of(part).iter().take_while(of_first).map(|peg| {
        let source = match peg.cover.as_str() {
            "none" => return format!("{} short", print(peg.qty)),
            "receipt" => format!("receipt {}", peg.source),
            "job" => "a job".to_owned(),
            "by-product" => "a by-product".to_owned(),
            _ => "stock".to_owned(),
        };
        let there = peg.available.map_or(String::new(), |there| format!(", there {}", spoken(there)));
        format!("{source}{there}: {}", if peg.late() { "late" } else { "in time" })
    });
    format!("first covered by {}", few(&words.collect::<Vec<_>>(), 3))
}

/// The first and the last by rank, and how many there are.
fn units(facts: &Facts, part: &str) -> String {
    let rank = |unit: &str| facts.ranks.iter().position(|known| *known == key(unit));
    let demands = facts.demands.get(part).map_or(&[][..], Vec::as_slice);
    let units: BTreeSet<&str> = demands.iter().map(|demand| demand.unit.as_str()).collect();
    let all: BTreeSet<(usize, &str)> = units.into_iter().map(|unit| (rank(unit).expect("a rank"), unit)).collect();
    let names: Vec<&str> = all.into_iter().map(|(_, unit)| unit).collect();
    match names.as_slice() {
        [] => "none".to_owned(),
        [one] => (*one).to_owned(),
        [first, .., last] => format!("{first} to {last} ({} units)", names.len()),
    }
}
