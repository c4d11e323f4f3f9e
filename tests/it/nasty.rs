//! Books spoiled at random: catches a panic, an endless loop, or an error told at no place.

use super::random_books::{Size, random_book};
use super::support::{Sheets, rounds};
use lineward::base::Level;

const JUNK: [&str; 44] = [
    "",
    " ",
    "0",
    "-1",
    "1e9",
    "999999999999",
    "1000000000000",
    "0.0000001",
    "123456789012345678",
    "NaN",
    "inf",
    "=1+1",
    "@x",
    "x y",
    "-AC",
    "(",
    "not",
    "and or",
    "\"",
    "((((((((",
    "2027-09-14",
    "1900-01-01",
    "2199-12-31",
    "2027-09-14 23:59:59",
    "14.09.2027",
    "24:00",
    "00:00",
    "Mon-Sun",
    "2027-01-01 to 2029-12-31",
    "make",
    "phantom",
    "by-product",
    "buy",
    "bulk",
    "sequence",
    "*",
    "yes",
    "no",
    "100%",
    "99.9999%",
    "ea",
    "furlong",
    "\u{feff}é\u{0}",
    "a very long text that goes on and on and on and on and on and on",
];

/// A CSV text with one cell replaced.
fn spoil(text: &str, dice: &mut fastrand::Rng) -> String {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut rows: Vec<Vec<String>> =
        reader.records().flatten().map(|row| row.iter().map(str::to_owned).collect()).collect();
    // Now and then a cell of another row: references that exist, but not for this; and seldom a heading.
    let other = dice.usize(0..rows.len());
    let headings_too = dice.u8(0..8) == 0;
    let first = usize::from(!headings_too).min(rows.len() - 1);
    let row = dice.usize(first..rows.len());
    let column = dice.usize(0..rows[row].len());
    let elsewhere = dice.usize(0..rows[other].len());
    let junk = if dice.bool() { JUNK[dice.usize(0..JUNK.len())].to_owned() } else { rows[other][elsewhere].clone() };
    rows[row][column] = junk;
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    rows.iter().for_each(|row| writer.write_record(row).expect("memory"));
    String::from_utf8(writer.into_inner().expect("memory")).expect("UTF-8")
}

#[test]
fn spoiled_books_are_told_or_planned_but_never_panic() {
    let mut dice = fastrand::Rng::with_seed(11);
    let (mut told, mut planned) = (0, 0);
    for seed in 0..rounds(120) {
        let sound = random_book(seed, Size::Small);
        for _ in 0..8 {
            let mut sheets = Sheets(sound.clone());
            for _ in 0..dice.usize(1..4) {
                let tables: Vec<&String> = sound.keys().collect();
                let table = tables[dice.usize(0..tables.len())].clone();
                let text = spoil(&sheets.0[&table], &mut dice);
                sheets.set(&table, &text);
            }
            match sheets.plan_as(None, dice.bool()) {
                Ok(tables) => {
                    planned += 1;
                    assert_eq!(tables.len(), lineward::report::table::TABLES.len());
                }
                Err(findings) => {
                    told += 1;
                    let errors = findings.iter().filter(|finding| finding.kind.level == Level::Error);
                    assert!(errors.clone().count() > 0, "no plan and no error:\n{}", sheets.shown());
                    errors.for_each(|error| {
                        assert!(!error.place.table.is_empty() || !error.place.file.is_empty(), "{error}")
                    });
                }
            }
        }
    }
    assert!(told > 100 && planned > 100, "{told} told, {planned} planned");
}
