//! A row of a table by the names of its columns, whether a plan in memory holds it or a file did.

use super::code::{Code, Codes};
use crate::base::{Date, Moment, MustBe, Quantity};
use crate::plan::Plan;
use crate::report::table::{Chunk, Kind, Table};

/// A value that is needed and not there, or not of its column's kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// Its heading in the table.
    pub column: &'static str,
    /// What should stand there.
    pub expected: &'static str,
}

/// What the rows of a table are read by: its columns, and the codes that numbers stand for in those of codes and texts.
pub struct Columns {
    /// The table's name.
    pub table: &'static str,
    names: Vec<(&'static str, Kind)>,
    /// For each column of codes or texts what stands at which place of its list.
    lists: Vec<Vec<Code>>,
    blank: Code,
}

impl Columns {
    /// Of a table whose lists are filled row by row.
    pub fn of(table: &Table, codes: &mut Codes) -> Self {
        let names: Vec<(&'static str, Kind)> = table.columns().collect();
        let lists = vec![Vec::new(); names.len()];
        Self { table: table.name, names, lists, blank: codes.of("") }
    }

    /// Of a table of a plan, with its lists.
    pub fn of_plan(table: &Table, plan: &Plan<'_>, codes: &mut Codes) -> Self {
        let mut columns = Self::of(table, codes);
        for ((_, kind), list) in columns.names.iter().zip(&mut columns.lists) {
            if let Kind::Text(texts) | Kind::Code(texts) = kind {
                *list = texts.texts(plan).iter().map(|text| codes.of(text)).collect();
            }
        }
        columns
    }

    /// Puts one code into the list of a column, instead of what it held.
    pub fn put(&mut self, column: usize, code: Code) {
        self.lists[column] = vec![code];
    }
}

/// A row being read.
pub struct Cells<'r> {
    columns: &'r Columns,
    chunk: &'r Chunk,
    row: usize,
    /// The column behind the one that was read last: they are read in about their order.
    next: usize,
}

impl<'r> Cells<'r> {
    /// A row of some, whose columns stand in the order of the table.
    pub fn of(columns: &'r Columns, chunk: &'r Chunk, row: usize) -> Self {
        Self { columns, chunk, row, next: 0 }
    }

    /// The number in a column that holds what it should; none where the cell is blank.
    fn number(
        &mut self,
        column: &'static str,
        expected: &'static str,
        is: fn(Kind) -> bool,
    ) -> Result<(usize, Option<i64>), Wrong> {
        let wrong = |expected| Wrong { column, expected };
        let names = &self.columns.names;
        let mut places = (self.next..names.len()).chain(0..self.next);
        let at = places.find(|at| names[*at].0 == column).ok_or(wrong("a column of this name"))?;
        if !is(names[at].1) {
            return Err(wrong(expected));
        }
        self.next = at + 1;
        let cells = &self.chunk.columns[at];
        Ok((at, cells.there[self.row].then(|| cells.values[self.row])))
    }

    /// A code or a word; blank where nothing stands there.
    pub fn code(&mut self, column: &'static str) -> Result<Code, Wrong> {
        let (at, place) = self.number(column, "a text", |kind| matches!(kind, Kind::Text(_) | Kind::Code(_)))?;
        let Some(place) = place else { return Ok(self.columns.blank.clone()) };
        let code = usize::try_from(place).ok().and_then(|place| self.columns.lists[at].get(place));
        Ok(code.must("a row of a table names a place that the list of its column does not have").clone())
    }

    /// Several words with spaces between.
    pub fn words(&mut self, column: &'static str) -> Result<Vec<Code>, Wrong> {
        Ok(self.code(column)?.text().split_whitespace().map(Code::from).collect())
    }

    /// A quantity.
    pub fn quantity(&mut self, column: &'static str) -> Result<Quantity, Wrong> {
        let expected = "a quantity";
        let (_, number) = self.number(column, expected, |kind| kind == Kind::Quantity)?;
        number.map(Quantity::from_millionths).ok_or(Wrong { column, expected })
    }

    /// A whole number.
    pub fn whole(&mut self, column: &'static str) -> Result<i64, Wrong> {
        let expected = "a whole number";
        let (_, number) = self.number(column, expected, |kind| kind == Kind::Whole)?;
        number.ok_or(Wrong { column, expected })
    }

    /// A date and time.
    pub fn moment(&mut self, column: &'static str) -> Result<Moment, Wrong> {
        self.time(column)?.ok_or(Wrong { column, expected: "a date and time" })
    }

    /// A date and time that may be missing.
    pub fn time(&mut self, column: &'static str) -> Result<Option<Moment>, Wrong> {
        let (_, number) = self.number(column, "a date and time", |kind| kind == Kind::Moment)?;
        Ok(number.map(Moment::from_seconds))
    }

    /// A date.
    pub fn date(&mut self, column: &'static str) -> Result<Date, Wrong> {
        self.day(column)?.ok_or(Wrong { column, expected: "a date" })
    }

    /// A date that may be missing.
    pub fn day(&mut self, column: &'static str) -> Result<Option<Date>, Wrong> {
        let expected = "a date";
        let (_, number) = self.number(column, expected, |kind| kind == Kind::Date)?;
        let days = number.map(i32::try_from).transpose().map_err(|_| Wrong { column, expected })?;
        Ok(days.map(Date::from_days))
    }
}
