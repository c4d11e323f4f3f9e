//! Paths, and why the system refused them, as people read them.

use std::path::{Path, PathBuf};

/// What is shown to people in another form than the system has it.
pub trait Shown {
    /// As people read it.
    fn shown(&self) -> String;
}

impl Shown for Path {
    /// With one kind of separator, whichever were typed.
    fn shown(&self) -> String {
        let path = if cfg!(windows) { &self.components().collect::<PathBuf>() } else { self };
        path.display().to_string()
    }
}

/// Codes of Windows for a file that another program holds open, or a part of it: ERROR_SHARING_VIOLATION, ERROR_LOCK_VIOLATION,
/// ERROR_USER_MAPPED_FILE (its list of system error codes).
const HELD_OPEN: [&str; 3] = ["(os error 32)", "(os error 33)", "(os error 1224)"];

/// Why something failed, in words; where the system's own would not say what to do, what to do. A spreadsheet program on Windows
/// holds its workbooks open, so that nobody else can write them or even read them.
pub fn reason(why: impl ToString) -> String {
    let why = why.to_string();
    if cfg!(windows) && HELD_OPEN.iter().any(|code| why.contains(code)) {
        return "another program has it open, a spreadsheet program perhaps; close it there and try again".to_owned();
    }
    why
}
