//! How a table says its columns: for each its name, what it holds, and where its value stands in a row. Rows are handed
//! over some at a time, and read column by column, as numbers; text stays in lists.

use super::lists::List;
use crate::base::{Date, Moment, Quantity};
use crate::plan::Plan;
use crate::supply::Supply;
use std::ops::Range;

/// How many rows are read at a time at most: few enough to stay near the processor.
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

/// A row of a table, and where rows like it stand in the plan.
pub(super) trait Row: Copy + 'static {
    /// What holds some of them, one after the other.
    type Some: ?Sized + Sync;
    /// How many it holds.
    fn count(some: &Self::Some) -> usize;
    /// Some of those.
    fn each(some: &Self::Some, at: Range<usize>) -> impl Iterator<Item = Self>;
}

/// A column of a table whose rows are of one type.
pub(super) trait ColumnOf<R: Row>: Sync {
    fn name(&self) -> &'static str;
    fn kind(&self) -> Kind;
    fn fill(&self, plan: &Plan<'_>, some: &R::Some, at: Range<usize>, cells: &mut Cells);
}

/// A column by what gives the number of its cell in a row. Each is compiled for itself, so that of a row only that is read.
pub(super) struct Valued<G> {
    name: &'static str,
    kind: Kind,
    value: G,
}

impl<R: Row, G: Fn(&Plan<'_>, &R) -> Option<i64> + Sync> ColumnOf<R> for Valued<G> {
    fn name(&self) -> &'static str {
        self.name
    }

    fn kind(&self) -> Kind {
        self.kind
    }

    fn fill(&self, plan: &Plan<'_>, some: &R::Some, at: Range<usize>, cells: &mut Cells) {
        cells.values.resize(at.len(), 0);
        cells.there.resize(at.len(), false);
        // Twice, since of most columns it is known without looking that every cell holds something.
        for (row, cell) in R::each(some, at.clone()).zip(&mut cells.values) {
            *cell = (self.value)(plan, &row).unwrap_or_default();
        }
        for (row, there) in R::each(some, at).zip(&mut cells.there) {
            *there = (self.value)(plan, &row).is_some();
        }
    }
}

/// A column of text, by its place in a list.
pub(super) const fn text<R: Row>(
    name: &'static str,
    list: List,
    place: impl Fn(&Plan<'_>, &R) -> Option<usize> + Sync,
) -> Valued<impl Fn(&Plan<'_>, &R) -> Option<i64> + Sync> {
    let value = move |plan: &Plan<'_>, row: &R| place(plan, row).map(|place| place as i64);
    Valued { name, kind: Kind::Text(list), value }
}

/// A column of codes, by their place in a list.
pub(super) const fn code<R: Row>(
    name: &'static str,
    list: List,
    place: impl Fn(&Plan<'_>, &R) -> Option<usize> + Sync,
) -> Valued<impl Fn(&Plan<'_>, &R) -> Option<i64> + Sync> {
    let value = move |plan: &Plan<'_>, row: &R| place(plan, row).map(|place| place as i64);
    Valued { name, kind: Kind::Code(list), value }
}

/// A column of a few words, by their place among them.
pub(super) const fn word<R: Row>(
    name: &'static str,
    words: &'static [&'static str],
    place: impl Fn(&Plan<'_>, &R) -> usize + Sync,
) -> Valued<impl Fn(&Plan<'_>, &R) -> Option<i64> + Sync> {
    let value = move |plan: &Plan<'_>, row: &R| Some(place(plan, row) as i64);
    Valued { name, kind: Kind::Code(List::Words(words)), value }
}

/// A column of quantities.
pub(super) const fn quantity<R: Row>(
    name: &'static str,
    quantity: impl Fn(&Plan<'_>, &R) -> Quantity + Sync,
) -> Valued<impl Fn(&Plan<'_>, &R) -> Option<i64> + Sync> {
    let value = move |plan: &Plan<'_>, row: &R| Some(quantity(plan, row).millionths());
    Valued { name, kind: Kind::Quantity, value }
}

/// A column of dates and times.
pub(super) const fn moment<R: Row>(
    name: &'static str,
    moment: impl Fn(&Plan<'_>, &R) -> Option<Moment> + Sync,
) -> Valued<impl Fn(&Plan<'_>, &R) -> Option<i64> + Sync> {
    let value = move |plan: &Plan<'_>, row: &R| moment(plan, row).map(Moment::seconds);
    Valued { name, kind: Kind::Moment, value }
}

/// A column of dates.
pub(super) const fn date<R: Row>(
    name: &'static str,
    date: impl Fn(&Plan<'_>, &R) -> Option<Date> + Sync,
) -> Valued<impl Fn(&Plan<'_>, &R) -> Option<i64> + Sync> {
    let value = move |plan: &Plan<'_>, row: &R| date(plan, row).map(|date| i64::from(date.days()));
    Valued { name, kind: Kind::Date, value }
}

/// A column of whole numbers.
pub(super) const fn whole<R: Row>(
    name: &'static str,
    number: impl Fn(&Plan<'_>, &R) -> Option<i64> + Sync,
) -> Valued<impl Fn(&Plan<'_>, &R) -> Option<i64> + Sync> {
    Valued { name, kind: Kind::Whole, value: number }
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
}

/// Some rows of a table, column by column.
#[derive(Debug, Default)]
pub struct Chunk {
    /// How many.
    pub rows: usize,
    /// The columns, in the order of the table.
    pub columns: Vec<Cells>,
}

impl Chunk {
    /// Reads some rows.
    pub fn fill(&mut self, lot: &dyn Lot, at: Range<usize>) {
        self.rows = at.len();
        self.columns.resize_with(lot.columns(), Cells::default);
        for (i, cells) in self.columns.iter_mut().enumerate() {
            lot.fill(i, at.clone(), cells);
        }
    }
}

/// Some rows of a table, still where the plan has them.
pub trait Lot: Sync {
    /// How many.
    fn count(&self) -> usize;
    /// How many columns the table has.
    fn columns(&self) -> usize;
    /// Reads the cells of one column, for some of the rows.
    fn fill(&self, column: usize, at: Range<usize>, cells: &mut Cells);
}

/// So many rows in pieces that are read at a time.
pub fn pieces(count: usize) -> impl Iterator<Item = Range<usize>> {
    (0..count).step_by(AT_A_TIME).map(move |from| from..count.min(from + AT_A_TIME))
}

/// What rows are handed to.
pub(super) type Take<'t> = dyn FnMut(&dyn Lot) + 't;

/// The columns of a table, and its rows.
pub(super) struct Of<R: Row> {
    pub(super) columns: &'static [&'static dyn ColumnOf<R>],
    pub(super) walk: RowSource<R>,
}

/// What rows of the plan are handed to.
type Visit<'v, S> = dyn FnMut(&S) + 'v;

/// How a table's rows are walked.
pub(super) enum RowSource<R: Row> {
    /// All of them, some at a time.
    Whole(fn(&Plan<'_>, &mut Visit<'_, R::Some>)),
    /// Part by part.
    ByPart(fn(&Supply) -> &R::Some),
}

/// A table, whatever its rows are.
pub(super) trait Walked: Sync {
    /// The name of a column and what it holds.
    fn column(&self, at: usize) -> Option<(&'static str, Kind)>;
    /// Whether its rows follow from each part's supply alone.
    fn by_part(&self) -> bool;
    /// The rows of one part; `None` where the table is not walked part by part.
    fn of_part<'s>(&'s self, plan: &'s Plan<'_>, supply: &'s Supply) -> Option<Box<dyn Lot + 's>>;
    /// Hands over all rows.
    fn all_rows(&self, plan: &Plan<'_>, take: &mut Take<'_>);
}

impl<R: Row> Walked for Of<R> {
    fn column(&self, at: usize) -> Option<(&'static str, Kind)> {
        self.columns.get(at).map(|column| (column.name(), column.kind()))
    }

    fn by_part(&self) -> bool {
        matches!(self.walk, RowSource::ByPart(_))
    }

    fn of_part<'s>(&'s self, plan: &'s Plan<'_>, supply: &'s Supply) -> Option<Box<dyn Lot + 's>> {
        let RowSource::ByPart(rows) = self.walk else { return None };
        Some(Box::new(There { of: self, plan, some: rows(supply) }))
    }

    fn all_rows(&self, plan: &Plan<'_>, take: &mut Take<'_>) {
        match self.walk {
            RowSource::ByPart(rows) => plan.each_supply(|supply| take(&There { of: self, plan, some: rows(supply) })),
            RowSource::Whole(walk) => walk(plan, &mut |some| take(&There { of: self, plan, some })),
        }
    }
}

/// Rows of a table where the plan has them.
struct There<'s, 'p, R: Row> {
    of: &'s Of<R>,
    plan: &'s Plan<'p>,
    some: &'s R::Some,
}

impl<R: Row> Lot for There<'_, '_, R> {
    fn count(&self) -> usize {
        R::count(self.some)
    }

    fn columns(&self) -> usize {
        self.of.columns.len()
    }

    fn fill(&self, column: usize, at: Range<usize>, cells: &mut Cells) {
        self.of.columns[column].fill(self.plan, self.some, at, cells);
    }
}
