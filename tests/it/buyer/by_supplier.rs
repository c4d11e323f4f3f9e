//! `by supplier`: all that is asked of anybody, once each, one call one sentence.

use super::cells::{Row, Written, spoken, spoken_day};
use super::facts::{Delivery, Facts, Peg, Step, date};
use super::order::Order;
use super::{Findings, chase, columns, forward, order};
use crate::oracle::numbers::print;
use crate::oracle::sheets::key;

const COLUMNS: [&str; 3] = ["supplier", "call", "part"];
const ROUTINE: [&str; 5] = ["supplier", "order by", "part", "how many", "there by"];
/// So many dates of a call are named.
const DATES: usize = 2;

pub fn check(facts: &Facts, written: &Written, found: &mut Findings) {
    let (orders, late) = (order::orders(facts), forward::late(facts));
    let short = |order: &&Order<'_>| facts.waiting(order.part).any(|peg| peg.cover == "none");
    let code = |part: &str| facts.part(part).code.clone();
    let leaned = chase::overdue(facts).into_iter().filter(|delivery| !delivery.pegs.is_empty());
    let chased = leaned.map(|delivery| ("chase", delivery, facts.steps(delivery, |_| true)));
    let forward = late.iter().map(|(delivery, steps)| ("bring forward", *delivery, steps.clone()));
    let of_delivery = |(ask, delivery, steps): (&str, &Delivery, Vec<Step<'_>>)| {
        let row = vec![name(&delivery.supplier), ask.to_owned(), code(&delivery.part)];
        (row, asked(facts, ask, delivery, &steps))
    };
    let of_order = |order: &Order<'_>| {
        let row = vec![name(facts.supplier(order.part)), "order".to_owned(), code(order.part)];
        (row, ordered(facts, order))
    };
    let calls = chased.chain(forward).map(of_delivery).chain(orders.iter().filter(short).map(of_order));
    let (expected, sentences): (Vec<_>, Vec<_>) = calls.unzip();
    let more = written.behind("by supplier", "and ").is_some();
    let mut rows = written.table("by supplier", &[&COLUMNS[..], &["ask"]].concat());
    rows.retain(|row| row["call"] != "confirm");
    compare("by supplier", told(&rows, &COLUMNS), expected.clone(), more, found);
    let of_row = |row: &Row| {
        let mut cells = told(std::slice::from_ref(row), &COLUMNS).remove(0);
        cells.push(pieces(&row["ask"]));
        cells
    };
    let sentences = expected.into_iter().zip(sentences).map(|(row, sentence)| [row, vec![sentence]].concat());
    compare("by supplier: how many by when", rows.iter().map(of_row).collect(), sentences.collect(), more, found);
    let routine = orders.iter().filter(|order| !short(order)).map(|order| {
        let by = order::order_by(facts, order.day.release.expect("a day"));
        let qty = format!("{} {}", print(order.day.planned), facts.part(order.part).uom);
        vec![name(facts.supplier(order.part)), date(by), code(order.part), qty, date(order::wanted_on(facts, order))]
    });
    let rows =
        if written.0.contains_key("routine orders") { written.table("routine orders", &ROUTINE) } else { Vec::new() };
    let more = written.0.contains_key("routine orders") && written.behind("routine orders", "and ").is_some();
    compare("routine orders", told(&rows, &ROUTINE), routine.collect(), more, found);
}

/// The cells of some columns; a supplier prints as first spelled.
fn told(rows: &[Row], headings: &[&str]) -> Vec<Vec<String>> {
    let mut told = columns(rows, headings);
    told.iter_mut().for_each(|row| row[0] = key(&row[0]));
    told
}

/// A sheet that says that there are more calls holds none that is wrong.
fn compare(
    what: &'static str,
    told: Vec<Vec<String>>,
    mut expected: Vec<Vec<String>>,
    more: bool,
    found: &mut Findings,
) {
    if more {
        let mut left = told.clone();
        expected.retain(|row| left.iter().position(|other| other == row).map(|at| left.swap_remove(at)).is_some());
    }
    found.rows(what, told, expected);
}

/// What a sentence asks for, without until when it saves the line.
fn pieces(sentence: &str) -> String {
    let asked = sentence.split_once("ask for ").map_or(sentence, |(_, asked)| asked);
    let pieces =
        asked.split("; ").map(|piece| piece.split(", at the last").next().unwrap_or_default().trim_end_matches('.'));
    let pieces: Vec<&str> = if sentence.starts_with("Order ") { pieces.take(1).collect() } else { pieces.collect() };
    pieces.join("; ")
}

fn asked(facts: &Facts, ask: &str, delivery: &Delivery, steps: &[Step<'_>]) -> String {
    let uom = &facts.part(&delivery.part).uom;
    // Nobody sends parts of what is counted, nor more decimals than are measured.
    let step = 10_i128.pow(6 - facts.part(&delivery.part).decimals);
    let sent = |qty: i128| qty.div_euclid(step) * step + if qty.rem_euclid(step) > 0 { step } else { 0 };
    // Nobody is asked for more than is open.
    let sent = |qty: i128| sent(qty).min(delivery.open);
    let (mut words, mut before) = (Vec::new(), 0);
    for (by, qty) in steps.iter().take(DATES).map(|(by, qty, _)| (by, sent(*qty))) {
        let by = if *by <= facts.as_of { "at once".to_owned() } else { format!("by {}", spoken(*by)) };
        words.push(if words.is_empty() {
            format!("{} {uom} {by}", print(qty))
        } else {
            format!("then {} more {by}", print(qty - before))
        });
        before = qty;
    }
    let (last, all, _) = steps.last().expect("a step");
    if steps.len() > DATES {
        words.push(format!("{} {uom} in all by {}", print(sent(*all)), spoken(*last)));
    }
    match ask {
        "chase" => words.push("for the rest a date".to_owned()),
        _ if sent(*all) < delivery.open => words.push("the rest as ordered".to_owned()),
        _ => {}
    }
    words.join("; ")
}

fn ordered(facts: &Facts, order: &Order<'_>) -> String {
    let by = order.first.map_or_else(|| spoken_day(order::wanted_on(facts, order) * 86_400), |peg| spoken(peg.picked));
    let whom = order.first.map_or("the safety stock".to_owned(), Peg::who);
    format!("Order {} {}, there by {by}, for {whom}", print(order.day.planned), facts.part(order.part).uom)
}

fn name(supplier: &str) -> String {
    if supplier.is_empty() { "no supplier in the book".to_owned() } else { key(supplier) }
}
