//! A book and no command, as when one is dropped onto the program on a desktop: it is planned into `reports` beside it. What is
//! wrong is told in the words of `check`, and listed in a workbook. A window that was opened for this alone stays until it has been
//! read.

use super::{Failure, check, plan, tell};
use crate::base::Shown;
use std::ffi::OsString;
use std::io::{BufRead, IsTerminal};
use std::path::{Path, PathBuf};
use sysinfo::{ProcessRefreshKind, ProcessesToUpdate, System};

/// Programs in which people type commands: a window of theirs stays by itself.
const SHELLS: [&str; 14] =
    ["bash", "cmd", "csh", "dash", "elvish", "fish", "ksh", "nu", "powershell", "pwsh", "sh", "tcsh", "xonsh", "zsh"];

/// How many lists of findings may lie beside a book before one has to be thrown away.
const MOST_LISTS: usize = 99;

/// The book, where the words are the program's own name and a path to something that is there, and no command.
pub fn book(words: &[OsString], commands: &[&str]) -> Option<PathBuf> {
    let [_, word] = words else { return None };
    let path = Path::new(word);
    let is_command = word.to_str().is_some_and(|word| commands.contains(&word) || word.starts_with('-'));
    (!is_command && path.exists()).then(|| path.to_path_buf())
}

/// Plans it; a book with errors gets a list of them beside it.
pub fn run(book: &Path) -> Result<(), Failure> {
    let folder = beside(book);
    let planned = plan::run(&plan::Args::of(book, &folder.join("reports")));
    if let Err(Failure::Book | Failure::Unread) = planned {
        let list = free_name(&folder, book)?;
        check::list(book, &list)?;
        tell(&format!("all of it as a list, to sort and to tick off: {}\n", list.shown()))?;
    }
    planned
}

/// The folder that a book lies in.
fn beside(book: &Path) -> PathBuf {
    // `.` and `..` name no folder of their own.
    let whole = book.canonicalize().unwrap_or_else(|_| book.to_path_buf());
    let named = if book.file_name().is_some() { book } else { &whole };
    match named.parent() {
        Some(folder) if folder.as_os_str().is_empty() => PathBuf::from("."),
        Some(folder) => folder.to_path_buf(),
        None => named.to_path_buf(),
    }
}

/// A name for a list of findings that nothing has yet.
fn free_name(folder: &Path, book: &Path) -> Result<PathBuf, Failure> {
    let name = book.file_stem().unwrap_or_default().to_string_lossy();
    let numbered = |i: usize| if i == 1 { String::new() } else { format!(" {i}") };
    let names = (1..=MOST_LISTS).map(|i| folder.join(format!("{name} findings{}.xlsx", numbered(i))));
    let full = || Failure::File(format!("{} has {MOST_LISTS} lists of findings already", folder.shown()));
    names.into_iter().find(|name| !name.exists()).ok_or_else(full)
}

/// Keeps the window open until somebody has read it, where it would go away with the program.
pub fn stay() {
    if !(std::io::stdin().is_terminal() && std::io::stdout().is_terminal()) || typed() {
        return;
    }
    // Where nobody can be asked, there is no window.
    let _ = tell("\nPress Enter to close this window.\n");
    let _ = std::io::stdin().lock().lines().next();
}

/// Whether somebody typed the command: then a shell started the program.
fn typed() -> bool {
    let mut system = System::new();
    let mut known = |pid| {
        system.refresh_processes_specifics(ProcessesToUpdate::Some(&[pid]), false, ProcessRefreshKind::nothing());
        system.process(pid).map(|process| (process.parent(), process.name().to_string_lossy().to_lowercase()))
    };
    let parent = sysinfo::get_current_pid().ok().and_then(&mut known).and_then(|(parent, _)| parent);
    let name = parent.and_then(&mut known).map(|(_, name)| name).unwrap_or_default();
    SHELLS.contains(&name.trim_start_matches('-').trim_end_matches(".exe"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_that_is_there_is_a_book_and_a_command_is_none() {
        let folder = tempfile::tempdir().expect("a folder");
        let book_of = |words: &[&str]| {
            let words: Vec<OsString> = words.iter().map(OsString::from).collect();
            book(&words, &["plan", "check"])
        };
        let path = folder.path().to_str().expect("text");
        assert_eq!(book_of(&["lineward", path]), Some(folder.path().to_path_buf()));
        assert_eq!(book_of(&["lineward", "plan"]), None);
        assert_eq!(book_of(&["lineward", "--help"]), None);
        assert_eq!(book_of(&["lineward", "no-such-book.xlsx"]), None);
        assert_eq!(book_of(&["lineward", "plan", path]), None);
    }

    #[test]
    #[expect(clippy::disallowed_methods, reason = "a file that is in the way")]
    fn what_lies_beside_a_book() {
        assert_eq!(beside(Path::new("book.xlsx")), Path::new("."));
        assert_eq!(beside(Path::new("a/book.xlsx")), Path::new("a"));
        assert_eq!(beside(Path::new("a/book/")), Path::new("a"));
        let folder = tempfile::tempdir().expect("a folder");
        let name = |i: &str| folder.path().join(format!("book findings{i}.xlsx"));
        assert_eq!(free_name(folder.path(), Path::new("book.xlsx")).expect("a name"), name(""));
        std::fs::write(name(""), "").expect("a file");
        assert_eq!(free_name(folder.path(), Path::new("book.xlsx")).expect("a name"), name(" 2"));
    }
}
