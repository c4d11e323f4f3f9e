//! Cells that hold a date, a date and time, or a time of day.

use super::{BookColumn, Cells};
use crate::base::{Date, Moment, Seconds, parse_time};
use crate::book::forms::Forms;
use crate::book::kinds::{NOT_A_DATE, NOT_A_TIME, TWO_DATES};

impl Cells<'_> {
    /// Whether two of the plant's forms make two dates of a cell; that is reported.
    fn is_ambiguous(&mut self, column: BookColumn) -> bool {
        let told = self.table.forms.ambiguous(self.text(column));
        let found = told.is_some();
        told.into_iter().for_each(|told| self.report(&TWO_DATES, column, format!("which day? {told}")));
        found
    }

    /// A date; `None` where blank or reported. A time of day behind it is a mistake.
    pub fn date(&mut self, column: BookColumn) -> Option<Date> {
        if self.is_ambiguous(column) {
            return None;
        }
        let forms = &self.table.forms;
        self.read(
            column,
            || format!("a date such as {}", forms.date_example()),
            &NOT_A_DATE,
            |text| forms.moment(text).filter(|(moment, _)| moment.time() == 0).map(|(moment, _)| moment.date()),
        )
    }

    /// A date that must be there.
    pub fn date_needed(&mut self, column: BookColumn) -> Option<Date> {
        let value = self.date(column);
        self.needed(column, value)
    }

    /// A date and time, and whether a time was given; `None` where blank or reported.
    pub fn moment(&mut self, column: BookColumn) -> Option<(Moment, bool)> {
        if self.is_ambiguous(column) {
            return None;
        }
        let forms = &self.table.forms;
        let text = self.text(column);
        let expected = || match names_a_zone(text, forms) {
            true => format!("a local date and time without a time zone, such as {} 06:00", forms.date_example()),
            false => format!("a date, or a date and time such as {} 06:00", forms.date_example()),
        };
        self.read(column, expected, &NOT_A_DATE, |text| forms.moment(text))
    }

    /// A date and time that must be there, and whether a time was given.
    pub fn moment_needed(&mut self, column: BookColumn) -> Option<(Moment, bool)> {
        let value = self.moment(column);
        self.needed(column, value)
    }

    /// A time of day as seconds after 00:00; `None` where blank or reported.
    pub fn time(&mut self, column: BookColumn) -> Option<Seconds> {
        self.read(column, || "a time of day such as 06:00".to_owned(), &NOT_A_TIME, parse_time)
    }

    /// A time of day that must be there.
    pub fn time_needed(&mut self, column: BookColumn) -> Option<Seconds> {
        let value = self.time(column);
        self.needed(column, value)
    }
}

/// Whether text is a date and time with a time zone behind it, as `Z`, `+02:00` or a name.
fn names_a_zone(text: &str, forms: &Forms) -> bool {
    let zoned = |(at, first): (usize, char)| {
        let begins = matches!(first, 'Z' | 'z' | '+' | '-' | ' ');
        begins && forms.moment(text[..at].trim_end()).is_some_and(|(_, timed)| timed)
    };
    text.char_indices().any(zoned)
}
