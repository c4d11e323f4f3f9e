//! What `lineward check` prints: findings grouped by kind, and the page of a kind.

use super::counts;
use crate::base::{Findings, Level, nearest};
use crate::check::all_kinds;
use std::fmt::Write;

/// So many findings of a kind are printed unless all are asked for.
const SHOWN: usize = 10;
/// So many lines of an example's changes are printed.
const EXAMPLE: usize = 12;

/// Findings by kind, the kinds that stop a plan first, and the counts.
pub fn grouped(book: &str, findings: &Findings, all: bool) -> String {
    let mut text = String::new();
    // Writing to a string can't fail.
    for (kind, group) in findings.by_kind() {
        let _ = writeln!(text, "{} {}: {}", group.len(), kind.name, kind.what);
        let shown = if all { group.len() } else { SHOWN };
        for finding in group.iter().take(shown) {
            let _ = writeln!(text, "{finding}");
        }
        if group.len() > shown {
            let _ = writeln!(text, "... and {} more (--all tells them)", group.len() - shown);
        }
        text.push('\n');
    }
    let _ = write!(text, "{book}: {}", counts(findings.iter()));
    if findings.count(Level::Error) > 0 {
        text.push_str("; 'lineward check --explain KIND' tells more");
    }
    text + "\n"
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
    let lines: Vec<&str> = change.lines().collect();
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
