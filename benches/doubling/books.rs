//! Books in files of their own.

use crate::timed;
use lineward::book;
use std::fmt::Write;
use std::time::Duration;

/// How long a manifest takes that has so many keys which mean nothing.
pub fn manifest(keys: usize) -> Duration {
    let folder = tempfile::tempdir().unwrap_or_else(|why| panic!("{why}"));
    let path = folder.path().join("lineward.toml");
    let mut text = String::new();
    for i in 0..keys {
        // Writing to a string can't fail.
        let _ = writeln!(text, "odd{i} = 1");
    }
    std::fs::write(&path, text).unwrap_or_else(|why| panic!("{why}"));
    timed(|| book::open(&path))
}
