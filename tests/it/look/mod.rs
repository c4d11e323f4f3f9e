//! `look`: what stands on its pages against the plan's tables, what it refuses, that it follows the book, and its pages in a real browser.
//! Catches a page that tells another number than the sheets, a way in for another page, a script that does nothing, a link that leads
//! nowhere, and a page that somebody can't read: too pale, too wide, too small to touch, without a heading.

mod browser;
mod chosen;
mod client;
mod every_page;
mod guarded;
mod in_a_browser;
mod style;
mod ten_thousand;
mod told;
mod walk;

use std::path::{Path, PathBuf};

/// A file of the project.
fn of_project(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// A copy of a book that may be spoiled.
fn copy(book: &str) -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    for file in std::fs::read_dir(of_project(book)).expect("a book") {
        let file = file.expect("a file");
        std::fs::copy(file.path(), folder.path().join(file.file_name())).expect("a copy");
    }
    folder
}
