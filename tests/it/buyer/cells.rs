//! A written workbook, read back: every cell as text, and tables found by their headings.

use crate::oracle::{clock, numbers};
use calamine::{Data, Reader, Xlsx};
use std::collections::BTreeMap;
use std::io::Cursor;

/// The cells of each sheet as text, by the sheet's name: numbers as plain decimals, dates and times as the tables have them.
pub struct Written(pub BTreeMap<String, Vec<Vec<String>>>);

/// A row of a table, by heading.
pub type Row = BTreeMap<String, String>;

impl Written {
    /// Reads a workbook's bytes.
    pub fn of(bytes: Vec<u8>) -> Self {
        let mut xlsx: Xlsx<_> = calamine::open_workbook_from_rs(Cursor::new(bytes)).expect("a workbook");
        let cells = |range: calamine::Range<Data>| range.rows().map(|row| row.iter().map(text).collect()).collect();
        Self(xlsx.worksheets().into_iter().map(|(name, range)| (name, cells(range))).collect())
    }

    /// The rows of the table of a sheet whose heading row holds all the headings named; none where it has no such table.
    pub fn table(&self, sheet: &str, headings: &[&str]) -> Vec<Row> {
        let is_head = |row: &[String]| headings.iter().all(|heading| row.iter().any(|cell| cell == heading));
        let mut rows = self.0[sheet].iter().skip_while(|row| !is_head(row));
        let Some(head) = rows.next() else { return Vec::new() };
        let rows = rows.take_while(|row| row.iter().skip(1).any(|cell| !cell.is_empty()));
        rows.map(|row| head.iter().cloned().zip(row.iter().cloned()).collect()).collect()
    }

    /// The headings of that table.
    pub fn headings(&self, sheet: &str, headings: &[&str]) -> Vec<String> {
        let is_head = |row: &&Vec<String>| headings.iter().all(|heading| row.iter().any(|cell| cell == heading));
        self.0[sheet].iter().find(is_head).cloned().unwrap_or_default()
    }

    /// What stands beside a label.
    pub fn fact(&self, sheet: &str, label: &str) -> String {
        let row = self.0[sheet].iter().find(|row| row.iter().any(|cell| cell == label));
        let row = row.unwrap_or_else(|| panic!("no '{label}' on '{sheet}'"));
        let behind = row.iter().skip_while(|cell| *cell != label).skip(1);
        behind.filter(|cell| !cell.is_empty()).cloned().collect::<Vec<_>>().join(" ")
    }

    /// The first cell of a sheet that begins so, without that beginning.
    pub fn behind(&self, sheet: &str, beginning: &str) -> Option<String> {
        self.0[sheet].iter().flatten().find_map(|cell| cell.strip_prefix(beginning).map(str::to_owned))
    }
}

/// A cell as text.
pub fn text(cell: &Data) -> String {
    match cell {
        Data::DateTime(time) => {
            let (year, month, day, hour, minute, second, _) = time.to_ymd_hms_milli();
            format!("{year:04}-{month:02}-{day:02}T{hour:02}:{minute:02}:{second:02}")
        }
        Data::Float(number) => numbers::print((number * 1e6).round() as i128),
        Data::Int(number) => number.to_string(),
        other => other.to_string(),
    }
}

/// A moment or, without a time, a date as a cell has it.
pub fn moment(clock: i64) -> String {
    clock::print(clock)
}

/// `Tue 14 Sep 06:00`, as sheets say it within a text.
pub fn spoken(clock: i64) -> String {
    let form = if clock % 60 == 0 { "%a %-d %b %H:%M" } else { "%a %-d %b %H:%M:%S" };
    chrono::DateTime::from_timestamp(clock, 0).expect("a moment").format(form).to_string()
}

/// `Tue 14 Sep`.
pub fn spoken_day(clock: i64) -> String {
    chrono::DateTime::from_timestamp(clock, 0).expect("a moment").format("%a %-d %b").to_string()
}

/// The first few, and how many more there are.
pub fn few(items: &[String], most: usize) -> String {
    let shown = items[..items.len().min(most)].join("; ");
    if items.len() > most { format!("{shown}; and {} more", items.len() - most) } else { shown }
}

/// `1 order`, `3 orders`.
pub fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
