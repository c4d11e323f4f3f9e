//! Numbers of things, paths, and why the system refused them, as people read them.

use std::path::{Path, PathBuf};

/// `1 thing`, `2 things`.
pub fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

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
const HELD_OPEN: [i32; 3] = [32, 33, 1224];

/// Why something failed, in words; where the system's own would not say what to do, what to do. A spreadsheet program on Windows
/// holds its workbooks open, so that nobody else can write them or even read them.
pub fn reason(why: impl ToString) -> String {
    let why = why.to_string();
    if cfg!(windows) { held_open(&why, &HELD_OPEN) } else { why }
}

/// The same with other words for these codes of the system; what else it says stays.
fn held_open(why: &str, codes: &[i32]) -> String {
    let words = "another program has it open, a spreadsheet program perhaps; close it there and try again";
    let system = |code: &i32| std::io::Error::from_raw_os_error(*code).to_string();
    codes.iter().fold(why.to_owned(), |why, code| why.replace(&system(code), words))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_systems_own_words_are_replaced() {
        let why = std::io::Error::from_raw_os_error(32);
        let told = held_open(&format!("{why}; and not all could be put back"), &[32]);
        assert!(told.starts_with("another program has it open"), "{told}");
        assert!(told.ends_with("try again; and not all could be put back"), "{told}");
        assert_eq!(held_open(&why.to_string(), &[33]), why.to_string());
    }
}
