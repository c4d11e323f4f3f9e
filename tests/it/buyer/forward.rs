//! `bring forward`: of receipts that are not overdue, how many must be there by the picking of which run, all told, so that none
//! of their pieces is late.

use super::cells::{Written, few, moment};
use super::facts::{Delivery, Facts, Peg, Step};
use super::{Findings, columns};
use crate::oracle::numbers::print;
use std::collections::BTreeSet;

const COLUMNS: [&str; 9] =
    ["purchase order", "part", "now due", "qty open", "how many", "uom", "by when", "for", "of it can stay"];

/// Deliveries of which something is late, each with its steps.
pub fn late(facts: &Facts) -> Vec<(&Delivery, Vec<Step<'_>>)> {
    let due = facts.deliveries.iter().filter(|delivery| !delivery.overdue);
    let late = due.map(|delivery| (delivery, facts.steps(delivery, Peg::late)));
    late.filter(|(_, steps)| !steps.is_empty()).collect()
}

pub fn check(facts: &Facts, written: &Written, found: &mut Findings) {
    let rows = written.table("bring forward", &COLUMNS);
    let late = late(facts);
    let steps = || late.iter().flat_map(|(delivery, steps)| steps.iter().map(move |step| (*delivery, step)));
    let row = |(delivery, (by, qty, pegs)): (&Delivery, &Step<'_>)| {
        let part = facts.part(&delivery.part);
        let cells = [
            delivery.order.clone(),
            part.code.clone(),
            moment(delivery.due),
            print(delivery.open),
            print(*qty),
            part.uom.clone(),
            moment(*by),
            few(&pegs.iter().map(|peg| peg.who()).collect::<Vec<_>>(), 4),
            print(delivery.open - qty),
        ];
        cells.to_vec()
    };
    found.rows("bring forward", columns(&rows, &COLUMNS), steps().map(row).collect());
    for (delivery, (by, qty, pegs)) in steps() {
        let keys = [&delivery.order, &facts.part(&delivery.part).code, &print(*qty), &moment(*by)];
        let same = |row: &&super::cells::Row| {
            ["purchase order", "part", "how many", "by when"]
                .iter()
                .zip(keys)
                .all(|(heading, key)| row[*heading] == *key)
        };
        // Two deliveries of one order and part may have steps alike; their cures are then not told apart here.
        let told: Vec<&super::cells::Row> = rows.iter().filter(same).collect();
        if let [row] = told.as_slice() {
            cures(facts, *by, pegs, &row["cures"], found);
        }
    }
}

/// Each unit that a step cures stops the line for its pieces, and for so long; where the step lies ahead, all of them are told.
fn cures(facts: &Facts, by: i64, pegs: &[&Peg], told: &str, found: &mut Findings) {
    let stops = |peg: &Peg| {
        let of_peg =
            facts.stops.iter().filter(|(unit, part, to, _)| (unit, part, to) == (&peg.unit, &peg.part, &peg.to));
        of_peg.map(|(unit, _, _, minutes)| format!("{unit}, {minutes} min by itself")).collect::<Vec<_>>()
    };
    let all: BTreeSet<String> = pegs.iter().flat_map(|peg| stops(peg)).collect();
    let words = told.split("; ").filter(|word| !word.is_empty() && !word.starts_with("and "));
    let unknown: Vec<&str> = words.filter(|word| !all.contains(*word)).collect();
    found.one("bring forward: what it cures", &unknown.join("; "), "");
    // Of a piece that several deliveries bring, the tables don't say which row is which's.
    let alone = |peg: &&&Peg| {
        let same = |other: &&Peg| (&other.unit, &other.part, &other.to) == (&peg.unit, &peg.part, &peg.to);
        facts.pegs_of(&peg.part).iter().filter(same).all(|other| other.available == peg.available || !other.late())
    };
    let least = pegs.iter().filter(alone).flat_map(|peg| stops(peg)).collect::<BTreeSet<_>>().len();
    let more = told.split("; ").find_map(|word| word.strip_prefix("and ")?.strip_suffix(" more"));
    let more: usize = more.map_or(0, |number| number.parse().expect("a number"));
    let number = told.split("; ").filter(|word| !word.is_empty() && !word.starts_with("and ")).count() + more;
    if by > facts.as_of && number < least {
        found
            .wrong
            .push(format!("bring forward: told  {number} units are cured: {told}\nbring forward: right {all:?}"));
    }
}
