//! Cells into values: each read reports, at its cell, what can't be read and what was expected there.

mod said;
mod when;

use super::kinds::{MISSING_VALUE, NOT_A_NUMBER, OUT_OF_RANGE, TOO_LONG};
use super::raw::RawTable;
use super::rows::Row;
use crate::base::{Date, Finding, Findings, Kind, MustBe, Place, Quantity, Ratio, Seconds};
use rayon::prelude::*;

/// How many rows are walked at a time.
const PIECE: usize = 10_000;

/// In letters: the longest a code may be.
const CODE_LETTERS: usize = 120;

/// A column of a table: its name in the contract, and where it stands in the file, if it does.
#[derive(Clone, Copy, Debug)]
pub struct BookColumn {
    name: &'static str,
    at: Option<usize>,
}

impl RawTable {
    /// The columns of these names, all of which the table's spec has.
    pub fn columns<const N: usize>(&self, names: [&'static str; N]) -> [BookColumn; N] {
        names.map(|name| {
            let index = self.shape.spec.columns().position(|known| known == name);
            let index = index.must("a column is asked for that the table's spec does not have");
            BookColumn { name, at: self.shape.columns[index].as_ref().map(|(at, _)| *at) }
        })
    }

    /// Walks the rows.
    pub fn each(&self, findings: &mut Findings, mut visit: impl FnMut(&mut Cells<'_>)) {
        for row in self.rows.iter() {
            visit(&mut Cells { table: self, row, findings });
        }
    }

    /// Walks the rows in pieces, several at a time; gives what was read, and what is wrong, in the order of the rows.
    pub fn in_pieces<T: Send>(&self, visit: impl Fn(usize, &mut Cells<'_>) -> Option<T> + Sync) -> (Vec<T>, Findings) {
        let pieces = self.rows.len().div_ceil(PIECE);
        let read = |piece: usize| {
            let mut findings = Findings::default();
            let rows = self.rows.iter().enumerate().skip(piece * PIECE).take(PIECE);
            let values = rows
                .filter_map(|(i, row)| visit(i, &mut Cells { table: self, row, findings: &mut findings }))
                .collect::<Vec<T>>();
            (values, findings)
        };
        let pieces: Vec<(Vec<T>, Findings)> = (0..pieces).into_par_iter().map(read).collect();
        let (mut all, mut findings) = (Vec::with_capacity(self.rows.len()), Findings::default());
        for (values, wrong) in pieces {
            all.extend(values);
            findings.extend(wrong);
        }
        (all, findings)
    }
}

/// A row being read.
pub struct Cells<'a> {
    table: &'a RawTable,
    row: Row<'a>,
    /// What is wrong is added here.
    pub findings: &'a mut Findings,
}

impl<'a> Cells<'a> {
    /// The row as the spreadsheet numbers it.
    pub fn number(&self) -> u32 {
        self.row.number()
    }

    /// The place of a cell.
    pub fn place(&self, column: BookColumn) -> Place {
        self.table.shape.place(self.row.number(), column.name)
    }

    /// The place of the row.
    pub fn row_place(&self) -> Place {
        self.table.shape.place(self.row.number(), "")
    }

    /// A cell's text, trimmed; blank where the column is absent.
    pub fn text(&self, column: BookColumn) -> &'a str {
        column.at.and_then(|at| self.row.get(at)).unwrap_or("").trim()
    }

    /// Reports something about a cell.
    pub fn report(&mut self, kind: &'static Kind, column: BookColumn, message: impl Into<String>) {
        self.report_near(kind, column, message, None);
    }

    /// Reports something about a cell, with the value that was probably meant.
    pub fn report_near(
        &mut self,
        kind: &'static Kind,
        column: BookColumn,
        message: impl Into<String>,
        near: Option<&str>,
    ) {
        let finding = Finding::new(kind, self.place(column), shown(self.text(column)), message).near(near);
        self.findings.add(finding);
    }

    /// A code that must be there.
    pub fn code(&mut self, column: BookColumn) -> Option<&'a str> {
        let text = self.text(column);
        if text.is_empty() {
            self.report(&MISSING_VALUE, column, format!("{} must not be blank", column.name));
            return None;
        }
        if text.chars().count() > CODE_LETTERS {
            self.report(&TOO_LONG, column, format!("a code has at most {CODE_LETTERS} letters"));
            return None;
        }
        Some(text)
    }

    /// Text as a number in the table's own form, exactly.
    pub fn parsed(&self, text: &str) -> Option<Ratio> {
        self.table.forms.number(text)
    }

    /// Text as a date in the table's own form.
    pub fn parsed_date(&self, text: &str) -> Option<Date> {
        self.table.forms.moment(text).filter(|(_, timed)| !timed).map(|(moment, _)| moment.date())
    }

    fn read<T>(
        &mut self,
        column: BookColumn,
        expected: impl Fn() -> String,
        kind: &'static Kind,
        parse: impl Fn(&str) -> Option<T>,
    ) -> Option<T> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        let value = parse(text);
        if value.is_none() {
            self.report(kind, column, format!("expected {}", expected()));
        }
        value
    }

    fn needed<T>(&mut self, column: BookColumn, value: Option<T>) -> Option<T> {
        if self.text(column).is_empty() {
            self.report(&MISSING_VALUE, column, format!("{} must not be blank", column.name));
        }
        value
    }

    /// A number of either sign, exact; `None` where blank or reported.
    pub fn signed(&mut self, column: BookColumn) -> Option<Ratio> {
        let forms = &self.table.forms;
        let expected = || format!("a number such as {}", forms.number_example());
        let ratio = self.read(column, expected, &NOT_A_NUMBER, |text| forms.number(text))?;
        if Quantity::cut(ratio).is_none() {
            self.report(&OUT_OF_RANGE, column, "the number is too large");
            return None;
        }
        Some(ratio)
    }

    /// A number of either sign that must be there.
    pub fn signed_needed(&mut self, column: BookColumn) -> Option<Ratio> {
        let value = self.signed(column);
        self.needed(column, value)
    }

    /// A number that is not negative; `None` where blank or reported.
    pub fn number_of(&mut self, column: BookColumn) -> Option<Ratio> {
        let ratio = self.signed(column)?;
        if ratio.is_negative() {
            self.report(&OUT_OF_RANGE, column, format!("{} must not be negative", column.name));
            return None;
        }
        Some(ratio)
    }

    /// A number that is not negative and must be there.
    pub fn number_needed(&mut self, column: BookColumn) -> Option<Ratio> {
        let value = self.number_of(column);
        self.needed(column, value)
    }

    /// A number above zero; `None` where blank or reported.
    pub fn positive(&mut self, column: BookColumn) -> Option<Ratio> {
        let ratio = self.number_of(column)?;
        if ratio.is_zero() {
            self.report(&OUT_OF_RANGE, column, format!("{} must be above zero", column.name));
            return None;
        }
        Some(ratio)
    }

    /// An amount that is not negative, cut at the sixth place.
    pub fn amount(&mut self, column: BookColumn) -> Option<Quantity> {
        self.number_of(column).and_then(Quantity::cut)
    }

    /// Minutes as whole seconds, halves up; `None` where blank or reported.
    pub fn minutes(&mut self, column: BookColumn) -> Option<Seconds> {
        let minutes = self.number_of(column)?;
        let seconds = minutes.times(Ratio::whole(60)).and_then(Ratio::rounded).filter(|s| *s < 1_000_000_000);
        if seconds.is_none() {
            self.report(&OUT_OF_RANGE, column, "so many minutes can't be meant");
        }
        seconds
    }

    /// A whole number from `least` on; `None` where blank or reported.
    pub fn whole(&mut self, column: BookColumn, least: i64) -> Option<u32> {
        self.whole_up_to(column, least, 1_000_000)
    }

    /// A whole number from `least` to `most`; `None` where blank or reported.
    pub fn whole_up_to(&mut self, column: BookColumn, least: i64, most: i64) -> Option<u32> {
        let number = self.signed(column)?;
        let whole = number.as_whole().filter(|n| (least..=most).contains(n)).and_then(|n| u32::try_from(n).ok());
        if whole.is_none() {
            self.report(&OUT_OF_RANGE, column, format!("expected a whole number from {least} to {most}"));
        }
        whole
    }

    /// Reports more of something than can be meant.
    pub fn too_much(&mut self, column: BookColumn, message: impl Into<String>) {
        self.report(&OUT_OF_RANGE, column, message);
    }
}

/// A cell's text as a message shows it: not a page of it.
fn shown(text: &str) -> String {
    match text.char_indices().nth(60) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}
