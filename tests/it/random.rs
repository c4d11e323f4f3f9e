//! A slow, obvious second implementation on random books, all tables cell by cell: catches a slip in the fast one.

use super::oracle;
use super::random_books::{Size, random_book};
use super::support::{Sheets, rounds};
use std::collections::BTreeMap;

/// Minutes after the book's own as-of moment: within its shift, at night, days and a weekend later.
const LATER: [i64; 4] = [185, 11 * 60 + 17, 2 * 24 * 60, 9 * 24 * 60 + 75];

/// The book's own as-of moment, so many minutes later.
fn later(book: &oracle::Book, minutes: i64) -> String {
    let settings = csv::Reader::from_reader(book["Settings"].as_bytes()).records().flatten().collect::<Vec<_>>();
    let row = settings.iter().find(|row| row[0].trim().eq_ignore_ascii_case("as of")).expect("a moment");
    let (own, _) = lineward::base::Moment::parse(row[1].trim()).expect("a moment");
    own.plus(minutes * 60).to_string()
}

/// What the lines of a plan lose, as the second implementation tells it.
fn lost(plan: &lineward::plan::Plan<'_>) -> Vec<(String, Option<String>, i64)> {
    let code = |line: lineward::base::LineId| plan.plant.lines[line.at()].code.to_lowercase();
    let loss = &plan.effects.loss;
    let mut days: Vec<_> =
        loss.by_date.iter().map(|lost| (code(lost.line), Some(lost.date.to_string()), lost.seconds)).collect();
    let mut all: Vec<_> = loss.in_all.iter().map(|(line, seconds)| (code(*line), None, *seconds)).collect();
    days.sort();
    all.sort();
    [days, all].concat()
}

/// Compares all tables; what there is to say of their rows.
pub fn compare(seed: u64, size: Size, as_of: Option<&str>) -> Vec<&'static str> {
    let book = random_book(seed, size);
    let sheets = Sheets(book.clone());
    let expected = oracle::plan(&book, as_of, true);
    let found = sheets.look(as_of, true, |plan| (super::support::tables(plan), lost(plan)));
    let (expected, (found, lost)) = match (expected, found) {
        (Ok(expected), Ok(found)) => (expected, found),
        (expected, found) => panic!("seed {seed} as of {as_of:?}: {:?} {:?}", expected.err(), found.err()),
    };
    let mut cases = expected.cases;
    assert_eq!(expected.loss, lost, "seed {seed} {size:?} as of {as_of:?}");
    cases.extend(expected.loss_cases);
    let tables = [
        ("units", expected.units),
        ("demands", expected.demands),
        ("jobs", expected.jobs),
        ("pegs", expected.pegs),
        ("pulls", expected.pulls),
        ("balances", expected.balances),
        ("consequences", expected.consequences),
    ];
    for (table, expected) in tables {
        let found = found[table].replace("\r\n", "\n");
        for (row, (expected, found)) in expected.lines().zip(found.lines()).enumerate() {
            assert_eq!(expected, found, "seed {seed} {size:?} as of {as_of:?}: {table} row {}", row + 1);
        }
        assert_eq!(expected.lines().count(), found.lines().count(), "seed {seed} {size:?} as of {as_of:?}: {table}");
    }
    cases
}

/// All that there is to say of a row of the consequences, of a unit and a change, or of a part's stock, in each of many.
const CASES: [&str; 47] = [
    "special run",
    "can follow",
    "stops the line",
    "shop: special run",
    "shop: can follow",
    "shop: stops the line",
    "receipt at a station",
    "receipt in a shop",
    "job for a station",
    "job for a shop",
    "by-product at a station",
    "by-product in a shop",
    "short at a station",
    "short in a shop",
    "moved",
    "moved, nobody knows how far",
    "late without having moved",
    "by-product of several jobs",
    "several jobs start with it",
    "worst behind another job or a by-product",
    "fit by on another line",
    "fit by not behind",
    "too late for fit by",
    "short for all its fit by",
    "follows to another station",
    "follows at its own station",
    "arrived before the as-of moment",
    "nothing to hand over",
    "several pieces in a row",
    "a job that waits for itself",
    "has left its fit by, still on the line",
    "has left its fit by, no time known",
    "has left its fit by, off the line by then",
    "shop: has left its fit by, off the line or no time known",
    "change of a held unit: nobody behind it",
    "change of a held unit: before the next behind it",
    "change of a held unit: with the next behind it or later",
    "reserved or lineside stock that is taken",
    "reserved or lineside stock that is left",
    "reserved or lineside stock of which some is taken",
    "short beside reserved or lineside stock",
    "no moment saves the line",
    "nothing stops whenever it comes",
    "loss: a line stands over midnight",
    "loss: another piece of the move is there later",
    "loss: nothing is added, the line stands already",
    "loss: less is added, the line stands already",
];

/// And in a few.
const RARE: [&str; 4] = [
    "handed over as the unit arrives",
    "handed over as the unit arrives on its way",
    "handed over as the unit arrives at the last",
    "loss: of those alike the first decides",
];

/// Counts what there is to say of rows: the books show each of it, or the comparison shows little.
fn each_comes_up(found: impl Iterator<Item = &'static str>) {
    let mut counts: BTreeMap<&str, usize> = CASES.into_iter().chain(RARE).map(|case| (case, 0)).collect();
    for case in found {
        *counts.get_mut(case).expect("a case of the lists") += 1;
    }
    println!("{counts:#?}");
    assert!(CASES.iter().all(|case| counts[case] >= 20), "{counts:#?}");
    assert!(RARE.iter().all(|case| counts[case] >= 1), "{counts:#?}");
}

#[test]
fn small_books_agree() {
    let cases = (0..rounds(300)).flat_map(|seed| compare(seed, Size::Small, None));
    each_comes_up(cases);
}

#[test]
fn large_books_agree() {
    (100_000..100_000 + rounds(30)).for_each(|seed| _ = compare(seed, Size::Large, None));
}

#[test]
fn other_moments_agree() {
    let mut compared = 0;
    for seed in 200_000..200_000 + rounds(60) {
        let book = random_book(seed, Size::Small);
        for minutes in LATER {
            compare(seed, Size::Small, Some(&later(&book, minutes)));
            compared += 1;
        }
    }
    assert_eq!(compared, rounds(240));
}
