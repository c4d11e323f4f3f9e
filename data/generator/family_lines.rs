//! The bill lines of each family: on which floorplans or made parts, and how many.

use crate::families::{Family, span};
use crate::family_parts::{Place, can_hold, draw};
use crate::makes;
use crate::model::{BillLine, Book, PLANS, Part, is_counted, round_to};
use fastrand::Rng;

/// Adds the lines of one part; whether anything uses it.
pub fn add(book: &mut Book, family: &Family, place: &Place, part: &Part, n: usize, rng: &mut Rng) -> bool {
    if family.get("in") == "cab" {
        return true;
    }
    let mut used = false;
    for stem in family.get("in").split(',') {
        for plan in plans(stem, place) {
            let skipped = place.plan.is_none() && skips(family, plan, n);
            if !skipped && can_hold(&place.when, plan) && makes::exists(stem, plan) {
                used = true;
                let line = line(family, place, part, plan, rng);
                book.add_line(BillLine { parent: makes::code(stem, plan), ..line });
            }
        }
    }
    used
}

/// A kit for all floorplans has its lines once; the longest floorplan stands for all.
fn plans(stem: &str, place: &Place) -> Vec<usize> {
    match place.plan {
        Some(plan) => vec![plan],
        None if stem.ends_with('!') => vec![3],
        None => (0..4).collect(),
    }
}

fn line(family: &Family, place: &Place, part: &Part, plan: usize, rng: &mut Rng) -> BillLine {
    let (qty, uom) = quantity(family, plan, &part.uom, rng);
    BillLine {
        part: part.code.clone(),
        qty,
        uom,
        station: family.get("station").to_string(),
        when: place.when.clone(),
        scrap: family.get("scrap").parse().unwrap_or(0.0),
        ..BillLine::default()
    }
}

/// The smaller floorplans do without some of the common parts of a long family.
fn skips(family: &Family, plan: usize, n: usize) -> bool {
    let count: usize = family.get("count").parse().unwrap_or(1);
    let every = [4, 7, 11, usize::MAX][plan];
    family.get("spread") == "all" && count > 4 && n % every == every - 1
}

fn quantity(family: &Family, plan: usize, uom: &str, rng: &mut Rng) -> (f64, String) {
    let text = family.get("qty");
    let grows = text.ends_with('*');
    let mut pieces = text.trim_end_matches('*').split(' ');
    let amount = pieces.next().unwrap_or("1");
    let line_uom = pieces.next().unwrap_or("");
    let amount = amount.split('/').nth(plan).or_else(|| amount.split('/').next());
    let ends = span(amount.unwrap_or("1"));
    let size = if grows { PLANS[plan].4 } else { 1.0 };
    let whole = is_counted(uom) && line_uom.is_empty() && !amount.unwrap_or("").contains('.');
    let value = draw(rng, ends, 2) * size;
    let value = if whole { value.round().max(1.0) } else { round_to(value, 2).max(0.01) };
    (value, line_uom.to_string())
}
