//! What spreadsheets make of codes that look like numbers or dates, and which code that was.

use crate::base::numbered;
use std::collections::HashMap;

/// For what a spreadsheet makes of a code: the code's number, and how it came about.
#[derive(Debug, Default)]
pub struct Misread(HashMap<String, (u32, &'static str)>);

const ZEROS: &str = "a spreadsheet seems to have dropped zeros";
const POWER: &str = "a spreadsheet seems to have taken it for a power of ten";
const DATE: &str = "a spreadsheet seems to have made a date of it";
const MONTHS: [&str; 12] = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

impl Misread {
    /// The forms that a spreadsheet could make of codes; of codes that become the same, the first counts.
    pub fn of<'c>(codes: impl Iterator<Item = &'c str>) -> Self {
        let mut forms = HashMap::new();
        for (id, code) in codes.enumerate() {
            for (form, why) in forms_of(&code.to_lowercase()) {
                forms.entry(form).or_insert((numbered(id), why));
            }
        }
        Self(forms)
    }

    /// The code that a cell's text was before a spreadsheet had it.
    pub fn find(&self, text: &str) -> Option<(u32, &'static str)> {
        let date = crate::base::Date::parse(text).and_then(|_| text.get(5..10));
        self.0.get(date.unwrap_or(text)).copied()
    }
}

/// What becomes of a code in lower case: numbers as plain decimals, dates as month and day.
fn forms_of(code: &str) -> Vec<(String, &'static str)> {
    let digits = |text: &str| !text.is_empty() && text.len() <= 15 && text.bytes().all(|byte| byte.is_ascii_digit());
    let (whole, decimals) = code.split_once('.').unwrap_or((code, ""));
    if digits(whole) && (decimals.is_empty() || digits(decimals)) {
        let whole = whole.trim_start_matches('0');
        let whole = if whole.is_empty() { "0" } else { whole };
        let decimals = decimals.trim_end_matches('0');
        let plain = if decimals.is_empty() { whole.to_owned() } else { format!("{whole}.{decimals}") };
        return if plain == code { Vec::new() } else { vec![(plain, ZEROS)] };
    }
    if let Some((number, power)) = code.split_once('e').filter(|(number, power)| digits(number) && digits(power)) {
        let number = number.trim_start_matches('0');
        let zeros = power.parse::<usize>().ok().filter(|zeros| *zeros <= 30 && !number.is_empty());
        return zeros.map(|zeros| (format!("{number}{}", "0".repeat(zeros)), POWER)).into_iter().collect();
    }
    let Some((first, second)) = code.split_once(['-', '/']) else { return Vec::new() };
    let month = |text: &str| {
        let named = MONTHS.iter().position(|month| *month == text).map(|at| at + 1);
        named.or_else(|| text.parse().ok().filter(|number| text.len() <= 2 && (1..=12).contains(number)))
    };
    let day = |text: &str| text.parse::<usize>().ok().filter(|day| text.len() <= 2 && (1..=31).contains(day));
    let pairs = [month(first).zip(day(second)), month(second).zip(day(first))];
    pairs.into_iter().flatten().map(|(month, day)| (format!("{month:02}-{day:02}"), DATE)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_found_again_by_what_became_of_them() {
        let codes = ["007731", "1E5", "12.10", "3-12", "mar-7", "BOLT", "100", "B-3"];
        let misread = Misread::of(codes.into_iter());
        let found = |text: &str| misread.find(text).map(|(id, _)| codes[id as usize]);
        let cases = [
            ("7731", "007731"),
            ("100000", "1E5"),
            ("12.1", "12.10"),
            ("2027-03-12", "3-12"),
            ("2027-12-03", "3-12"),
            ("2026-03-07", "mar-7"),
        ];
        cases.iter().for_each(|(text, code)| assert_eq!(found(text), Some(*code), "{text}"));
        ["BOLT", "100", "7730", "2027-03-13", "3", ""].iter().for_each(|text| assert_eq!(found(text), None, "{text}"));
    }
}
