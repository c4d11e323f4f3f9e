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
    /// The orders and marks of dates, such as `dd.mm.yyyy`, besides `yyyy-mm-dd`, which is always read.
    pub dates: Vec<DateForm>,
}

impl Default for Forms {
    fn default() -> Self {
        Self { decimal: '.', thousands: None, dates: Vec::new() }
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
        if read.is_some() || self.dates.is_empty() {
            return read;
        }
        let (day, time) = match text.rsplit_once([' ', 'T']) {
            Some((day, time)) if self.days(text).next().is_none() => (day.trim(), Some(parse_time(time.trim())?)),
            _ => (text, None),
        };
        let (date, form) = self.days(day).next()?;
        let other = self.days(day).any(|(other, by)| other != date && by != form);
        (!other).then(|| (Moment::at(date, time.unwrap_or_default()), time.is_some()))
    }

    /// The dates that a text is in each of the forms in which it is one.
    fn days<'f>(&'f self, text: &'f str) -> impl Iterator<Item = (Date, &'f DateForm)> {
        self.dates.iter().filter_map(move |form| Some((form.date(text)?, form)))
    }

    /// Why a text is no date, where two of the forms make two dates of it: `dd/mm/yyyy says 2027-03-04, m/d/yyyy 2027-04-03`.
    pub fn ambiguous(&self, text: &str) -> Option<String> {
        let day = text.rsplit_once([' ', 'T']).filter(|(_, time)| parse_time(time.trim()).is_some());
        let day = day.map_or(text, |(day, _)| day.trim());
        let (date, form) = self.days(day).next()?;
        let (other, by) = self.days(day).find(|(other, _)| *other != date)?;
        Some(format!("{} says {date}, {} {other}", form.shown, by.shown))
    }

    /// What a date looks like, for messages.
    pub fn date_example(&self) -> String {
        ["2027-09-14"]
            .into_iter()
            .chain(self.dates.iter().map(|form| form.shown.as_str()))
            .collect::<Vec<_>>()
            .join(" or ")
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
        Forms { decimal: ',', thousands: Some('.'), dates: DateForm::parse("dd.mm.yyyy").into_iter().collect() }
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
        let american = Forms { dates: DateForm::parse("m/d/yyyy").into_iter().collect(), ..Forms::default() };
        assert_eq!(american.moment("9/14/2027"), Moment::parse("2027-09-14"));
        assert_eq!(american.moment("14/9/2027"), None);
        let both =
            Forms { dates: ["dd/mm/yyyy", "m/d/yyyy"].into_iter().filter_map(DateForm::parse).collect(), ..american };
        assert_eq!(both.moment("14/9/2027 06:00"), Moment::parse("2027-09-14 06:00"));
        assert_eq!(both.moment("9/14/2027"), Moment::parse("2027-09-14"));
        assert_eq!(both.moment("4/4/2027"), Moment::parse("2027-04-04"));
        assert_eq!(both.moment("3/4/2027"), None);
        let told = both.ambiguous("3/4/2027 06:00").unwrap();
        assert_eq!(told, "dd/mm/yyyy says 2027-04-03, m/d/yyyy 2027-03-04");
        for wrong in ["dd.mm", "dd.mm.yyyyy", "yyyy", "dd.mm.yyyy hh", "ddmmyyyy dd"] {
            assert_eq!(DateForm::parse(wrong), None, "{wrong}");
        }
    }
}
