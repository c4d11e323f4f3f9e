//! Codes and words of two plans' tables: compared without regard to case, printed as first met.

use crate::base::fold;
use serde::{Serialize, Serializer};
use std::cmp::Ordering;
use std::collections::HashMap;
use std::fmt;
use std::sync::Arc;

/// A code or a word.
#[derive(Clone, Debug)]
pub struct Code {
    key: Arc<str>,
    text: Arc<str>,
}

impl Code {
    /// As it prints.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether nothing stands there.
    pub fn is_blank(&self) -> bool {
        self.key.is_empty()
    }

    /// It, or nothing where it is blank.
    pub fn given(&self) -> Option<&Self> {
        (!self.is_blank()).then_some(self)
    }
}

impl From<&str> for Code {
    fn from(text: &str) -> Self {
        Self { key: fold(text).into(), text: text.into() }
    }
}

impl PartialEq for Code {
    fn eq(&self, other: &Self) -> bool {
        self.key == other.key
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
        self.key.cmp(&other.key)
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text)
    }
}

impl Serialize for Code {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.text)
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
