//! What was not there on the walks of a pull list: what is owed for it, and the bins whose count it proves wrong.
//!
//! Rule `misses`.

mod counts;
mod facts;
mod read;
mod sheet;
mod text;

pub use counts::WrongCount;
pub use facts::{Facts, facts};
pub use read::{Entry, Head, Misses, read};
pub use sheet::workbook;
pub use text::{rows_as_csv, text};

use crate::base::{DestId, Findings, Moment, OwnerId, PartId, Quantity};
use crate::book::Book;
use crate::plan::Plan;
use crate::report::listed::{ListedStop, listed};
use crate::trial::Edit;
use itertools::Itertools;
use std::collections::BTreeMap;

/// A row of `Extras` that is owed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwedRow {
    /// What was missed.
    pub part: PartId,
    /// How much was not there.
    pub qty: Quantity,
    /// Where it goes.
    pub to: DestId,
    /// When it is needed.
    pub needed: Moment,
    /// Whose it is; nobody's of bulk.
    pub owner: Option<OwnerId>,
    /// Where and by whom it was missed.
    pub reason: String,
}

/// What comes of a list of misses.
#[derive(Debug, Default)]
pub struct Owed {
    /// How many misses there are.
    pub misses: usize,
    /// The rows of `Extras`, in the order of the walks.
    pub rows: Vec<OwedRow>,
    /// The bins whose count is wrong, in the order of the walks.
    pub counts: Vec<WrongCount>,
    /// The counts as edits of the book.
    pub edits: Vec<Edit>,
}

/// What comes of misses; nothing where one of them can't be right, or they are of another list.
///
/// # Errors
/// What is wrong with them, at their cells.
pub fn owed(plan: &Plan<'_>, book: &Book, misses: &Misses) -> Result<Owed, Findings> {
    let stops = listed(plan);
    let mut findings = misses.head.findings(plan, &stops);
    if findings.any_error() {
        return Err(findings);
    }
    let found = misses.find(plan, &stops, &mut findings);
    if findings.any_error() {
        return Err(findings);
    }
    let rows = found.iter().flat_map(|(stop, entry)| owed_at(stop, entry)).collect();
    let mut of_bins: BTreeMap<(PartId, &str), Vec<(&ListedStop, &Entry)>> = BTreeMap::new();
    for (stop, entry) in &found {
        of_bins.entry((stop.part, stop.place.as_str())).or_default().push((stop, entry));
    }
    let (mut counts, mut edits) = (Vec::new(), Vec::new());
    for misses in of_bins.into_values() {
        if let Some(count) = counts::wrong(plan, &misses) {
            edits.extend(counts::edits(plan, book, &count));
            counts.push(count);
        }
    }
    Ok(Owed { misses: found.len(), rows, counts, edits })
}

/// What is owed for a miss: those who need it first have had what was there.
fn owed_at(stop: &ListedStop, entry: &Entry) -> Vec<OwedRow> {
    let mut short = entry.short;
    let in_turn = stop.takes.iter().sorted_by_key(|take| (take.need, take.owner, take.to)).rev();
    let mut rows: Vec<OwedRow> = Vec::new();
    for take in in_turn {
        let qty = short.min(take.qty);
        short -= qty;
        if qty.is_positive() {
            let by = if entry.who.is_empty() { String::new() } else { format!(", {}", entry.who) };
            let reason = format!("not there: {} run, walk {}, stop {}{by}", stop.run, stop.walk, stop.stop);
            rows.push(OwedRow { part: stop.part, qty, to: take.to, needed: take.need, owner: take.owner, reason });
        }
    }
    rows.reverse();
    rows
}
