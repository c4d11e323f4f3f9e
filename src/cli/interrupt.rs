//! Ctrl-C, and being asked to end: what was written aside is taken away, and what is being put in place is put in place whole
//! before the end.

use super::output;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// What is not in place yet.
#[derive(Default)]
struct Open {
    /// The folder it lies in.
    aside: PathBuf,
    /// Folders that were made for it, the outer ones first.
    made: Vec<PathBuf>,
}

static OPEN: Mutex<Vec<Open>> = Mutex::new(Vec::new());

/// The exit status of a command that was ended by Ctrl-C, as shells have it: 128 and the number of that signal. One that was
/// asked to end otherwise has the same: the handler is not told by what.
const INTERRUPTED: i32 = 130;

fn open() -> MutexGuard<'static, Vec<Open>> {
    OPEN.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Makes Ctrl-C end the program cleanly, and likewise where it is asked to end or its terminal goes away. Where that can't be
/// arranged, it ends as it always does.
pub fn arrange() {
    let arranged = ctrlc::set_handler(|| {
        // Waits for files that are being put in place; from here on nobody makes new ones.
        let open = open();
        open.iter().for_each(|open| output::take_away(&open.aside, &open.made));
        end();
    });
    if arranged.is_err() {
        // Another handler is there already: what is left is cleared up by the next run.
    }
}

#[expect(clippy::exit, clippy::disallowed_methods, reason = "an interrupted program ends here")]
fn end() {
    std::process::exit(INTERRUPTED);
}

/// Holds the end back until it is dropped.
pub struct Hold(MutexGuard<'static, Vec<Open>>);

/// Holds the end back: files are made, and put in place, under this alone.
pub fn hold() -> Hold {
    Hold(open())
}

impl Hold {
    /// Remembers a folder that holds what is not in place yet, and the folders made for it.
    pub fn remember(&mut self, aside: &Path, made: &[PathBuf]) {
        self.0.push(Open { aside: aside.to_path_buf(), made: made.to_vec() });
    }

    /// Forgets it again.
    pub fn forget(&mut self, aside: &Path) {
        self.0.retain(|open| open.aside != aside);
    }
}
