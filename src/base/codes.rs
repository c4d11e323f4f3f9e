//! Codes: compared without regard to case, sorted by their lower-case form, and the nearest one to a mistyped one.

use super::MustBe;
use std::cmp::Ordering;

/// The form in which codes, table names and headings are compared.
pub fn fold(code: &str) -> String {
    code.trim().to_lowercase()
}

/// Hands the folded form of a code to a function, without making room for it where it is short and plain.
pub fn folded<T>(code: &str, with: impl FnOnce(&str) -> T) -> T {
    let code = code.trim();
    let mut room = [0; 64];
    let Some(short) = room.get_mut(..code.len()).filter(|_| code.is_ascii()) else { return with(&fold(code)) };
    short.copy_from_slice(code.as_bytes());
    short.make_ascii_lowercase();
    with(str::from_utf8(short).must("plain letters are no text"))
}

/// The candidate that was probably meant: within a third of the letters, the first of equals.
pub fn nearest<'a>(found: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let found = fold(found);
    let reach = (found.chars().count() / 3).max(1);
    candidates
        .into_iter()
        .filter(|candidate| candidate.len().abs_diff(found.len()) <= reach * 2)
        .map(|candidate| (strsim::osa_distance(&found, &fold(candidate)), candidate))
        .filter(|(distance, _)| *distance <= reach)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// A storage location as a person sorts it: `A-2` before `A-10`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StorageKey(Vec<CodePart>);

#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum CodePart {
    /// Digits without leading zeros, compared by length and then by digit, so that no number is too long.
    Number(usize, String),
    Text(String),
}

impl StorageKey {
    /// The key of a location.
    pub fn new(location: &str) -> Self {
        let lower = location.to_lowercase();
        let mut pieces = Vec::new();
        let mut rest = lower.as_str();
        while let Some(first) = rest.chars().next() {
            let digits = first.is_ascii_digit();
            let end = rest.find(|c: char| c.is_ascii_digit() != digits).unwrap_or(rest.len());
            let (run, after) = rest.split_at(end);
            pieces.push(if digits {
                let number = run.trim_start_matches('0');
                CodePart::Number(number.len(), number.to_owned())
            } else {
                CodePart::Text(run.to_owned())
            });
            rest = after;
        }
        Self(pieces)
    }
}

impl PartialOrd for StorageKey {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for StorageKey {
    fn cmp(&self, other: &Self) -> Ordering {
        self.0.cmp(&other.0)
    }
}

/// Compares two storage locations as a person would, ties by their text.
pub fn storage_order(a: &str, b: &str) -> Ordering {
    StorageKey::new(a).cmp(&StorageKey::new(b)).then_with(|| a.to_lowercase().cmp(&b.to_lowercase()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn storage_sorts_digit_runs_as_numbers_before_text() {
        let mut places = vec!["B-1", "A-10-1", "a-2-1", "A-2", "", "A-x", "7", "A-002-1"];
        places.sort_by(|a, b| storage_order(a, b));
        assert_eq!(places, ["", "7", "A-2", "A-002-1", "a-2-1", "A-10-1", "A-x", "B-1"]);
    }

    #[test]
    fn the_nearest_code_is_near() {
        assert_eq!(nearest("snk-20", ["AX-35", "SNK-02", "SNK-03"]), Some("SNK-02"));
        assert_eq!(nearest("window", ["AX-35", "SNK-02"]), None);
    }
}
