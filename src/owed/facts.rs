//! What comes of misses as facts for programs.

use super::text::{COLUMNS, NOTHING_CHANGED, cells};
use super::{Owed, WrongCount};
use crate::base::{Date, Moment, Quantity};
use crate::plan::Plan;
use crate::trial::{Act, Edit, WhichRows};
use itertools::Itertools;
use serde::Serialize;
use std::collections::BTreeMap;

/// What comes of a list of misses.
#[derive(Debug, Serialize)]
pub struct Facts<'p> {
    /// Its name, as it was given.
    pub book: &'p str,
    /// The moment of the list.
    pub as_of: Moment,
    /// The day of the list.
    pub day: Date,
    /// How many misses there are.
    pub misses: usize,
    /// The rows of `Extras` that are owed, by their columns.
    pub owed: Vec<BTreeMap<&'static str, String>>,
    /// The bins whose count is wrong.
    pub counts: Vec<CountFacts<'p>>,
    /// The counts as edits of `Stock`, in the words of `try`, `add` before a new row.
    pub edits: Vec<String>,
    /// What the line loses, planned with these counts as of the same moment, in words.
    pub line_with_counts: String,
    /// The same by the book as it is.
    pub line_by_the_book: String,
    /// What is still to be done.
    pub to_do: &'static str,
}

/// A bin whose count is wrong.
#[derive(Debug, Serialize)]
pub struct CountFacts<'p> {
    /// The code of what lies there.
    pub part: &'p str,
    /// Where it lies; blank where the book does not say.
    pub place: String,
    /// The part's unit of measure.
    pub uom: &'p str,
    /// What the book has there.
    pub by_book: Quantity,
    /// How much less was there; less than nothing where it was more.
    pub less: Quantity,
    /// What of that is no stock of the book, but was to come by then.
    pub was_to_come: Quantity,
    /// Whether somebody counted; else the bin is taken to be empty.
    pub counted: bool,
}

/// The facts, with what the line loses with the counts and without.
pub fn facts<'p>(plan: &Plan<'p>, owed: &Owed, [with, without]: [&str; 2]) -> Facts<'p> {
    let plant = plan.plant;
    let count = |wrong: &WrongCount| {
        let part = &plant.parts[wrong.part.at()];
        CountFacts {
            part: &part.code,
            place: wrong.place.clone(),
            uom: &part.uom,
            by_book: wrong.by_book,
            less: wrong.less,
            was_to_come: wrong.beyond,
            counted: wrong.counted,
        }
    };
    Facts {
        book: &plant.book,
        as_of: plant.as_of,
        day: plan.day,
        misses: owed.misses,
        owed: owed.rows.iter().map(|row| COLUMNS.into_iter().zip(cells(plan, row)).collect()).collect(),
        counts: owed.counts.iter().map(count).collect(),
        edits: owed.edits.iter().map(words).collect(),
        line_with_counts: with.to_owned(),
        line_by_the_book: without.to_owned(),
        to_do: NOTHING_CHANGED,
    }
}

/// An edit of a count as `try` reads it.
fn words(edit: &Edit) -> String {
    let cells = edit.cells.iter().map(|(column, value)| {
        let value = if value.contains([',', '=', '"', '\'']) { crate::trial::word(value) } else { value.clone() };
        format!("{}={value}", edit.table.all[*column].name)
    });
    let row = match &edit.rows {
        WhichRows::Number(number) => format!(" row {number}"),
        _ => String::new(),
    };
    let add = if edit.act == Act::Add { "add " } else { "" };
    format!("{add}{}{row} {}", edit.table.name, cells.collect_vec().join(", "))
}
