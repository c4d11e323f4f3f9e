//! Dates and times on the command line: in the book's own form, or as the plant writes them in its files.

use super::Failure;
use crate::base::{Date, Moment};
use crate::book::{Book, Forms};

/// A date, or a date and time, as it was typed.
#[derive(Clone, Debug)]
pub struct Given(String);

impl Given {
    /// Takes what was typed; which day it means is known when the book is.
    ///
    /// # Errors
    /// Where it can be no date in any form.
    pub fn take(text: &str) -> Result<Self, String> {
        if !text.contains(|sign: char| sign.is_ascii_digit()) {
            return Err("expected a date, or a date and time such as '2027-09-14 06:00'".to_owned());
        }
        Ok(Self(text.trim().to_owned()))
    }

    /// The moment it means; a date alone is its midnight.
    pub fn moment(&self, forms: &Forms) -> Result<Moment, Failure> {
        let read = forms.moment(&self.0).map(|(moment, _)| moment);
        read.ok_or_else(|| self.failure(forms, "a date, or a date and time", " 06:00"))
    }

    /// The date it means.
    pub fn date(&self, forms: &Forms) -> Result<Date, Failure> {
        let read = forms.moment(&self.0).filter(|(_, timed)| !timed).map(|(moment, _)| moment.date());
        read.ok_or_else(|| self.failure(forms, "a date", ""))
    }

    fn failure(&self, forms: &Forms, what: &str, time: &str) -> Failure {
        let which = forms.ambiguous(&self.0).map(|why| format!("; {why}")).unwrap_or_default();
        Failure::Words(format!("'{}': expected {what} such as '{}{time}'{which}", self.0, forms.date_example()))
    }
}

/// The moment that was given for a book, if any.
pub fn moment_for(given: Option<&Given>, book: &Book) -> Result<Option<Moment>, Failure> {
    given.map(|given| given.moment(&book.date_forms())).transpose()
}
