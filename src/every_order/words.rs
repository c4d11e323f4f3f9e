//! What is told of an order that could be placed.

use super::bill::Bill;
use crate::base::{NameId, Quantity, Total, fold};
use crate::book::Table;
use crate::check::{Content, Plant};
use itertools::Itertools;

/// So many bill lines are named in one finding.
const MOST_LINES: usize = 8;

/// A row of `Content` that is broken.
pub(super) struct Broken<'a> {
    row: &'a Content,
    /// How many there are.
    pub total: Total,
    /// Whether that is too many.
    pub more: bool,
    /// The ways that bring them.
    there: Vec<usize>,
}

impl<'a> Broken<'a> {
    /// Whether a row is broken where, of the ways to its kind, those count whose guard holds.
    pub fn of(row: &'a Content, bill: &Bill, ways: &[usize], holds: impl Fn(u32) -> bool) -> Option<Self> {
        let there = ways.iter().copied().filter(|way| holds(bill.ways[*way].guard)).collect_vec();
        let total = there.iter().map(|way| Total::from(bill.ways[*way].qty)).fold(Total::ZERO, |a, b| a + b);
        let more = total > row.most.into();
        (more || total < row.least.into()).then_some(Self { row, total, more, there })
    }

    /// The column of the number that is broken.
    pub fn column(&self) -> &'static str {
        if self.more { "most" } else { "least" }
    }

    /// Who has how many, by which lines, and what the row says.
    pub fn told(&self, plant: &Plant, who: &str, bill: &Bill) -> String {
        let kind = &plant.kinds[self.row.kind as usize];
        let allowed = |word: &str, number: Quantity| format!("{word} {number}");
        let allowed = if self.more { allowed("at most", self.row.most) } else { allowed("at least", self.row.least) };
        let place = plant.place(Table::Content, self.row.row, self.column());
        let message = if self.row.message.is_empty() { String::new() } else { format!(": {}", self.row.message) };
        let lines = lines(plant, bill, &self.there);
        format!("{who} {} of the kind {kind}{lines}, and {place} says {allowed}{message}", self.total)
    }
}

/// ` (FR-1: Bills.csv row 12; FR-2: row 40)`.
fn lines(plant: &Plant, bill: &Bill, there: &[usize]) -> String {
    let rows = there.iter().map(|way| {
        let way = &bill.ways[*way];
        (plant.bills[way.line as usize].row, way.part)
    });
    let rows = rows.unique().collect_vec();
    if rows.is_empty() {
        return String::new();
    }
    let named = rows
        .iter()
        .take(MOST_LINES)
        .map(|(row, part)| format!("{}: {}", plant.part(*part).code, plant.place(Table::Bills, *row, "")));
    let more = rows.len().saturating_sub(MOST_LINES);
    let more = if more > 0 { format!("; and {more} lines more") } else { String::new() };
    format!(" ({}{more})", named.collect_vec().join("; "))
}

/// An order's mentions as they are compared: by code, what is ordered before what is taken away.
pub(super) fn by_code(plant: &Plant, order: &[(NameId, bool)]) -> Vec<(String, bool)> {
    order.iter().map(|(option, away)| (fold(&plant.options[option.at()].code), *away)).sorted().collect()
}

/// An order as the column `options` has it, in code order; `nothing` where it is empty.
pub(super) fn order(plant: &Plant, order: &[(NameId, bool)]) -> String {
    if order.is_empty() {
        return "nothing".to_owned();
    }
    let codes = order
        .iter()
        .map(|(option, away)| format!("{}{}", if *away { "-" } else { "" }, plant.options[option.at()].code));
    codes.collect_vec().join(" ")
}
