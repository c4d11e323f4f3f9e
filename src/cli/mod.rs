//! The command line: one file per command, and the exit status of each outcome.

mod check;
mod compare;
mod completions;
mod dropped;
mod given;
mod interrupt;
mod look;
mod manual;
mod new;
mod noticing;
mod output;
mod owed;
mod plan;
mod planned;
mod progress;
mod reading;
mod told;
mod try_out;
mod uses;
mod weigh;
mod why;

use crate::base::{Broken, Finding, Findings, Level, Moment, fold, nearest};
use crate::book::{ReadError, UNREADABLE_FILE};
use clap::{CommandFactory, Parser, Subcommand};
use std::borrow::Cow;
use std::ffi::OsString;
use std::io::Write;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::process::ExitCode;

/// Feeds a paced assembly line: what leaves the stores when, what each shop builds, what will be short.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 100)]
pub struct Args {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Check(check::Args),
    Compare(compare::Args),
    Completions(completions::Args),
    Look(look::Args),
    Manual(manual::Args),
    New(new::Args),
    Owed(owed::Args),
    Plan(plan::Args),
    Try(try_out::Args),
    Uses(uses::Args),
    Weigh(weigh::Args),
    Why(why::Args),
}

/// How a command ended other than well.
#[derive(Debug)]
pub enum Failure {
    /// The book has errors; they have been told, and nothing was written.
    Book,
    /// A file of the book can't be read; that has been told, and nothing was written.
    Unread,
    /// The command line names something that does not exist.
    Words(String),
    /// A file could not be read or written.
    File(String),
    /// Something that must hold does not: a mistake in the program.
    Broken(String),
}

impl Failure {
    /// That of a book whose errors have been told.
    fn of_book(findings: &Findings) -> Self {
        if findings.any_of(&UNREADABLE_FILE) { Self::Unread } else { Self::Book }
    }
}

impl From<ReadError> for Failure {
    fn from(error: ReadError) -> Self {
        Self::File(error.to_string())
    }
}

/// Reads the words of the command line and runs what they say; of a book and no command, what is done with one that is dropped
/// onto the program.
pub fn run_words(words: impl Iterator<Item = OsString>) -> ExitCode {
    let words: Vec<OsString> = words.collect();
    let commands = Args::command();
    let commands: Vec<&str> = commands.get_subcommands().map(clap::Command::get_name).chain(["help"]).collect();
    match dropped::book(&words, &commands) {
        Some(book) => {
            let status = ended(guarded(|| dropped::run(&book)));
            dropped::stay();
            status
        }
        None => run(Args::parse_from(words)),
    }
}

/// Runs a command; the exit status is 0 when it is done, 1 where the book has errors, 3 where a file could not be read or
/// written, or the program is mistaken. (A command line that can't be understood ends with 2 before it comes here.)
pub fn run(args: Args) -> ExitCode {
    ended(guarded(|| match args.command {
        Command::Check(args) => check::run(&args),
        Command::Compare(args) => compare::run(&args),
        Command::Completions(args) => completions::run(&args),
        Command::Look(args) => look::run(&args),
        Command::Manual(args) => manual::run(&args),
        Command::New(args) => new::run(&args),
        Command::Owed(args) => owed::run(&args),
        Command::Plan(args) => plan::run(&args),
        Command::Try(args) => try_out::run(&args),
        Command::Uses(args) => uses::run(&args),
        Command::Weigh(args) => weigh::run(&args),
        Command::Why(args) => why::run(&args),
    }))
}

/// Tells how a command ended, and gives its exit status.
fn ended(outcome: Result<(), Failure>) -> ExitCode {
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(Failure::Book) => ExitCode::from(1),
        Err(Failure::Unread) => ExitCode::from(3),
        Err(Failure::Words(why)) => {
            warn(&format!("lineward: {why}\n"));
            ExitCode::from(2)
        }
        Err(Failure::File(why)) => {
            warn(&format!("lineward: {why}\n"));
            ExitCode::from(3)
        }
        Err(Failure::Broken(what)) => {
            let told = "this is a mistake in the program, not in the book";
            warn(&format!("lineward: {told}: {what}; nothing was written\n"));
            ExitCode::from(3)
        }
    }
}

/// Where the system gives no more threads, all is done on one.
fn arrange_threads() {
    if rayon::ThreadPoolBuilder::new().build().is_err() {
        let alone = rayon::ThreadPoolBuilder::new().num_threads(1).use_current_thread().build_global();
        // It fails only where there are threads already.
        drop(alone);
    }
}

/// Runs what may find that something does not hold that must: then it is given up, and what it wrote aside is taken away.
fn guarded(command: impl FnOnce() -> Result<(), Failure>) -> Result<(), Failure> {
    let arranged = || {
        interrupt::arrange();
        arrange_threads();
        command()
    };
    catch_unwind(AssertUnwindSafe(arranged)).unwrap_or_else(|why| {
        // What is no `Broken` has been told where it happened.
        let what = why.downcast::<Broken>().map_or_else(|_| "it gave up".to_owned(), |broken| broken.0);
        Err(Failure::Broken(what))
    })
}

/// Tells something beside the answer; where that can't be done, nobody is listening.
fn warn(text: &str) {
    let mut out = std::io::stderr();
    let _ = out.write_all(plain(text).as_bytes()).and_then(|()| out.flush());
}

/// Prints the answer; a reader that has gone away is no failure, a full disk is.
fn tell(text: &str) -> Result<(), Failure> {
    let mut out = std::io::stdout();
    match out.write_all(plain(text).as_bytes()).and_then(|()| out.flush()) {
        Err(why) if why.kind() != std::io::ErrorKind::BrokenPipe => {
            Err(Failure::File(format!("can't print all of the answer: {why}")))
        }
        _ => Ok(()),
    }
}

fn steers(sign: char) -> bool {
    let turns = matches!(sign, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    turns || (sign.is_control() && !matches!(sign, '\n' | '\t'))
}

/// Text without what would steer a terminal or turn the order of letters: such signs are shown as their numbers.
fn plain(text: &str) -> Cow<'_, str> {
    if !text.contains(steers) {
        return text.into();
    }
    let shown = |sign: char| if steers(sign) { sign.escape_unicode().to_string() } else { sign.to_string() };
    text.chars().map(shown).collect::<String>().into()
}

/// The moment now, to the minute.
#[expect(clippy::disallowed_methods, reason = "the one place that looks at the clock")]
fn now() -> Moment {
    let now = Moment::from_chrono(chrono::Local::now().naive_local());
    now.plus(-(now.time() % 60))
}

/// Facts for programs.
fn as_json(facts: &impl serde::Serialize) -> Result<String, Failure> {
    let json = serde_json::to_string_pretty(facts).map_err(|why| Failure::File(why.to_string()))?;
    Ok(for_programs(&json))
}

/// JSON of which the terminal gets nothing that would steer it: in JSON such signs may as well stand as their numbers.
fn for_programs(json: &str) -> String {
    let mut text = String::with_capacity(json.len() + 1);
    for sign in json.chars() {
        if steers(sign) {
            text += &format!("\\u{:04x}", u32::from(sign));
        } else {
            text.push(sign);
        }
    }
    text + "\n"
}

/// The index of a code in a list; the message names the nearest.
fn find<'c>(codes: impl Iterator<Item = &'c str> + Clone, code: &str, what: &str) -> Result<usize, Failure> {
    let wanted = fold(code);
    codes.clone().position(|known| fold(known) == wanted).ok_or_else(|| {
        let near = nearest(code, codes).map(|near| format!(" (did you mean {near}?)")).unwrap_or_default();
        Failure::Words(format!("the book has no {what} '{code}'{near}"))
    })
}

/// `2 errors, 1 warning, 3 notes`; without those there are none of.
fn counts<'f>(findings: impl Iterator<Item = &'f Finding> + Clone) -> String {
    let count = |level: Level, word: &str| {
        let n = findings.clone().filter(|finding| finding.kind.level == level).count();
        (n > 0).then(|| format!("{n} {word}{}", if n == 1 { "" } else { "s" }))
    };
    let parts = [count(Level::Error, "error"), count(Level::Warning, "warning"), count(Level::Note, "note")];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    if parts.is_empty() { "nothing to report".to_owned() } else { parts.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::base::broken;
    use rayon::prelude::*;

    /// One file that replaces nothing.
    fn one(folder: &std::path::Path) -> output::Wanted<'_> {
        let (names, gone) = (vec!["one.csv".into()], Vec::new());
        output::Wanted { folder, names, gone, over: output::Over::Nothing, read: &[] }
    }

    /// A command that has written a file aside when something breaks, on another thread, as one of many.
    fn breaks(folder: &std::path::Path) -> Result<(), Failure> {
        let mut output = output::Output::to(one(folder))?;
        output.add("one.csv".as_ref(), |file| file.write_all(b"half"))?;
        (0..1000).into_par_iter().for_each(|i| {
            if i == 777 {
                broken("one and one are three")
            }
        });
        output.finish()
    }

    #[test]
    fn what_is_broken_is_told_and_nothing_is_left() {
        let folder = tempfile::tempdir().unwrap();
        let outcome = guarded(|| breaks(folder.path()));
        assert!(matches!(outcome, Err(Failure::Broken(what)) if what == "one and one are three"));
        assert_eq!(folder.path().read_dir().unwrap().count(), 0, "nothing is in place, and nothing aside");
    }

    #[test]
    fn what_breaks_while_a_file_is_written_is_told_too() {
        let folder = tempfile::tempdir().unwrap();
        let outcome = guarded(|| output::Output::to(one(folder.path()))?.add("one.csv".as_ref(), |_| broken("three")));
        assert!(matches!(outcome, Err(Failure::Broken(what)) if what == "three"));
        assert_eq!(folder.path().read_dir().unwrap().count(), 0);
    }
}
