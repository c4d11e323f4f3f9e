//! How a plant writes numbers and dates in its own files, where that is not the book's own form.

use crate::base::{Date, Moment, Ratio, parse_time};
use chrono::{Datelike, NaiveDate};

/// The forms of one table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Forms {
    /// The mark before the decimals: `.` or `,`.
    pub decimal: char,
    /// The mark between groups of three digits, where there may be one.
    pub thousands: Option<char>,
    /// The order and marks of a date, such as `dd.mm.yyyy`, besides `yyyy-mm-dd`, which is always read.
    pub dates: Option<DateForm>,
}

impl Default for Forms {
    fn default() -> Self {
        Self { decimal: '.', thousands: None, dates: None }
    }
}

/// A form of dates.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DateForm {
    /// As written in the manifest.
    pub shown: String,
    pattern: String,
}

impl DateForm {
    /// Reads a form made of `dd` (or `d`), `mm` (or `m`), `yyyy` (or `yy`) and marks between them.
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.trim().to_lowercase();
        let letters = |letter: char| lower.chars().filter(|c| *c == letter).count();
        let complete = matches!(letters('d'), 1 | 2) && matches!(letters('m'), 1 | 2) && matches!(letters('y'), 2 | 4);
        let marks_only = lower.chars().all(|c| matches!(c, 'd' | 'm' | 'y' | '.' | '/' | '-' | ' '));
        let year = if letters('y') == 4 { ("yyyy", "%Y") } else { ("yy", "%y") };
        let day = if letters('d') == 2 { "dd" } else { "d" };
        let month = if letters('m') == 2 { "mm" } else { "m" };
        let in_one_piece = lower.contains(year.0) && lower.contains(day) && lower.contains(month);
        let pattern = lower.replace(day, "%d").replace(month, "%m").replace(year.0, year.1);
        let pattern = if pattern.contains("%%") { return None } else { pattern };
        (complete && marks_only && in_one_piece).then(|| Self { shown: text.trim().to_owned(), pattern })
    }

    fn date(&self, text: &str) -> Option<Date> {
        let date = NaiveDate::parse_from_str(text, &self.pattern).ok()?;
        (1900..2200).contains(&date.year()).then(|| Date::from_chrono(date))
    }
}

impl Forms {
    /// A number, exactly.
    pub fn number(&self, text: &str) -> Option<Ratio> {
        if *self == Self::default() { Ratio::decimal(text) } else { Ratio::decimal(&self.plain_number(text)?) }
    }

    /// A number as a plain decimal with a point.
    pub fn plain_number(&self, text: &str) -> Option<String> {
        let (whole, decimals) = text.split_once(self.decimal).map_or((text, None), |(whole, rest)| (whole, Some(rest)));
        let whole = match self.thousands {
            Some(mark) if whole.contains(mark) => ungrouped(whole, mark)?,
            _ => whole.to_owned(),
        };
        let foreign = |part: &str| !part.trim_start_matches(['-', '+']).bytes().all(|byte| byte.is_ascii_digit());
        if foreign(&whole) || decimals.is_some_and(foreign) {
            return None;
        }
        let plain = decimals.map_or(whole.clone(), |decimals| format!("{whole}.{decimals}"));
        Ratio::decimal(&plain).map(|_| plain)
    }

    /// A date, alone or with a time, and whether a time was given.
    pub fn moment(&self, text: &str) -> Option<(Moment, bool)> {
        let read = Moment::parse(text);
        let (None, Some(form)) = (read, &self.dates) else { return read };
        if let Some(date) = form.date(text) {
            return Some((date.midnight(), false));
        }
        let (day, time) = text.rsplit_once([' ', 'T'])?;
        Some((Moment::at(form.date(day.trim())?, parse_time(time.trim())?), true))
    }

    /// What a date looks like, for messages.
    pub fn date_example(&self) -> String {
        self.dates.as_ref().map_or("2027-09-14".to_owned(), |form| format!("2027-09-14 or {}", form.shown))
    }

    /// What a number looks like, for messages.
    pub fn number_example(&self) -> String {
        format!("12{}5", self.decimal)
    }
}

/// Digits without their group marks; `None` where the groups are not of three.
fn ungrouped(whole: &str, mark: char) -> Option<String> {
    let digits = whole.trim_start_matches(['-', '+']);
    let mut groups = digits.split(mark);
    let first = groups.next()?;
    let sound = (1..=3).contains(&first.len()) && groups.all(|group| group.len() == 3);
    sound.then(|| whole.replace(mark, ""))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn comma() -> Forms {
        Forms { decimal: ',', thousands: Some('.'), dates: DateForm::parse("dd.mm.yyyy") }
    }

    #[test]
    fn numbers_with_a_decimal_comma() {
        assert_eq!(comma().number("1.234,5"), Ratio::new(12345, 10));
        assert_eq!(comma().number("-0,25"), Ratio::new(-1, 4));
        assert_eq!(comma().number("12"), Ratio::new(12, 1));
        for wrong in ["1.2", "12.34,5", "1,2,3", "1234.567.890", "x", ""] {
            assert_eq!(comma().number(wrong), None, "{wrong}");
        }
        let plain = Forms { thousands: Some(','), ..Forms::default() };
        assert_eq!(plain.number("1,234.5"), Ratio::new(12345, 10));
    }

    #[test]
    fn dates_in_the_plants_form_and_in_the_books_own() {
        let expected = Moment::parse("2027-09-14 06:00");
        assert_eq!(comma().moment("14.09.2027 06:00"), expected);
        assert_eq!(comma().moment("2027-09-14 06:00"), expected);
        assert_eq!(
            comma().moment("14.9.2027").map(|(moment, timed)| (moment.to_string(), timed)),
            Some(("2027-09-14T00:00:00".into(), false))
        );
        let american = Forms { dates: DateForm::parse("m/d/yyyy"), ..Forms::default() };
        assert_eq!(american.moment("9/14/2027"), Moment::parse("2027-09-14"));
        assert_eq!(american.moment("14/9/2027"), None);
        for wrong in ["dd.mm", "dd.mm.yyyyy", "yyyy", "dd.mm.yyyy hh", "ddmmyyyy dd"] {
            assert_eq!(DateForm::parse(wrong), None, "{wrong}");
        }
    }
}
