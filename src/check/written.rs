//! Rows as the book writes them, read once more for those who ask: a plan keeps only what it needs of them.

use super::bills::read_scrap;
use crate::base::{Findings, Ratio, fold};
use crate::book::{Book, BookColumn, Cells, Table};
use std::collections::{BTreeMap, BTreeSet};

/// A bill line as it is written.
#[derive(Clone, Debug)]
pub struct Line {
    /// How much, in the cell's own unit of measure; below zero for what comes off.
    pub qty: Ratio,
    /// That unit of measure; blank for the part's own.
    pub uom: String,
    /// The share that is lost.
    pub scrap: Ratio,
    /// Its condition as written; blank where it holds always.
    pub when: String,
    /// Its note as written; blank where there is none.
    pub note: String,
}

/// Bill lines by their rows.
pub fn bill_lines(book: &Book, rows: &BTreeSet<u32>) -> BTreeMap<u32, Line> {
    let mut found = BTreeMap::new();
    let columns = ["qty", "uom", "scrap", "when", "note"];
    each(book, Table::Bills, columns, |cells, [qty, uom, scrap, when, note]| {
        if !rows.contains(&cells.number()) {
            return;
        }
        // The plan has read these cells, so they hold numbers.
        let qty = cells.signed(qty).unwrap_or(Ratio::ZERO);
        let scrap = read_scrap(cells, scrap).unwrap_or(Ratio::ZERO);
        let [uom, when, note] = [uom, when, note].map(|column| cells.text(column).to_owned());
        found.insert(cells.number(), Line { qty, uom, scrap, when, note });
    });
    found
}

/// The row of `Conversions` that turns one unit of measure of a part into another, the part's own rows first; `None` where
/// the two are joined by law, or by a row with the law before or after it.
pub fn conversion_row(book: &Book, part: &str, from: &str, to: &str) -> Option<u32> {
    let ends = [fold(from), fold(to)];
    let mut found: Vec<(bool, u32)> = Vec::new();
    each(book, Table::Conversions, ["part", "from", "to"], |cells, [of, a, b]| {
        let [of, a, b] = [of, a, b].map(|column| fold(cells.text(column)));
        let joins = a == ends[0] && b == ends[1] || a == ends[1] && b == ends[0];
        if joins && (of.is_empty() || of == fold(part)) {
            found.push((of.is_empty(), cells.number()));
        }
    });
    found.into_iter().min().map(|(_, row)| row)
}

/// The row of `Offers` that says what a floorplan offers of an option: its own, or else the one for all.
pub fn offer_row(book: &Book, floorplan: &str, option: &str) -> Option<u32> {
    let mut found: Vec<(bool, u32)> = Vec::new();
    each(book, Table::Offers, ["floorplan", "option"], |cells, [of, code]| {
        let of = fold(cells.text(of));
        if fold(cells.text(code)) == fold(option) && (of == "*" || of == fold(floorplan)) {
            found.push((of == "*", cells.number()));
        }
    });
    found.into_iter().min().map(|(_, row)| row)
}

/// The row of `Packages` by which one option includes another.
pub fn package_row(book: &Book, package: &str, option: &str) -> Option<u32> {
    let mut found = None;
    each(book, Table::Packages, ["option", "includes"], |cells, [of, includes]| {
        let mut words = super::options::split_options(cells.text(includes));
        if found.is_none() && fold(cells.text(of)) == fold(package) && words.any(|word| fold(word) == fold(option)) {
            found = Some(cells.number());
        }
    });
    found
}

/// The row of a table whose key column holds a code.
pub fn row_of(book: &Book, table: Table, column: &'static str, code: &str) -> Option<u32> {
    let mut found = None;
    each(book, table, [column], |cells, [key]| {
        if found.is_none() && fold(cells.text(key)) == fold(code) {
            found = Some(cells.number());
        }
    });
    found
}

/// Walks the rows of a table; what is wrong with them has been told before.
fn each<const N: usize>(
    book: &Book,
    table: Table,
    names: [&'static str; N],
    visit: impl FnMut(&mut Cells<'_>, [BookColumn; N]),
) {
    super::each(book, table, names, &mut Findings::default(), visit);
}
