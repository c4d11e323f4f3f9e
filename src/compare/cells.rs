//! A row of a table by the names of its columns.

use super::code::{Code, Codes};
use crate::base::{Date, Moment, Quantity};
use crate::report::table::{Table, Value};

/// A value that is needed and not there, or not of its column's kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// The column.
    pub column: &'static str,
    /// What should stand there.
    pub expected: &'static str,
}

/// A row being read.
pub struct Cells<'r> {
    table: &'r Table,
    row: &'r [Value<'r>],
    codes: &'r mut Codes,
}

impl<'r> Cells<'r> {
    /// A row, its values in the order of the table's columns.
    pub fn of(table: &'r Table, row: &'r [Value<'r>], codes: &'r mut Codes) -> Self {
        Self { table, row, codes }
    }

    fn value(&self, column: &'static str) -> Result<&'r Value<'r>, Wrong> {
        let at = self.table.columns().position(|(name, _)| name == column);
        at.and_then(|at| self.row.get(at)).ok_or(Wrong { column, expected: "a column of this name" })
    }

    /// A code or a word; blank where nothing stands there.
    pub fn code(&mut self, column: &'static str) -> Result<Code, Wrong> {
        match self.value(column)? {
            Value::Text(text) => Ok(self.codes.of(text)),
            Value::Blank => Ok(self.codes.of("")),
            _ => Err(Wrong { column, expected: "a text" }),
        }
    }

    /// Several words with spaces between.
    pub fn words(&mut self, column: &'static str) -> Result<Vec<Code>, Wrong> {
        match self.value(column)? {
            Value::Text(text) => Ok(text.split_whitespace().map(|word| self.codes.of(word)).collect()),
            Value::Blank => Ok(Vec::new()),
            _ => Err(Wrong { column, expected: "a text" }),
        }
    }

    /// A quantity.
    pub fn quantity(&self, column: &'static str) -> Result<Quantity, Wrong> {
        match self.value(column)? {
            Value::Quantity(quantity) => Ok(*quantity),
            _ => Err(Wrong { column, expected: "a quantity" }),
        }
    }

    /// A whole number.
    pub fn whole(&self, column: &'static str) -> Result<i64, Wrong> {
        match self.value(column)? {
            Value::Whole(number) => Ok(*number),
            _ => Err(Wrong { column, expected: "a whole number" }),
        }
    }

    /// A date and time.
    pub fn moment(&self, column: &'static str) -> Result<Moment, Wrong> {
        self.time(column)?.ok_or(Wrong { column, expected: "a date and time" })
    }

    /// A date and time that may be missing.
    pub fn time(&self, column: &'static str) -> Result<Option<Moment>, Wrong> {
        match self.value(column)? {
            Value::Moment(moment) => Ok(Some(*moment)),
            Value::Blank => Ok(None),
            _ => Err(Wrong { column, expected: "a date and time" }),
        }
    }

    /// A date.
    pub fn date(&self, column: &'static str) -> Result<Date, Wrong> {
        self.day(column)?.ok_or(Wrong { column, expected: "a date" })
    }

    /// A date that may be missing.
    pub fn day(&self, column: &'static str) -> Result<Option<Date>, Wrong> {
        match self.value(column)? {
            Value::Date(date) => Ok(Some(*date)),
            Value::Blank => Ok(None),
            _ => Err(Wrong { column, expected: "a date" }),
        }
    }
}
