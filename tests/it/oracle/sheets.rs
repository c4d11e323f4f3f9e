//! Reads the CSV text of a table into rows that are asked by heading.

use std::collections::BTreeMap;

use super::Book;
use super::clock::{self, Moment};
use super::numbers::{Ratio, decimal, seconds};

/// A code in the form in which codes are compared: trimmed, in lower case.
pub type Key = String;

pub fn key(code: &str) -> Key {
    code.trim().to_lowercase()
}

/// One row of a table.
pub struct Row {
    cells: BTreeMap<String, String>,
}

impl Row {
    pub fn text(&self, heading: &str) -> String {
        self.cells.get(&plain(heading)).cloned().unwrap_or_default()
    }

    pub fn key(&self, heading: &str) -> Key {
        key(&self.text(heading))
    }

    /// A code that may be blank.
    pub fn maybe_key(&self, heading: &str) -> Option<Key> {
        Some(self.key(heading)).filter(|key| !key.is_empty())
    }

    pub fn number(&self, heading: &str) -> Option<Ratio> {
        decimal(&self.text(heading))
    }

    pub fn number_or_zero(&self, heading: &str) -> Ratio {
        self.number(heading).unwrap_or(Ratio::whole(0))
    }

    pub fn whole(&self, heading: &str) -> Option<i64> {
        self.number(heading).map(|number| number.floor() as i64)
    }

    /// Minutes as seconds; blank is none.
    pub fn minutes(&self, heading: &str) -> i64 {
        seconds(self.number_or_zero(heading))
    }

    pub fn moment(&self, heading: &str) -> Option<Moment> {
        clock::moment(&self.text(heading))
    }

    pub fn time_of_day(&self, heading: &str) -> Option<i64> {
        clock::time_of_day(&self.text(heading))
    }

    /// Whether a cell says yes, or gives a reason.
    pub fn is_set(&self, heading: &str) -> bool {
        !["", "-", "no", "n", "false", "0"].contains(&self.key(heading).as_str())
    }

    /// A list of codes, separated by spaces, commas or semicolons.
    pub fn keys(&self, heading: &str) -> Vec<Key> {
        codes(&self.text(heading))
    }
}

/// The codes of a list, separated by spaces, commas or semicolons.
pub fn codes(text: &str) -> Vec<Key> {
    let words = text.split([' ', ',', ';']);
    words.map(key).filter(|word| !word.is_empty()).collect()
}

/// The rows of a table, blank ones left out; a missing table is an empty one.
pub fn rows(book: &Book, table: &str) -> Vec<Row> {
    let found = book.iter().find(|(name, _)| plain(name) == plain(table));
    let Some((_, text)) = found else {
        return Vec::new();
    };
    let mut reader = csv::ReaderBuilder::new().flexible(true).from_reader(text.as_bytes());
    let headings: Vec<String> = match reader.headers() {
        Ok(record) => record.iter().map(plain).collect(),
        Err(_) => return Vec::new(),
    };
    let records = reader.records().filter_map(Result::ok);
    let rows = records.map(|record| {
        let values = record.iter().map(|value| value.trim().to_string());
        Row { cells: headings.iter().cloned().zip(values).collect() }
    });
    rows.filter(|row| row.cells.values().any(|value| !value.is_empty())).collect()
}

/// A table's or column's name without case, spaces, `_` and `-`.
fn plain(name: &str) -> String {
    let kept = name.chars().filter(|sign| !sign.is_whitespace() && !['_', '-'].contains(sign));
    kept.collect::<String>().to_lowercase()
}
