//! What a folder of written files holds: one small file for programs, `contents.json`, with the length and the checksum of each.

use crc32fast::Hasher;
use serde::{Deserialize, Serialize};
use std::path::{Component, Path};

/// The name of the file.
pub const FILE: &str = "contents.json";

/// What a folder holds.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Contents {
    /// The version of the program that wrote it last.
    pub version: String,
    /// The plan that stands there, if one does.
    pub plan: Option<Held>,
    /// The files, by name.
    pub files: Vec<Entry>,
}

/// Which plan it is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Held {
    /// The name of the book.
    pub book: String,
    /// The moment it was planned for, such as `2027-09-14T06:00:00`.
    pub as_of: String,
    /// Whether it was only tried: with cells changed, or to see what can be run instead.
    pub tried: bool,
}

/// A written file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Its path in the folder, with `/` between the pieces.
    pub name: String,
    /// The command that wrote it.
    pub by: String,
    /// How many rows a table has below its headings.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rows: Option<u64>,
    /// Its length.
    pub bytes: u64,
    /// Its checksum: the CRC-32 of ISO/IEC 3309 and of zip files (RFC 1952, 8), as eight digits in base 16.
    pub crc32: String,
}

impl Entry {
    /// Whether it names a file in the folder or below it, and none above or elsewhere.
    pub fn is_inside(&self) -> bool {
        let path = Path::new(&self.name);
        path.components().count() > 0 && path.components().all(|piece| matches!(piece, Component::Normal(_)))
    }

    /// Why bytes are not those that were written; `None` where they are.
    pub fn differs(&self, sum: &Sum) -> Option<String> {
        let written = format!("{} bytes were written", self.bytes);
        if sum.bytes != self.bytes {
            return Some(format!("{written}, and it has {}", sum.bytes));
        }
        (sum.digits() != self.crc32).then(|| "it is not what was written".to_owned())
    }
}

impl Contents {
    /// The entry of a file.
    pub fn entry(&self, name: &str) -> Option<&Entry> {
        self.files.iter().find(|entry| entry.name == name)
    }

    /// Reads the text of the file.
    ///
    /// # Errors
    /// Where it is not what this program writes.
    pub fn parse(text: &[u8]) -> Result<Self, String> {
        serde_json::from_slice(text).map_err(|why| why.to_string())
    }

    /// The text of the file.
    ///
    /// # Errors
    /// Where the writer of JSON fails.
    pub fn text(&self) -> Result<String, String> {
        serde_json::to_string_pretty(self).map(|text| text + "\n").map_err(|why| why.to_string())
    }
}

/// The length and the checksum of bytes as they pass.
#[derive(Clone, Debug, Default)]
pub struct Sum {
    bytes: u64,
    hasher: Hasher,
}

impl Sum {
    /// Of bytes that are there.
    pub fn of(bytes: &[u8]) -> Self {
        let mut sum = Self::default();
        sum.add(bytes);
        sum
    }

    /// Adds the next bytes.
    pub fn add(&mut self, bytes: &[u8]) {
        self.bytes += bytes.len() as u64;
        self.hasher.update(bytes);
    }

    fn digits(&self) -> String {
        format!("{:08x}", self.hasher.clone().finalize())
    }

    /// As an entry.
    pub fn entry(&self, name: &str, by: &str, rows: Option<u64>) -> Entry {
        Entry { name: name.to_owned(), by: by.to_owned(), rows, bytes: self.bytes, crc32: self.digits() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The check value of CRC-32 for the digits 1 to 9: Ross Williams, A Painless Guide to CRC Error Detection Algorithms, 1993.
    #[test]
    fn the_checksum_is_the_published_one() {
        let mut sum = Sum::of(b"1234");
        sum.add(b"56789");
        let entry = sum.entry("x", "plan", None);
        assert_eq!((entry.bytes, entry.crc32.as_str()), (9, "cbf43926"));
        assert_eq!(entry.differs(&Sum::of(b"123456789")), None);
        assert!(entry.differs(&Sum::of(b"123456780")).is_some() && entry.differs(&Sum::of(b"12345678")).is_some());
    }

    #[test]
    fn a_name_leads_nowhere_else() {
        let inside = |name: &str| Sum::default().entry(name, "plan", None).is_inside();
        assert!(inside("shortages.xlsx") && inside("tables/units.csv"));
        assert!(!inside("") && !inside("../units.csv") && !inside("/etc/passwd") && !inside("tables/../../x"));
    }
}
