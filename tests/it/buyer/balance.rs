//! `balance` and `balance, all parts`: what is left of each part on the first days on which anything happens, and at the end.

use super::cells::{Row, Written, few, moment, spoken_day};
use super::facts::Facts;
use super::{Findings, chase, columns, order};
use crate::oracle::clock::{DAY, day_of};
use crate::oracle::numbers::print;
use crate::oracle::sheets::key;
use itertools::Itertools;
use std::collections::BTreeSet;

/// So many days are shown.
const DAYS: usize = 10;

const COLUMNS: [&str; 5] = ["part", "safety stock", "first wait", "at the end", "orders planned"];

pub fn check(facts: &Facts, written: &Written, found: &mut Findings) {
    let all: BTreeSet<&str> = facts.balances.keys().map(String::as_str).collect();
    sheet(facts, written, "balance, all parts", &all, found);
    let waiting = facts.pegs.iter().filter(|peg| peg.cover == "none" || peg.cover == "receipt" && peg.late());
    let bought = waiting.map(|peg| peg.part.as_str()).filter(|part| all.contains(part));
    let chased = chase::overdue(facts).into_iter().filter(|delivery| !delivery.pegs.is_empty());
    let ordered = order::orders(facts).into_iter().map(|order| order.part);
    let parts = bought.chain(chased.map(|delivery| delivery.part.as_str())).chain(ordered).collect();
    sheet(facts, written, "balance", &parts, found);
}

fn sheet(facts: &Facts, written: &Written, name: &'static str, parts: &BTreeSet<&str>, found: &mut Findings) {
    let rows = written.table(name, &COLUMNS);
    let expected = parts.iter().map(|part| row(facts, part));
    found.rows(name, columns(&rows, &COLUMNS), expected.collect());
    if parts.is_empty() {
        return;
    }
    let dates: BTreeSet<i64> = facts.balances.values().flatten().map(|day| day.date).collect();
    let days: Vec<i64> = dates.into_iter().take(DAYS).collect();
    let headings = written.headings(name, &COLUMNS);
    let shown: Vec<&String> = headings.iter().skip_while(|heading| *heading != "who waits").skip(1).collect();
    let shown: Vec<&String> = shown.into_iter().take_while(|heading| *heading != "small line").collect();
    let year = |day: i64| date_text(day)[..4].to_owned();
    let heading = |day: &i64| match year(*day) == year(day_of(facts.as_of)) {
        true => spoken_day(day * DAY),
        false => format!("{} {}", spoken_day(day * DAY), year(*day)),
    };
    let right: Vec<String> = days.iter().map(heading).collect();
    found.one("balance: days", &shown.iter().join(", "), &right.join(", "));
    let left = |row: &Row| {
        let part = key(&row["part"]);
        let told: Vec<String> = right.iter().map(|day| row.get(day).cloned().unwrap_or_default()).collect();
        let balances: Vec<String> = days.iter().map(|day| print(facts.left_on(&part, *day))).collect();
        (told, balances)
    };
    let (told, balances) = rows.iter().filter(|row| facts.balances.contains_key(&key(&row["part"]))).map(left).unzip();
    found.rows("balance by day", told, balances);
}

fn date_text(day: i64) -> String {
    moment(day * DAY)
}

fn row(facts: &Facts, part: &str) -> Vec<String> {
    let known = facts.part(part);
    let planned = facts.balances[part].iter().filter(|day| day.planned > 0);
    let planned = planned.map(|day| format!("{} for {}", print(day.planned), spoken_day(day.date * DAY)));
    let cells = [
        known.code.clone(),
        print(known.safety_stock),
        facts.waiting(part).next().map_or(String::new(), |peg| moment(peg.need)),
        // Where no unit is on the plan, the sheet takes another day.
        print(facts.left_on(part, facts.end.expect("a unit on the plan"))),
        few(&planned.collect::<Vec<_>>(), 3),
    ];
    cells.to_vec()
}
