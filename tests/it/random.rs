//! A slow, obvious second implementation on random books, all tables cell by cell: catches a slip in the fast one.

use super::oracle;
use super::random_books::{Size, random_book};
use super::support::{Sheets, rounds};

/// Minutes after the book's own as-of moment: within its shift, at night, days and a weekend later.
const LATER: [i64; 4] = [185, 11 * 60 + 17, 2 * 24 * 60, 9 * 24 * 60 + 75];

/// The book's own as-of moment, so many minutes later.
fn later(book: &oracle::Book, minutes: i64) -> String {
    let settings = csv::Reader::from_reader(book["Settings"].as_bytes()).records().flatten().collect::<Vec<_>>();
    let row = settings.iter().find(|row| row[0].trim().eq_ignore_ascii_case("as of")).expect("a moment");
    let (own, _) = lineward::base::Moment::parse(row[1].trim()).expect("a moment");
    own.plus(minutes * 60).to_string()
}

fn compare(seed: u64, size: Size, as_of: Option<&str>) -> bool {
    let book = random_book(seed, size);
    let sheets = Sheets(book.clone());
    let expected = oracle::plan(&book, as_of, true);
    let (expected, found) = match (expected, sheets.plan_as(as_of, true)) {
        (Ok(expected), Ok(found)) => (expected, found),
        (expected, found) => panic!("seed {seed} as of {as_of:?}: {:?} {:?}", expected.err(), found.err()),
    };
    let tables = [
        ("units", expected.units),
        ("demands", expected.demands),
        ("jobs", expected.jobs),
        ("pegs", expected.pegs),
        ("pulls", expected.pulls),
        ("balances", expected.balances),
    ];
    for (table, expected) in tables {
        let found = found[table].replace("\r\n", "\n");
        for (row, (expected, found)) in expected.lines().zip(found.lines()).enumerate() {
            assert_eq!(expected, found, "seed {seed} {size:?} as of {as_of:?}: {table} row {}", row + 1);
        }
        assert_eq!(expected.lines().count(), found.lines().count(), "seed {seed} {size:?} as of {as_of:?}: {table}");
    }
    true
}

#[test]
fn small_books_agree() {
    assert!((0..rounds(300)).all(|seed| compare(seed, Size::Small, None)));
}

#[test]
fn large_books_agree() {
    assert!((100_000..100_000 + rounds(30)).all(|seed| compare(seed, Size::Large, None)));
}

#[test]
fn other_moments_agree() {
    let mut compared = 0;
    for seed in 200_000..200_000 + rounds(60) {
        let book = random_book(seed, Size::Small);
        compared += LATER.iter().filter(|minutes| compare(seed, Size::Small, Some(&later(&book, **minutes)))).count();
    }
    assert_eq!(compared as u64, rounds(240));
}
