//! The parts of each family: where they belong, and their codes, costs, weights and bins.

use crate::families::{Family, rows};
use crate::family_lines;
use crate::model::{Book, PLANS, Part, round_to};
use crate::options::{OPTIONS, offer};
use crate::suppliers;
use crate::when::words;
use fastrand::Rng;

/// Where a family's part belongs: the middle of its code, the `when` of its lines, the one floorplan if it has one.
pub struct Place {
    pub middle: String,
    pub when: String,
    pub plan: Option<usize>,
    pub word: String,
}

/// Adds every family's parts and lines to the book.
pub fn build(book: &mut Book, rng: &mut Rng) {
    let mut bins = [0usize; 26];
    for family in rows() {
        let which = rng.usize(0..3);
        for place in places(family.get("spread")) {
            for n in 0..family.get("count").parse().unwrap_or(1) {
                let part = part(&family, &place, n, which, &mut bins, rng);
                if family_lines::add(book, &family, &place, &part, n, rng) {
                    book.add_part(part);
                }
            }
        }
    }
}

fn group_of(group: &str) -> Vec<(String, String)> {
    let rows = OPTIONS.iter().filter(|row| row.2 == group);
    let word = |name: &str| name.rsplit(' ').next().unwrap_or("").to_string();
    rows.map(|row| (row.0.to_string(), word(row.1))).collect()
}

fn places(spread: &str) -> Vec<Place> {
    let (kind, when) = spread.split_once(':').unwrap_or((spread, ""));
    let choices = if kind.starts_with("decor") {
        group_of("DECOR")
    } else if kind.starts_with("colour") {
        group_of("COLOUR")
    } else {
        vec![(when.to_string(), String::new())]
    };
    let plans: Vec<Option<usize>> = if kind.ends_with("each") { (0..4).map(Some).collect() } else { vec![None] };
    let mut out = Vec::new();
    for plan in plans {
        for (when, word) in &choices {
            if plan.is_none_or(|p| can_hold(when, p)) {
                let long = plan.map_or(String::new(), |p| format!("-{}", PLANS[p].3));
                let short = if word.is_empty() { String::new() } else { format!("-{}", &when[..2]) };
                out.push(Place { middle: long + &short, when: when.clone(), plan, word: word.clone() });
            }
        }
    }
    out
}

/// Whether a `when` can hold on a floorplan at all: some name of it is offered there, or is its series.
pub fn can_hold(when: &str, plan: usize) -> bool {
    let (code, _, series, _, _) = PLANS[plan];
    when.is_empty()
        || words(when).iter().any(|name| {
            let is_option = OPTIONS.iter().any(|row| row.0 == name);
            name == series || (is_option && offer(code, name) != "not offered")
        })
}

pub fn draw(rng: &mut Rng, ends: Option<(f64, f64)>, decimals: i32) -> f64 {
    let (low, high) = ends.unwrap_or((0.0, 0.0));
    round_to(low + (high - low) * rng.f64(), decimals)
}

fn part(family: &Family, place: &Place, n: usize, which: usize, bins: &mut [usize; 26], rng: &mut Rng) -> Part {
    let word = family.get("words").split(',').nth(n).unwrap_or("");
    let long = place.plan.map_or(String::new(), |p| format!("for {}", PLANS[p].3));
    let tail = [word, &place.word, &long].into_iter().filter(|t| !t.is_empty());
    let tail: Vec<&str> = tail.collect();
    let name = family.get("name");
    let description = if tail.is_empty() { name.to_string() } else { format!("{name}, {}", tail.join(", ")) };
    let trade = family.get("trade");
    let (short, long) = suppliers::lead_days(trade);
    let supplier = if rng.u32(0..100) < 85 { which } else { rng.usize(0..3) };
    let small = family.span("cost").is_some_and(|c| c.1 < 1.0);
    let cost = draw(rng, family.span("cost"), if small { 3 } else { 2 });
    Part {
        code: format!("{}{}-{:02}", family.get("code"), place.middle, n + 1),
        description,
        uom: family.get("uom").to_string(),
        source: "buy",
        location: bin(family.get("zone"), bins),
        issue: family.get("issue").to_string(),
        pack: family.get("pack").parse().unwrap_or(0.0),
        supplier: suppliers::name(trade, supplier),
        lead: rng.i64(short..=long),
        cost: cost.max(0.001),
        weight: draw(rng, family.span("kg"), if small { 4 } else { 1 }).max(0.0),
        ..Part::default()
    }
}

/// The next bin of a zone: five levels to a bay.
fn bin(zone: &str, bins: &mut [usize; 26]) -> String {
    let counter = &mut bins[usize::from(zone.as_bytes()[0] - b'A')];
    *counter += 1;
    format!("{zone}-{:02}-{}", 1 + (*counter - 1) / 5, 1 + (*counter - 1) % 5)
}
