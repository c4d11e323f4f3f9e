//! Ctrl-C: what was written aside is taken away, and what is being put in place is put in place whole before the end.

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Folders that hold what is not in place yet.
static ASIDE: Mutex<Vec<PathBuf>> = Mutex::new(Vec::new());

/// The exit status of a command that was interrupted, as shells have it: 128 and the number of the signal.
const INTERRUPTED: i32 = 130;

fn aside() -> MutexGuard<'static, Vec<PathBuf>> {
    ASIDE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Makes Ctrl-C end the program cleanly. Where that can't be arranged, it ends it as it always does.
pub fn arrange() {
    let arranged = ctrlc::set_handler(|| {
        // Waits for files that are being put in place.
        let folders = aside();
        folders.iter().for_each(|folder| take_away(folder));
        end();
    });
    if arranged.is_err() {
        // Another handler is there already: nothing is lost but the clearing up.
    }
}

fn take_away(folder: &Path) {
    if std::fs::remove_dir_all(folder).is_err() {
        // It is not there any more, or can't be removed: the end does not wait for it.
    }
}

#[expect(clippy::exit, clippy::disallowed_methods, reason = "an interrupted program ends here")]
fn end() {
    std::process::exit(INTERRUPTED);
}

/// Remembers a folder that holds what is not in place yet.
pub fn remember(folder: &Path) {
    aside().push(folder.to_path_buf());
}

/// Holds the end back until the guard is dropped.
pub fn hold() -> impl Drop {
    aside()
}
