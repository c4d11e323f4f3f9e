//! `chase`: overdue receipts, what the sequence takes of each, and how many by when.

use super::cells::{Written, moment, spoken};
use super::facts::{Delivery, Facts, Peg, Step};
use super::{Findings, columns};
use crate::oracle::clock::day_of;
use crate::oracle::numbers::print;

const COLUMNS: [&str; 8] =
    ["purchase order", "part", "qty open", "uom", "was due", "days overdue", "taken as there", "of it needed"];

/// How many runs are told one by one.
const FIRST: usize = 3;

pub fn overdue(facts: &Facts) -> Vec<&Delivery> {
    facts.deliveries.iter().filter(|delivery| delivery.overdue).collect()
}

pub fn check(facts: &Facts, written: &Written, found: &mut Findings) {
    let with = "how many by when, and who leans on it";
    let rows = written.table("chase", &[&COLUMNS[..], &[with]].concat());
    let expected = overdue(facts).into_iter().map(|delivery| row(facts, delivery));
    found.rows("chase", columns(&rows, &COLUMNS), expected.collect());
    let told = rows.iter().map(|row| {
        let by_when = row[with].clone();
        vec![row["purchase order"].clone(), row["part"].clone(), row["taken as there"].clone(), by_when]
    });
    let words = overdue(facts).into_iter().map(|delivery| {
        let code = facts.part(&delivery.part).code.clone();
        vec![delivery.order.clone(), code, moment(delivery.available), words(facts, delivery)]
    });
    found.rows("chase: how many by when", told.collect(), words.collect());
}

fn row(facts: &Facts, delivery: &Delivery) -> Vec<String> {
    let part = facts.part(&delivery.part);
    let cells = [
        delivery.order.clone(),
        part.code.clone(),
        print(delivery.open),
        part.uom.clone(),
        moment(delivery.due),
        (day_of(facts.as_of) - day_of(delivery.due)).to_string(),
        moment(delivery.available),
        print(facts.taken(delivery)),
    ];
    cells.to_vec()
}

/// The first three runs, the last, and who waits even so.
fn words(facts: &Facts, delivery: &Delivery) -> String {
    let steps = facts.steps(delivery, |_| true);
    let Some((last, all, _)) = steps.last() else { return "nothing in this sequence leans on it".to_owned() };
    let told =
        |(by, qty, pegs): &Step<'_>| format!("{} by {} ({})", print(*qty), spoken(*by), names(pegs.iter().copied(), 2));
    let mut words = steps.iter().take(FIRST).map(told).collect::<Vec<_>>().join("; ");
    if steps.len() > FIRST {
        let more = super::cells::count(steps.len() - FIRST, "run more", "runs more");
        words += &format!("; and {more}, {} in all by {}", print(*all), spoken(*last));
    }
    let late: Vec<&Peg> = delivery.pegs.iter().map(|peg| &facts.pegs[*peg]).filter(|peg| peg.late()).collect();
    if !late.is_empty() {
        words += &format!(". Even so these wait: {}", names(late.into_iter(), 3));
    }
    words
}

fn names<'p>(pegs: impl Iterator<Item = &'p Peg>, most: usize) -> String {
    super::cells::few(&pegs.map(Peg::who).collect::<Vec<_>>(), most).replace("; ", ", ")
}
