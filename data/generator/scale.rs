//! Weights of finished units, and two that are wrong. Drawn with dice of their own, so that no other table depends on them.

use crate::changes::inside;
use crate::layout::LINE;
use crate::model::{Book, PLANS, Unit};
use crate::sequence;
use crate::tables::{Table, number, texts};
use crate::tune::{SCALE_ERRORS, SCALE_SEED, UNITS_DONE, UNITS_WEIGHED};
use crate::units_of_measure::factor;
use crate::when::holds;
use fastrand::Rng;

/// What a unit has that no bill weighs (sealant, wire, water left from the test) by floorplan, in kilograms, and how far it varies.
const ON_TOP: [i64; 4] = [31, 38, 44, 57];
const VARIES: i64 = 7;

/// A unit that is not in the sequence, though stock is reserved for it (`troubles`).
const NEVER_BUILT: usize = 3388;

/// A weight.
pub struct Weight {
    pub unit: String,
    pub kg: i64,
    pub when: String,
}

/// Draws finished units before those that the sequence lists as done, which keep their places and numbers.
pub fn finished(book: &mut Book) {
    let mut rng = Rng::with_seed(SCALE_SEED);
    let count = UNITS_WEIGHED - UNITS_DONE;
    let plans = sequence::mix(count, &mut rng);
    // One of them was never built: stock is still reserved for it.
    let numbers = (3410 - count - 1..3410).filter(|number| *number != NEVER_BUILT);
    for (n, (plan, number)) in plans.into_iter().zip(numbers).enumerate() {
        let (ordered, names) = sequence::order(plan, &mut rng);
        let code = format!("AF{number}");
        // In tenths: all of them stand before the first unit of the list.
        book.finished.push(Unit { code, seq: n as i64 + 1, plan, ordered, names, done: true, ..Unit::default() });
    }
    weigh(book, &mut rng);
}

/// The rows of the sequence for them.
pub fn rows(book: &Book) -> impl Iterator<Item = Vec<String>> + '_ {
    book.finished.iter().map(|u| {
        let (seq, ordered) = (number(u.seq as f64 / 10.0), u.ordered.join(" "));
        texts([LINE, &seq, &u.code, PLANS[u.plan].0, &ordered, "", "", "", "", "", "yes"])
    })
}

pub fn table(book: &Book) -> Table {
    let rows = book.weights.iter().map(|w| texts([&w.unit, &w.kg.to_string(), &w.when]));
    crate::tables::table("Scale", "unit,kg,when", rows)
}

fn weigh(book: &mut Book, rng: &mut Rng) {
    let done: Vec<&Unit> = book.finished.iter().chain(book.units.iter().filter(|unit| unit.done)).collect();
    let days = working_days_back(done.len());
    let weights = done.iter().zip(days).map(|(unit, when)| {
        let bill = weight_of(book, unit, PLANS[unit.plan].0, 1.0).round() as i64;
        let kg = bill + ON_TOP[unit.plan] + rng.i64(-VARIES..=VARIES);
        let wrong = SCALE_ERRORS.iter().find(|(code, _)| *code == unit.code).map_or(0, |(_, kg)| *kg);
        Weight { unit: unit.code.clone(), kg: kg + wrong, when }
    });
    book.weights = weights.collect();
}

/// When each was weighed: a unit every half hour, fifteen a day, the last on the as-of day at 14:00.
fn working_days_back(count: usize) -> Vec<String> {
    let days = ["2027-09-07", "2027-09-08", "2027-09-09", "2027-09-10", "2027-09-13"];
    let slots =
        days.iter().flat_map(|day| (14..=28).map(move |half| format!("{day} {:02}:{:02}", half / 2, half % 2 * 30)));
    let slots: Vec<String> = slots.collect();
    slots[slots.len() - count..].to_vec()
}

/// What the bought parts of a unit weigh that have a weight.
fn weight_of(book: &Book, unit: &Unit, parent: &str, qty: f64) -> f64 {
    let lines = book.below.get(parent).map_or(&[][..], Vec::as_slice).iter().map(|n| &book.bills[*n]);
    let lines = lines.filter(|line| holds(&line.when, &unit.names) && inside(book, unit, &line.from, &line.until));
    let of_line = |line: &crate::model::BillLine| {
        let (part, qty) = (book.part(&line.part), qty * factor(book, line));
        match part.source {
            "buy" => qty * part.weight,
            "make" | "phantom" => weight_of(book, unit, &line.part, qty),
            _ => 0.0,
        }
    };
    lines.filter(|line| line.qty > 0.0).map(of_line).sum()
}
