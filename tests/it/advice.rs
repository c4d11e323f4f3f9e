//! All advice of random books done and planned anew: catches advice that does not work, that stops somebody else unsaid, that
//! takes more than there is, or that comes in the past.

use super::random_books::{Size, random_book};
use super::short_books::Short;
use super::support::{Sheets, consequences, rounds};
use lineward::base::{Moment, OwnerId, Quantity};
use lineward::check::{self, Plant};
use lineward::cures::{Advice, Change, Cures, Kind, Piece, changed};
use lineward::plan::{self, Outcome, Plan, Request};
use std::collections::{BTreeMap, BTreeSet};

fn planned(plant: &Plant) -> Option<Plan<'_>> {
    plan::plan(plant, &Request { set_aside: true, ..Default::default() }).0
}

fn plant_of(sheets: &Sheets) -> Plant {
    let (plant, findings) = check::plant(&sheets.book(), None, Moment::default());
    let told = || findings.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n");
    assert!(!findings.any_error(), "{}\n{}", told(), sheets.shown());
    plant
}

/// A piece: the unit, the part and the place. Units keep their numbers, as nothing moves.
type Key = (OwnerId, String, String);

fn key(plant: &Plant, piece: &Piece) -> Key {
    (piece.owner, plant.part(piece.part).code.clone(), plant.dest(piece.to).code.clone())
}

/// What the line waits for: how much of it, and for how long at most, the unknown longest.
type Waits = BTreeMap<Key, (Quantity, i64)>;

fn waits(plan: &Plan<'_>) -> Waits {
    let mut waits = Waits::new();
    for row in consequences(plan).iter().filter(|row| row.outcome == Outcome::StopsTheLine) {
        let key = (row.owner, plan.plant.part(row.part).code.clone(), plan.plant.dest(row.to).code.clone());
        let wait = waits.entry(key).or_default();
        wait.0 += row.qty;
        wait.1 = wait.1.max(row.stop_minutes.unwrap_or(i64::MAX));
    }
    waits
}

fn units(waits: &Waits) -> BTreeSet<OwnerId> {
    waits.keys().map(|(owner, ..)| *owner).collect()
}

fn still(waits: &Waits, key: &Key) -> Quantity {
    waits.get(key).map_or(Quantity::ZERO, |wait| wait.0)
}

/// No row gives more than it holds; what is asked for comes after now and sooner than it would; orders are as large as the book
/// says they must be.
fn asks_for_what_can_be(plant: &Plant, cures: &Cures, seed: u64) {
    let (mut stock, mut open): (BTreeMap<usize, Quantity>, BTreeMap<usize, Quantity>) = Default::default();
    for change in cures.changes() {
        match change {
            Change::Keep { stock: row, qty, .. } => *stock.entry(*row).or_default() += *qty,
            Change::Sooner { receipt, qty, by } => {
                *open.entry(*receipt).or_default() += *qty;
                let sooner = *by > plant.as_of && *by < plant.receipts[*receipt].available;
                assert!(sooner, "seed {seed}: {change:?}");
            }
            Change::Order { part, qty, by } => {
                let part = plant.part(*part);
                let whole = part.buy_multiple.is_none_or(|multiple| qty.up_to_multiple(multiple) == *qty);
                assert!(*by > plant.as_of && *qty >= part.minimum_buy && whole, "seed {seed}: {change:?}");
            }
            Change::Good { .. } | Change::First { .. } => {}
        }
    }
    assert!(stock.iter().all(|(row, qty)| *qty <= plant.stock[*row].qty), "seed {seed}: {stock:?}");
    assert!(open.iter().all(|(row, qty)| *qty <= plant.receipts[*row].qty), "seed {seed}: {open:?}");
}

/// With all of it done nothing else stops the line or stops it longer; what is said to be cured is, and who is said to keep
/// moving does.
fn does_what_it_says(plant: &Plant, cures: &Cures, (before, after): (&Waits, &Waits), seed: u64) {
    for (key, wait) in after {
        let longer = before.get(key).is_none_or(|old| old.1 < wait.1);
        assert!(!longer, "seed {seed}: {key:?} waits {wait:?}, before {:?}", before.get(key));
    }
    let (old, new) = (units(before), units(after));
    assert_eq!(cures.stopped, old, "seed {seed}");
    assert_eq!(cures.moving, old.difference(&new).copied().collect(), "seed {seed}");
    let mut cured: BTreeMap<Key, Quantity> = BTreeMap::new();
    for (piece, advice) in &cures.pieces {
        let key = key(plant, piece);
        if advice.working().is_some() || matches!(advice, Advice::With(_)) {
            *cured.entry(key).or_default() += piece.qty;
        } else {
            assert!(after.contains_key(&key), "seed {seed}: {key:?} is there, and nothing is said to serve it");
        }
    }
    for (key, qty) in cured {
        let really = before[&key].0 - still(after, &key);
        assert!(really >= qty, "seed {seed}: {qty} of {key:?} are cured, {really} really");
    }
}

/// What is said to serve a piece works, and it does: with what was done before, or else with what is done for other units.
fn is_served_by(plant: &Plant, cures: &Cures, before: &Waits, seed: u64) {
    let still_with = |key: &Key, done: &dyn Fn(usize) -> bool| {
        let done = (0..cures.pieces.len()).filter(|j| done(*j)).filter_map(|j| cures.pieces[j].1.working());
        let then = changed(plant, done.flat_map(|cure| &cure.candidate.changes).collect::<Vec<_>>());
        still(&waits(&planned(&then).expect("a plan as before")), key)
    };
    for (i, (piece, advice)) in cures.pieces.iter().enumerate() {
        let Advice::With(others) = advice else { continue };
        let key = key(plant, piece);
        assert!(others.iter().all(|other| cures.pieces[*other].1.working().is_some()), "seed {seed}: {key:?}");
        // Each part is looked at in order, what shops make with all that is bought.
        let then = still_with(&key, &|j| {
            let other = &cures.pieces[j].0;
            let same = if piece.made() { other.made() } else { other.part == piece.part };
            others.contains(&j) || (same && j < i) || (!same && !other.made())
        });
        let beside = |j: usize| cures.pieces[j].0.owner != piece.owner;
        let with = still_with(&key, &|j| others.contains(&j) || beside(j));
        let served = then < before[&key].0 || (with < before[&key].0 && still_with(&key, &beside) > with);
        assert!(served, "seed {seed}: {key:?} is not served by {others:?}");
    }
}

#[test]
fn advice_done_in_the_book_does_what_it_says() {
    let mut counts: BTreeMap<Kind, usize> = BTreeMap::new();
    for seed in 0..rounds(300) {
        let mut book = Short::of(seed);
        let plant = plant_of(&book.written());
        let plan = planned(&plant).expect("a plan");
        let (cures, before) = (Cures::of(&plan), waits(&plan));
        for cure in cures.pieces.iter().filter_map(|(_, advice)| advice.working()) {
            *counts.entry(cure.candidate.kind).or_default() += 1;
        }
        asks_for_what_can_be(&plant, &cures, seed);
        // All of it is done, also behind what no row can say.
        let done: Vec<bool> = cures.changes().into_iter().map(|change| book.make(&plant, change)).collect();
        let in_rows = done.iter().all(|done| *done);
        let then = if in_rows { plant_of(&book.written()) } else { changed(&plant, cures.changes()) };
        does_what_it_says(&plant, &cures, (&before, &waits(&planned(&then).expect("a plan"))), seed);
        is_served_by(&plant, &cures, &before, seed);
    }
    let kinds = [Kind::OnHold, Kind::LooseStock, Kind::Reservation, Kind::PartShipment, Kind::Order];
    assert!(kinds.iter().all(|kind| counts.get(kind).is_some_and(|count| *count >= 20)), "{counts:?}");
}

#[test]
fn advice_for_books_full_of_everything_does_what_it_says() {
    let mut cured = 0;
    for seed in 0..rounds(40) {
        let (plant, _) = check::plant(&Sheets(random_book(seed, Size::Small)).book(), None, Moment::default());
        let Some(plan) = planned(&plant) else { continue };
        let (cures, before) = (Cures::of(&plan), waits(&plan));
        asks_for_what_can_be(&plant, &cures, seed);
        let then = changed(&plant, cures.changes());
        does_what_it_says(&plant, &cures, (&before, &waits(&planned(&then).expect("a plan"))), seed);
        cured += cures.changes().len();
    }
    assert!(cured > 100, "{cured}");
}
