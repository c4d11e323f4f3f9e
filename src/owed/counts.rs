//! Bins whose count a miss proves wrong, and the rows of `Stock` that say so.

use super::Entry;
use crate::base::{PartId, Quantity, fold};
use crate::book::{Book, Table};
use crate::check::Stock;
use crate::plan::Plan;
use crate::report::listed::ListedStop;
use crate::trial::{Act, Edit, WhichRows};

/// A bin whose count is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrongCount {
    /// What lies there.
    pub part: PartId,
    /// Where it lies; blank where the book does not say.
    pub place: String,
    /// What the book has there at the as-of moment, without what is on hold.
    pub by_book: Quantity,
    /// How much less was there than that; less than nothing where it was more.
    pub less: Quantity,
    /// What of that is no stock of the book, but was to come by then.
    pub beyond: Quantity,
    /// Whether somebody counted; else the bin is taken to be empty, since something was short there.
    pub counted: bool,
}

/// What the misses at one bin, in the order of the walks, say about its count; `None` where they agree with the book.
pub fn wrong(plan: &Plan<'_>, misses: &[(&ListedStop, &Entry)]) -> Option<WrongCount> {
    let (stop, entry) = misses.last()?;
    let short: Quantity = misses.iter().map(|(_, entry)| entry.short).sum();
    let there = entry.counted.unwrap_or_default();
    let less = stop.left + short - there;
    if less.is_zero() {
        return None;
    }
    let by_book: Quantity = rows(plan, stop.part, &stop.place).map(|row| row.qty).sum();
    let beyond = (less - by_book).max(Quantity::ZERO);
    let (part, place) = (stop.part, stop.place.clone());
    Some(WrongCount { part, place, by_book, less, beyond, counted: entry.counted.is_some() })
}

/// The rows of stock at a bin, those that are for anyone first.
fn rows<'p>(plan: &Plan<'p>, part: PartId, place: &str) -> impl Iterator<Item = &'p Stock> {
    let (plant, place) = (plan.plant, fold(place));
    let own = plant.stock.iter().filter(move |row| row.part == part && row.hold.is_none());
    let at = move |row: &&Stock| {
        let lies = match (row.location.as_str(), row.lineside) {
            ("", Some(dest)) => format!("at {}", plant.dest(dest).code),
            ("", None) => plant.part(part).location.clone(),
            (location, _) => location.to_owned(),
        };
        fold(&lies) == place && (row.reserved.is_some() || row.lineside.is_none())
    };
    let here: Vec<&Stock> = own.filter(at).collect();
    let (loose, reserved): (Vec<&Stock>, Vec<&Stock>) = here.into_iter().partition(|row| row.reserved.is_none());
    loose.into_iter().chain(reserved)
}

/// The rows of `Stock` as the count has them.
pub fn edits(plan: &Plan<'_>, book: &Book, count: &WrongCount) -> Vec<Edit> {
    let uom = plan.plant.part(count.part).uom.as_str();
    let mut less = count.less;
    let mut edits = Vec::new();
    for row in rows(plan, count.part, &count.place) {
        // What is more lies with what is there for anyone.
        let gone = if less < Quantity::ZERO && row.reserved.is_none() { less } else { less.min(row.qty) };
        if less < Quantity::ZERO && row.reserved.is_some() || gone.is_zero() {
            continue;
        }
        less -= gone;
        edits.push(set(book, row.row, row.qty - gone, uom));
    }
    if less < Quantity::ZERO {
        edits.push(add(plan, count, Quantity::ZERO - less));
    }
    edits
}

fn column(name: &str) -> Option<usize> {
    Table::Stock.spec().columns().position(|column| column == name)
}

fn edit(act: Act, rows: WhichRows, cells: Vec<(&str, String)>) -> Edit {
    let cells = cells.into_iter().filter_map(|(name, value)| Some((column(name)?, value))).collect();
    Edit { act, table: Table::Stock.spec(), rows, cells, text: "Stock".to_owned() }
}

/// A row with another quantity; where it names a unit of measure, in the part's own.
fn set(book: &Book, row: u32, qty: Quantity, uom: &str) -> Edit {
    let names_uom = book.table(Table::Stock).zip(column("uom")).and_then(|(table, uom)| {
        let row = table.rows.numbered(row)?;
        Some(!table.cell(row, uom).trim().is_empty())
    });
    let mut cells = vec![("qty", qty.to_string())];
    cells.extend((names_uom == Some(true)).then(|| ("uom", uom.to_owned())));
    edit(Act::Set, WhichRows::Number(row), cells)
}

/// A row more, where the book has none for anyone there.
fn add(plan: &Plan<'_>, count: &WrongCount, qty: Quantity) -> Edit {
    let code = plan.plant.part(count.part).code.clone();
    let cells = vec![("part", code), ("qty", qty.to_string()), ("location", count.place.clone())];
    edit(Act::Add, WhichRows::One(Vec::new()), cells)
}
