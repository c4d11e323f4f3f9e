//! Cells that hold one of a few words: yes or no, done or not, a reason to hold something back.

use super::{BookColumn, Cells};
use crate::base::{fold, nearest};
use crate::book::kinds::NOT_IN_LIST;

impl<'a> Cells<'a> {
    /// One of a few words; `None` where blank or reported.
    pub fn choice<T: Copy>(&mut self, column: BookColumn, words: &[(&str, T)]) -> Option<T> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        let plain = |word: &str| fold(word).replace([' ', '-', '_'], "");
        if let Some((_, value)) = words.iter().find(|(word, _)| plain(word) == plain(text)) {
            return Some(*value);
        }
        let list: Vec<&str> = words.iter().map(|(word, _)| *word).filter(|word| word.len() > 1).collect();
        let near = nearest(text, list.iter().copied());
        self.report_near(&NOT_IN_LIST, column, format!("expected one of: {}", list.join(", ")), near);
        None
    }

    /// One of a few words that must be there.
    pub fn choice_needed<T: Copy>(&mut self, column: BookColumn, words: &[(&str, T)]) -> Option<T> {
        let value = self.choice(column, words);
        self.needed(column, value)
    }

    /// `yes`, `y`, `true`, `1`, `x`, or `no`, `n`, `false`, `0`; `None` where blank (or `-`) or reported.
    pub fn yes_no(&mut self, column: BookColumn) -> Option<bool> {
        let said = said(self.text(column));
        self.yes_or_no(column, said, "expected yes or no", &["yes", "no"])
    }

    /// Whether something is done: a word for yes, or `done`, or the date on which it was; not where blank (or `-`), a word
    /// for no, or reported.
    pub fn done(&mut self, column: BookColumn) -> bool {
        let text = self.text(column);
        let said = match said(text) {
            Said::Else if fold(text) == "done" || self.table.forms.moment(text).is_some() => Said::Yes,
            said => said,
        };
        let expected = "expected yes, no, or the day on which it was done";
        self.yes_or_no(column, said, expected, &["yes", "no", "done"]).unwrap_or_default()
    }

    fn yes_or_no(&mut self, column: BookColumn, said: Said, expected: &str, words: &[&str]) -> Option<bool> {
        match said {
            Said::Yes => Some(true),
            Said::No => Some(false),
            Said::Nothing => None,
            Said::Else => {
                let near = nearest(self.text(column), words.iter().copied());
                self.report_near(&NOT_IN_LIST, column, expected, near);
                None
            }
        }
    }

    /// A reason to hold something back; `None` where it is blank (or `-`) or says no. Any other text is a reason.
    pub fn hold(&self, column: BookColumn) -> Option<&'a str> {
        let text = self.text(column);
        (!matches!(said(text), Said::No | Said::Nothing)).then_some(text)
    }
}

/// What a cell says that can say yes or no.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Said {
    Yes,
    No,
    /// It is blank, or has the dash that people write for nothing.
    Nothing,
    /// Something else.
    Else,
}

fn said(text: &str) -> Said {
    match fold(text).as_str() {
        "yes" | "y" | "true" | "1" | "x" => Said::Yes,
        "no" | "n" | "false" | "0" => Said::No,
        "" | "-" => Said::Nothing,
        _ => Said::Else,
    }
}
