//! The reasons for which units and stock are on hold, as the book gives them: any text but a no holds, meant or not.

use crate::base::{Findings, fold};
use crate::book::{Book, Table};
use serde::Serialize;
use std::cmp::Reverse;
use std::collections::HashMap;

/// A reason to hold, and how often it stands in a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Held {
    /// The table: `Sequence` or `Stock`.
    pub table: &'static str,
    /// The reason as first written.
    pub reason: String,
    /// How many rows have it.
    pub rows: usize,
    /// The first of them, as the spreadsheet numbers it.
    pub first_row: u32,
}

/// The reasons of the sequence, then those of the stock, in each the most frequent first, then by first row.
pub fn held(book: &Book) -> Vec<Held> {
    [Table::Sequence, Table::Stock].into_iter().flat_map(|table| of_table(book, table)).collect()
}

fn of_table(book: &Book, table: Table) -> Vec<Held> {
    let mut found: Vec<Held> = Vec::new();
    let mut known: HashMap<String, usize> = HashMap::new();
    super::each(book, table, ["hold"], &mut Findings::default(), |cells, [hold]| {
        let Some(reason) = cells.hold(hold) else { return };
        let at = *known.entry(fold(reason)).or_insert(found.len());
        if at == found.len() {
            let (reason, first_row) = (reason.to_owned(), cells.number());
            found.push(Held { table: table.spec().name, reason, rows: 0, first_row });
        }
        found[at].rows += 1;
    });
    found.sort_by_key(|held| (Reverse(held.rows), held.first_row));
    found
}
