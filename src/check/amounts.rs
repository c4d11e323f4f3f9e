//! What a book has of each part: together with all that is asked of it, it must stay in the range of a quantity.

use super::kinds::TOO_MUCH;
use super::limits::MOST_OF_A_PART;
use super::plant::{Issue, Part, Plant};
use crate::base::{Finding, Findings, PartId, Total};
use crate::book::Table;
use itertools::Itertools;
use std::cmp::Reverse;

/// How many rows of a source are named.
const NAMED: usize = 3;

/// Where some of an amount comes from.
pub struct Source {
    /// What it is, such as `in stock`.
    what: &'static str,
    /// The table it stands in.
    table: Table,
    /// How much it is.
    amount: Total,
    /// The rows, each with how much of that where it is known.
    rows: Vec<(u32, Total)>,
}

impl Source {
    /// A source, from its rows.
    pub fn new(what: &'static str, table: Table, rows: impl IntoIterator<Item = (u32, Total)>) -> Self {
        let rows: Vec<(u32, Total)> = rows.into_iter().collect();
        Self { what, table, amount: rows.iter().map(|(_, amount)| *amount).sum(), rows }
    }

    /// A source of which it is not known which row has how much.
    pub fn of_all(what: &'static str, table: Table, amount: Total, rows: impl IntoIterator<Item = u32>) -> Self {
        Self { what, table, amount, rows: rows.into_iter().map(|row| (row, Total::ZERO)).collect() }
    }

    /// `in stock 9000 (Stock.csv rows 2, 3, 4 and 6 more)`, the rows with the most first.
    fn words(mut self, plant: &Plant) -> String {
        let amount = self.amount;
        self.rows.sort_unstable();
        let mut rows: Vec<(u32, Total)> = Vec::new();
        for same in self.rows.chunk_by(|a, b| a.0 == b.0) {
            rows.push((same[0].0, same.iter().map(|(_, amount)| *amount).sum()));
        }
        rows.sort_by_key(|(row, amount)| (Reverse(*amount), *row));
        let named = rows.iter().take(NAMED).map(|(row, _)| row).join(", ");
        let more = rows.len().saturating_sub(NAMED);
        let more = if more > 0 { format!(" and {more} more") } else { String::new() };
        let word = if rows.len() == 1 { "row" } else { "rows" };
        format!("{} {amount} ({} {word} {named}{more})", self.what, plant.place(self.table, 0, ""))
    }
}

/// What the book itself has of each part and asks of it, by part: stock, receipts, extras, and what its row of `Parts` says.
pub fn of_parts(plant: &Plant) -> Vec<Total> {
    let mut all: Vec<Total> = plant.parts.iter().map(|part| own(plant, part)).collect();
    plant.stock.iter().for_each(|row| all[row.part.at()] += row.qty.into());
    plant.receipts.iter().for_each(|row| all[row.part.at()] += row.qty.into());
    plant.extras.iter().for_each(|row| all[row.part.at()] += row.qty.into());
    all
}

/// Safety stock, what an order is rounded up to, and a pack begun at each place.
fn own(plant: &Plant, part: &Part) -> Total {
    let order = [Some(part.safety_stock), Some(part.minimum_buy), part.buy_multiple];
    let packs = part.pack.filter(|_| part.issue == Issue::Bulk).map(|pack| Total::times(pack, plant.dests.len()));
    order.into_iter().flatten().sum::<Total>() + packs.unwrap_or(Total::ZERO)
}

/// Where that comes from, for one part.
fn sources(plant: &Plant, id: PartId) -> Vec<Source> {
    let part = plant.part(id);
    let stock = plant.stock.iter().filter(|row| row.part == id).map(|row| (row.row, row.qty.into()));
    let receipts = plant.receipts.iter().filter(|row| row.part == id).map(|row| (row.row, row.qty.into()));
    let extras = plant.extras.iter().filter(|row| row.part == id).map(|row| (row.row, row.qty.into()));
    vec![
        Source::new("in stock", Table::Stock, stock),
        Source::new("in receipts", Table::Receipts, receipts),
        Source::new("in extras", Table::Extras, extras),
        Source::new("in safety stock, order and pack quantities", Table::Parts, [(part.row, own(plant, part))]),
    ]
}

/// Whether so much of a part is too much.
pub fn too_much(amount: Total) -> bool {
    amount >= MOST_OF_A_PART.into()
}

/// The finding of a part of which there is too much: what the book itself has of it, and more that is asked of it.
pub fn finding(plant: &Plant, id: PartId, more: Vec<Source>) -> Finding {
    with_words(plant, id, more, "comes to")
}

/// The finding of a part of which so much is asked in one place already that the rest was not added up.
pub fn finding_at_least(plant: &Plant, id: PartId, more: Source) -> Finding {
    with_words(plant, id, vec![more], "comes to at least")
}

fn with_words(plant: &Plant, id: PartId, more: Vec<Source>, comes_to: &str) -> Finding {
    let part = plant.part(id);
    let sources: Vec<Source> = sources(plant, id).into_iter().chain(more).collect();
    let all: Total = sources.iter().map(|source| source.amount).sum();
    let some = sources.into_iter().filter(|source| source.amount > Total::ZERO);
    let words = some.sorted_by_key(|source| Reverse(source.amount)).map(|source| source.words(plant)).join("; ");
    let uom = &part.uom;
    let message = format!(
        "what the book has of it and asks of it {comes_to} {all} {uom} and must stay below {MOST_OF_A_PART} {uom}: {words}"
    );
    Finding::new(&TOO_MUCH, plant.place(Table::Parts, part.row, "part"), &part.code, message)
}

/// Reports the parts of which the book alone has too much.
pub fn report(plant: &Plant, findings: &mut Findings) {
    let all = of_parts(plant).into_iter().enumerate().filter(|(_, amount)| too_much(*amount));
    all.for_each(|(part, _)| findings.add(finding(plant, PartId::of(part), Vec::new())));
}
