//! A wall around the libraries that read foreign files: where one of them gives up on damaged bytes, the file can't be read.

use super::ReadError;
use crate::base::Broken;
use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::Path;
use std::sync::Once;

thread_local! {
    static READING: Cell<bool> = const { Cell::new(false) };
}

/// Runs a reader; if it panics, the file is damaged, and nothing but that is told.
pub fn shielded<T>(path: &Path, read: impl FnOnce() -> Result<T, ReadError>) -> Result<T, ReadError> {
    static QUIET: Once = Once::new();
    QUIET.call_once(|| {
        let before = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |why| {
            if !READING.with(Cell::get) {
                before(why);
            }
        }));
    });
    let outer = READING.with(|reading| reading.replace(true));
    let outcome = catch_unwind(AssertUnwindSafe(read));
    READING.with(|reading| reading.set(outer));
    outcome.unwrap_or_else(|why| {
        if why.is::<Broken>() {
            resume_unwind(why);
        }
        Err(ReadError::new(path, "it is damaged"))
    })
}
