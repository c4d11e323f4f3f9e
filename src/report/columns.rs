//! How a table says its columns: for each its name, what it holds, and where its value stands in a row. Rows are handed
//! over some at a time, column by column, as numbers; text stays in lists.

use super::lists::List;
use crate::base::{Date, Moment, Quantity};
use crate::plan::Plan;
use crate::supply::Supply;
use std::borrow::Cow;

/// How many rows are handed over at a time at most: few enough to stay near the processor.
const AT_A_TIME: usize = 1 << 10;

/// What a column holds, and what its numbers stand for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Text of any kind: places in a list.
    Text(List),
    /// Codes and words of a list, written to Parquet as a dictionary: places in it.
    Code(List),
    /// Decimals with six places: millionths.
    Quantity,
    /// Local dates and times: seconds after 1970-01-01 00:00.
    Moment,
    /// Dates: days after 1970-01-01.
    Date,
    /// Whole numbers.
    Whole,
}

/// Where a value stands in a row of the plan.
type Get<R, T> = fn(&Plan<'_>, &R) -> T;

/// A column of a table whose rows are of one type.
pub(super) struct Column<R: 'static> {
    name: &'static str,
    value: Value<R>,
}

enum Value<R: 'static> {
    Text(List, Get<R, Option<usize>>),
    Code(List, Get<R, Option<usize>>),
    Word(&'static [&'static str], Get<R, &'static str>),
    Quantity(Get<R, Quantity>),
    Moment(Get<R, Option<Moment>>),
    Date(Get<R, Option<Date>>),
    Whole(Get<R, Option<i64>>),
}

/// A column of text, by its place in a list.
pub(super) const fn text<R>(name: &'static str, list: List, place: Get<R, Option<usize>>) -> Column<R> {
    Column { name, value: Value::Text(list, place) }
}

/// A column of codes, by their place in a list.
pub(super) const fn code<R>(name: &'static str, list: List, place: Get<R, Option<usize>>) -> Column<R> {
    Column { name, value: Value::Code(list, place) }
}

/// A column of a few words.
pub(super) const fn word<R>(
    name: &'static str,
    words: &'static [&'static str],
    word: Get<R, &'static str>,
) -> Column<R> {
    Column { name, value: Value::Word(words, word) }
}

/// A column of quantities.
pub(super) const fn quantity<R>(name: &'static str, quantity: Get<R, Quantity>) -> Column<R> {
    Column { name, value: Value::Quantity(quantity) }
}

/// A column of dates and times.
pub(super) const fn moment<R>(name: &'static str, moment: Get<R, Option<Moment>>) -> Column<R> {
    Column { name, value: Value::Moment(moment) }
}

/// A column of dates.
pub(super) const fn date<R>(name: &'static str, date: Get<R, Option<Date>>) -> Column<R> {
    Column { name, value: Value::Date(date) }
}

/// A column of whole numbers.
pub(super) const fn whole<R>(name: &'static str, number: Get<R, Option<i64>>) -> Column<R> {
    Column { name, value: Value::Whole(number) }
}

/// The cells of a column, one for each row.
#[derive(Debug, Default)]
pub struct Cells {
    /// What stands there, as the column's kind has it; anything where nothing does.
    pub values: Vec<i64>,
    /// Whether anything does.
    pub there: Vec<bool>,
}

impl Cells {
    /// Every cell in turn.
    pub fn iter(&self) -> impl Iterator<Item = Option<i64>> {
        self.values.iter().zip(&self.there).map(|(value, there)| there.then_some(*value))
    }

    fn fill<R>(&mut self, rows: &[R], mut value: impl FnMut(&R) -> Option<i64>) {
        self.values.resize(rows.len(), 0);
        self.there.resize(rows.len(), false);
        for ((row, cell), there) in rows.iter().zip(&mut self.values).zip(&mut self.there) {
            let value = value(row);
            (*cell, *there) = (value.unwrap_or_default(), value.is_some());
        }
    }
}

/// Some rows of a table, column by column.
#[derive(Debug, Default)]
pub struct Chunk {
    /// How many.
    pub rows: usize,
    /// The columns, in the order of the table.
    pub columns: Vec<Cells>,
}

/// What rows are handed to.
pub(super) type Take<'t> = dyn FnMut(&Chunk) + 't;

impl<R> Column<R> {
    fn kind(&self) -> Kind {
        match self.value {
            Value::Text(list, _) => Kind::Text(list),
            Value::Code(list, _) => Kind::Code(list),
            Value::Word(words, _) => Kind::Code(List::Words(words)),
            Value::Quantity(_) => Kind::Quantity,
            Value::Moment(_) => Kind::Moment,
            Value::Date(_) => Kind::Date,
            Value::Whole(_) => Kind::Whole,
        }
    }

    fn fill(&self, plan: &Plan<'_>, rows: &[R], cells: &mut Cells) {
        match self.value {
            Value::Text(_, place) | Value::Code(_, place) => {
                cells.fill(rows, |row| place(plan, row).map(|place| place as i64));
            }
            Value::Word(words, word) => {
                let mut places = Places { words, last: ("", words.len()) };
                cells.fill(rows, |row| Some(places.of(word(plan, row)) as i64));
            }
            Value::Quantity(get) => cells.fill(rows, |row| Some(get(plan, row).millionths())),
            Value::Moment(get) => cells.fill(rows, |row| get(plan, row).map(Moment::seconds)),
            Value::Date(get) => cells.fill(rows, |row| get(plan, row).map(|date| date.days().into())),
            Value::Whole(get) => cells.fill(rows, |row| get(plan, row)),
        }
    }
}

/// The places of words in their list; most rows have the word of the row before.
struct Places {
    words: &'static [&'static str],
    last: (&'static str, usize),
}

impl Places {
    /// That of a word; one behind the list where it is not in it.
    fn of(&mut self, word: &'static str) -> usize {
        if !std::ptr::eq(word, self.last.0) {
            let place = self.words.iter().position(|other| *other == word);
            self.last = (word, place.unwrap_or(self.words.len()));
        }
        self.last.1
    }
}

/// The columns of a table, and its rows.
pub(super) struct Of<R: Clone + 'static> {
    pub(super) columns: &'static [Column<R>],
    pub(super) walk: Walk<R>,
}

/// What rows of the plan are handed to.
type Visit<'v, R> = dyn FnMut(&[R]) + 'v;

/// How a table's rows are walked.
pub(super) enum Walk<R: Clone + 'static> {
    /// All of them, some at a time.
    Whole(fn(&Plan<'_>, &mut Visit<'_, R>)),
    /// Part by part.
    ByPart(for<'s> fn(&'s Supply) -> Cow<'s, [R]>),
}

/// A table, whatever its rows are.
pub(super) trait Walked: Sync {
    /// The name of a column and what it holds.
    fn column(&self, at: usize) -> Option<(&'static str, Kind)>;
    /// Whether its rows follow from each part's supply alone.
    fn by_part(&self) -> bool;
    /// Hands over the rows of one part, where the table is walked part by part. The chunk is room to work in.
    fn rows_of(&self, plan: &Plan<'_>, supply: &Supply, chunk: &mut Chunk, take: &mut Take<'_>);
    /// Hands over all rows.
    fn all_rows(&self, plan: &Plan<'_>, take: &mut Take<'_>);
}

impl<R: Clone + Sync> Walked for Of<R> {
    fn column(&self, at: usize) -> Option<(&'static str, Kind)> {
        self.columns.get(at).map(|column| (column.name, column.kind()))
    }

    fn by_part(&self) -> bool {
        matches!(self.walk, Walk::ByPart(_))
    }

    fn rows_of(&self, plan: &Plan<'_>, supply: &Supply, chunk: &mut Chunk, take: &mut Take<'_>) {
        if let Walk::ByPart(rows) = self.walk {
            self.hand_over(plan, &rows(supply), chunk, take);
        }
    }

    fn all_rows(&self, plan: &Plan<'_>, take: &mut Take<'_>) {
        let mut chunk = Chunk::default();
        match self.walk {
            Walk::ByPart(_) => plan.each_supply(|supply| self.rows_of(plan, supply, &mut chunk, take)),
            Walk::Whole(walk) => walk(plan, &mut |rows| self.hand_over(plan, rows, &mut chunk, take)),
        }
    }
}

impl<R: Clone> Of<R> {
    /// Hands rows over.
    fn hand_over(&self, plan: &Plan<'_>, rows: &[R], chunk: &mut Chunk, take: &mut Take<'_>) {
        chunk.columns.resize_with(self.columns.len(), Cells::default);
        for rows in rows.chunks(AT_A_TIME) {
            chunk.rows = rows.len();
            for (column, cells) in self.columns.iter().zip(&mut chunk.columns) {
                column.fill(plan, rows, cells);
            }
            take(chunk);
        }
    }
}
