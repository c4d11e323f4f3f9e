//! Text for a terminal: paragraphs within a width, further lines set in, and lists in words.

use crate::base::{Place, Quantity, Total};

/// A line has so many letters at most, where words allow.
const WIDTH: usize = 100;

/// A text being written.
#[derive(Debug, Default)]
pub struct Prose(String);

impl Prose {
    /// A paragraph, set in by so many letters; its further lines by two more.
    pub fn line(&mut self, indent: usize, text: &str) -> &mut Self {
        let mut used = indent;
        self.0.push_str(&" ".repeat(indent));
        for (i, word) in text.split(' ').enumerate() {
            let length = word.chars().count();
            if i > 0 && used + 1 + length > WIDTH {
                self.0.push('\n');
                self.0.push_str(&" ".repeat(indent + 2));
                used = indent + 2;
            } else if i > 0 {
                self.0.push(' ');
                used += 1;
            }
            self.0.push_str(word);
            used += length;
        }
        self.0.push('\n');
        self
    }

    /// An empty line and a heading.
    pub fn heading(&mut self, text: &str) -> &mut Self {
        self.0.push('\n');
        self.line(0, text)
    }

    /// All lines so far, each with its line end.
    pub fn done(self) -> String {
        self.0
    }
}

/// `a`, `a and b`, `a, b and c`.
pub fn list(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A quantity with its unit of measure.
pub fn amount(qty: Quantity, uom: &str) -> String {
    format!("{qty} {uom}")
}

/// The same of what was multiplied out along a path that nothing keeps in range; such lines do not hold for the plan's units.
pub fn told(qty: Option<Total>, uom: &str) -> String {
    let qty = qty.map_or_else(|| "more than can be told in".to_owned(), |qty| qty.to_string());
    format!("{qty} {uom}")
}

/// A code with what it stands for, where that says more.
pub fn named(code: &str, name: &str) -> String {
    if name.is_empty() || name == code { code.to_owned() } else { format!("{code} ({name})") }
}

/// A row: its file, sheet and number.
pub fn row(place: &Place) -> String {
    Place { column: "".into(), ..place.clone() }.to_string()
}

/// The first few, and how many there are more.
pub fn few(items: impl Iterator<Item = String>, most: usize) -> String {
    let mut items = items;
    let first: Vec<String> = items.by_ref().take(most).collect();
    few_of(first.into_iter(), items.count())
}

/// Some, and how many there are more.
pub fn few_of(shown: impl Iterator<Item = String>, more: usize) -> String {
    let shown = shown.collect::<Vec<_>>().join("; ");
    if more == 0 { shown } else { format!("{shown}; and {more} more") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_lists_say_how_many_more() {
        let items = || ["a", "b", "c"].into_iter().map(str::to_owned);
        assert_eq!(few(items(), 3), "a; b; c");
        assert_eq!(few(items(), 1), "a; and 2 more");
    }
}
