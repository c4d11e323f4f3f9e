//! Names for sheets that every spreadsheet program takes: short enough, without forbidden characters, each once.

use crate::base::MustBe;
use std::collections::BTreeSet;

/// Letters that a sheet's name may have.
pub const LONGEST: usize = 31;

/// The names given so far.
#[derive(Default)]
pub struct Tabs(BTreeSet<String>);

impl Tabs {
    /// A name for a sheet of something called `name`, with words on what the sheet holds behind it.
    pub fn give(&mut self, name: &str, behind: &str) -> String {
        let plain = plain(name);
        (1..)
            .map(|number| fitted(&plain, behind, number))
            .find(|tab| self.0.insert(tab.to_lowercase()))
            .must("all names of sheets are given away")
    }
}

/// Without the characters that sheet names can't have, and without quotes at either end.
fn plain(name: &str) -> String {
    let bad = |c: char| c.is_control() || matches!(c, '[' | ']' | ':' | '*' | '?' | '/' | '\\');
    let text: String = name.chars().map(|c| if bad(c) { '-' } else { c }).collect();
    let text = text.trim_matches(|c: char| c == '\'' || c.is_whitespace());
    match text.to_lowercase().as_str() {
        // Kept by a spreadsheet program for itself.
        "" | "history" => format!("shop {text}").trim_end().to_owned(),
        _ => text.to_owned(),
    }
}

/// The name cut so that all of it fits; the second of the same name has a 2 behind it.
fn fitted(name: &str, behind: &str, number: u32) -> String {
    let number = if number > 1 { format!(" {number}") } else { String::new() };
    let behind = if behind.is_empty() { String::new() } else { format!(" {behind}") };
    let room = LONGEST.saturating_sub(length(&behind) + length(&number));
    let mut cut = String::new();
    for c in name.chars() {
        if length(&cut) + c.len_utf16() > room {
            break;
        }
        cut.push(c);
    }
    format!("{}{number}{behind}", cut.trim_end_matches(|c: char| c == '\'' || c.is_whitespace()))
}

/// As spreadsheet programs count.
fn length(text: &str) -> usize {
    text.encode_utf16().count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_short_plain_and_each_once() {
        let mut tabs = Tabs::default();
        assert_eq!(tabs.give("Cabinet shop", ""), "Cabinet shop");
        assert_eq!(tabs.give("CABINET SHOP", ""), "CABINET SHOP 2");
        assert_eq!(tabs.give("Cabinet shop", "sets"), "Cabinet shop sets");
        assert_eq!(tabs.give("'Walls [A/B]: left?'", ""), "Walls -A-B-- left-");
        assert_eq!(tabs.give("", ""), "shop");
        assert_eq!(tabs.give("History", ""), "shop History");
        let long = tabs.give("The shop for everything that is not built in the others", "by-products");
        assert_eq!((long.as_str(), long.len()), ("The shop for everyt by-products", 31));
        assert_eq!(tabs.give("The shop for everything that is", "by-products"), "The shop for ever 2 by-products");
    }
}
