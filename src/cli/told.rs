//! What `lineward check` prints: findings grouped by kind, and the page of a kind.

use super::counts;
use crate::base::{Findings, Level, nearest};
use crate::check::{Held, all_kinds};
use std::fmt::Write;

/// So many findings of a kind are printed unless all are asked for.
const SHOWN: usize = 10;
/// So many lines of an example's changes are printed.
const EXAMPLE: usize = 12;

/// Findings by kind, the kinds that stop a plan first, what is on hold and why, and the counts.
pub fn grouped(book: &str, findings: &Findings, held: &[Held], all: bool) -> String {
    let shown = if all { usize::MAX } else { SHOWN };
    let mut text = by_kind(findings, None, shown, "--all");
    on_hold(&mut text, held, shown);
    let _ = write!(text, "{book}: {}", counts(findings.iter()));
    if findings.count(Level::Error) > 0 {
        text.push_str("; 'lineward check --explain KIND' tells more");
    }
    text + "\n"
}

/// The errors alone by kind, ten of each, for a command that they stop.
pub fn errors(findings: &Findings) -> String {
    by_kind(findings, Some(Level::Error), SHOWN, "'lineward check --all'")
}

/// Findings by kind, or those of one level; so many of a kind, and how many more there are.
fn by_kind(findings: &Findings, level: Option<Level>, shown: usize, all: &str) -> String {
    let mut text = String::new();
    // Writing to a string can't fail.
    for (kind, group) in findings.by_kind() {
        if level.is_some_and(|level| level != kind.level) {
            continue;
        }
        let _ = writeln!(text, "{} {}: {}", group.len(), kind.name, kind.what);
        for finding in group.iter().take(shown) {
            let _ = writeln!(text, "{finding}");
        }
        if group.len() > shown {
            let _ = writeln!(text, "... and {} more ({all} tells them)", group.len() - shown);
        }
        text.push('\n');
    }
    text
}

/// The reasons for which units and stock are on hold: any text is one, meant or not.
fn on_hold(text: &mut String, held: &[Held], shown: usize) {
    if held.is_empty() {
        return;
    }
    let _ = writeln!(text, "on hold (any text holds but no, n, false, 0 and -):");
    for reason in held.iter().take(shown) {
        let rows = if reason.rows == 1 { "row" } else { "rows, the first" };
        let Held { table, rows: count, first_row, .. } = reason;
        let _ = writeln!(text, "  {table}: '{}': {count} {rows} {first_row}", cut(&reason.reason));
    }
    if held.len() > shown {
        let _ = writeln!(text, "... and {} more reasons (--all tells them)", held.len() - shown);
    }
    text.push('\n');
}

/// A text as a line shows it: not a page of it.
fn cut(text: &str) -> String {
    match text.char_indices().nth(60) {
        Some((end, _)) => format!("{}…", &text[..end]),
        None => text.to_owned(),
    }
}

/// The page of a kind, or why there is none.
pub fn explained(name: &str) -> Result<String, String> {
    let kinds = all_kinds();
    let wanted = name.trim().to_lowercase();
    let Some(kind) = kinds.iter().find(|kind| kind.name == wanted) else {
        let near = nearest(&wanted, kinds.iter().map(|kind| kind.name));
        let near = near.map(|near| format!(" (did you mean {near}?)")).unwrap_or_default();
        return Err(format!("no kind of finding is called '{name}'{near}"));
    };
    let (change, told) = kind.example.split_once("told:\n").unwrap_or((kind.example, ""));
    // What else is told of such a book is for the tests.
    let lines: Vec<&str> = change.lines().filter(|line| !line.starts_with("beside ")).collect();
    let mut text = format!("{}: {}\n\n{}\n", kind.level, kind.name, kind.what);
    let _ = write!(
        text,
        "Why it matters: {}\nWhat to do: {}\n\nFor example, where a book is changed so:\n",
        kind.why, kind.remedy
    );
    lines.iter().take(EXAMPLE).for_each(|line| text += &format!("    {line}\n"));
    if lines.len() > EXAMPLE {
        let _ = writeln!(text, "    ... and {} lines more", lines.len() - EXAMPLE);
    }
    text.push_str("this is told:\n");
    told.lines().for_each(|line| text += &format!("    {line}\n"));
    Ok(text)
}
