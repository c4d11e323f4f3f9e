//! A wall around the libraries that read foreign files, and write ours: where one of them gives up, that is told as any other
//! reason.

use super::ReadError;
use crate::base::Broken;
use std::cell::Cell;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::path::Path;
use std::sync::Once;

thread_local! {
    static WALLED: Cell<bool> = const { Cell::new(false) };
}

/// Runs a reader; if it panics, the file is damaged, and nothing but that is told.
pub fn shielded<T>(path: &Path, read: impl FnOnce() -> Result<T, ReadError>) -> Result<T, ReadError> {
    // The data-frame library gives up where the system gives it no threads.
    let told = |why: String| if why.contains("spawn") { why } else { "it is damaged".to_owned() };
    quiet(read).unwrap_or_else(|why| Err(ReadError::new(path, told(why))))
}

/// Runs what may give up, on the thread that called it or on those of the data-frame library.
///
/// # Errors
/// Why it gave up, in its own words.
pub fn quiet<T>(work: impl FnOnce() -> T) -> Result<T, String> {
    static QUIET: Once = Once::new();
    QUIET.call_once(|| {
        let before = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |why| {
            // The data-frame library reads on threads of its own, and hands on to the one that waits why one of them gave up.
            let of_library = || std::thread::current().name().is_some_and(|name| name.starts_with("polars-"));
            if !WALLED.with(Cell::get) && !of_library() {
                before(why);
            }
        }));
    });
    let outer = WALLED.with(|walled| walled.replace(true));
    let outcome = catch_unwind(AssertUnwindSafe(work));
    WALLED.with(|walled| walled.set(outer));
    outcome.map_err(|why| {
        if why.is::<Broken>() {
            resume_unwind(why);
        }
        let words = why.downcast_ref::<String>().cloned();
        words
            .or_else(|| why.downcast_ref::<&str>().map(|why| (*why).to_owned()))
            .unwrap_or_else(|| "it gave up".to_owned())
    })
}
