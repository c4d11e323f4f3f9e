//! Codes and words of two plans' tables: compared without regard to case, printed as first met.

use crate::base::fold;
use serde::{Serialize, Serializer};
use std::cmp::Ordering;
use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;

/// A code or a word. It begins with the first bytes of what it is compared by: nearly all codes are told apart by these alone,
/// without a look at the rest, which lies elsewhere in memory.
#[derive(Clone, Debug)]
pub struct Code {
    begins: Begins,
    whole: Arc<Whole>,
}

/// So many bytes of a code lie at hand.
const AT_HAND: usize = 15;
/// Stands for their count where there are others behind them.
const MORE: u8 = 16;

/// The first bytes of a code, filled up with zeros, and behind them how many they are; one more where there are others behind
/// them. As a number it is in the order of codes, and equal only where the codes are, or where there are others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Begins(u128);

#[derive(Debug)]
struct Whole {
    key: String,
    text: String,
}

impl Begins {
    fn of(key: &str) -> Self {
        let mut bytes = [0; AT_HAND + 1];
        bytes.iter_mut().take(AT_HAND).zip(key.bytes()).for_each(|(at, byte)| *at = byte);
        bytes[AT_HAND] = u8::try_from(key.len()).map_or(MORE, |count| count.min(MORE));
        Self(u128::from_be_bytes(bytes))
    }

    /// Whether there is nothing behind them.
    fn is_all(self) -> bool {
        self.0.to_be_bytes()[AT_HAND] < MORE
    }
}

impl Code {
    /// As it prints.
    pub fn text(&self) -> &str {
        &self.whole.text
    }

    /// Whether nothing stands there.
    pub fn is_blank(&self) -> bool {
        self.whole.key.is_empty()
    }

    /// It, or nothing where it is blank.
    pub fn given(&self) -> Option<&Self> {
        (!self.is_blank()).then_some(self)
    }
}

impl From<&str> for Code {
    fn from(text: &str) -> Self {
        let key = fold(text);
        Self { begins: Begins::of(&key), whole: Arc::new(Whole { key, text: text.to_owned() }) }
    }
}

impl PartialEq for Code {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Code {}

impl PartialOrd for Code {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Code {
    fn cmp(&self, other: &Self) -> Ordering {
        let rest = || {
            if self.begins.is_all() || Arc::ptr_eq(&self.whole, &other.whole) {
                Ordering::Equal
            } else {
                self.whole.key.cmp(&other.whole.key)
            }
        };
        self.begins.cmp(&other.begins).then_with(rest)
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.text())
    }
}

impl Serialize for Code {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.text())
    }
}

/// Codes met so far, so that a code of a million rows is held once.
#[derive(Default)]
pub struct Codes(HashMap<String, Code>);

impl Codes {
    /// The code of a text.
    pub fn of(&mut self, text: &str) -> Code {
        if let Some(code) = self.0.get(text) {
            return code.clone();
        }
        let code = Code::from(text);
        self.0.insert(text.to_owned(), code.clone());
        code
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shorter, equal and longer than what lies at hand, with and without zeros at their ends: the order is that of the texts.
    #[test]
    fn codes_stand_in_the_order_of_their_texts() {
        let long = "abcdefghijklmnopqrst";
        let mut texts: Vec<String> = (0..=long.len()).map(|end| long[..end].to_owned()).collect();
        texts.extend((0..=long.len()).map(|end| format!("{}\0", &long[..end])));
        texts.extend((0..=long.len()).map(|end| format!("{}b", &long[..end])));
        texts.extend(["a\0\0", "äöüäöüäöüäöü", "äöüäöüäöüäöv", "a a", "a-1", "a_1", "~"].map(str::to_owned));
        for one in &texts {
            for other in &texts {
                let codes = [one, other].map(|text| Code::from(text.as_str()));
                assert_eq!(codes[0].cmp(&codes[1]), one.cmp(other), "{one:?} {other:?}");
                assert_eq!(codes[0] == codes[1], one == other, "{one:?} {other:?}");
            }
        }
        assert_eq!(Code::from("AX-35"), Code::from("ax-35"));
    }
}
