//! What views share: links, tables, and states as a word with a shape, so that none is told by colour alone.

use super::{Address, MOST_LINES};
use crate::base::{OwnerId, PartId};
use crate::plan::{Outcome, Plan};
use maud::{Markup, html};

/// A link to a unit.
pub fn unit(code: &str) -> Markup {
    html! { a href=(Address::Unit { unit: code.to_owned() }) { (code) } }
}

/// A link to a unit on the plan; nothing for nobody, and only the code of one that extras alone name.
pub fn owner(plan: &Plan<'_>, owner: OwnerId) -> Markup {
    let owner = &plan.pace.owners[owner.at()];
    match owner.unit {
        Some(_) => unit(&owner.code),
        None => html! { (owner.code) },
    }
}

/// A link to a part by its code.
pub fn part_code(code: &str) -> Markup {
    html! { a href=(Address::Part { part: code.to_owned() }) { (code) } }
}

/// A link to a part, and what it is.
pub fn part(plan: &Plan<'_>, part: PartId) -> Markup {
    let part = plan.plant.part(part);
    html! { (part_code(&part.code)) " " (part.description) }
}

/// Why a unit needs a part, as a link.
pub fn why(unit: &str, part: &str) -> Markup {
    let address = Address::Why { unit: unit.to_owned(), part: part.to_owned() };
    html! { a href=(address) aria-label=(format!("why {unit} needs {part}")) { "why" } }
}

/// A link to a supplier.
pub fn supplier(name: &str) -> Markup {
    html! { @if !name.is_empty() { a href=(Address::Supplier { supplier: name.to_owned() }) { (name) } } }
}

/// A link to a shop.
pub fn shop(code: &str) -> Markup {
    html! { a href=(Address::Shop { shop: code.to_owned(), day: None }) { (code) } }
}

/// What a state is shown as beside its word: filled for what stops, half for what is wrong, open for what is well.
pub fn shape(word: &str) -> &'static str {
    match word {
        "stops the line" => "■",
        "short" => "◆",
        "late" | "special run" => "◐",
        "can follow" => "◔",
        "hold" | "set aside" => "▱",
        "clear" | "in time" | "ready" => "○",
        _ => "·",
    }
}

/// A state: its shape, which helpers that read aloud pass over, and its word.
pub fn state(word: &str) -> Markup {
    html! { span class=(format!("state {}", word.replace(' ', "-"))) { span aria-hidden="true" { (shape(word)) } " " (word) } }
}

/// `stops the line 205 min`, `stops the line, no end known`: what a piece does.
pub fn outcome(outcome: Outcome, minutes: Option<i64>) -> Markup {
    let word = crate::plan::words::outcome_word(outcome);
    let long = match (outcome, minutes) {
        (Outcome::StopsTheLine, Some(minutes)) => format!(" {minutes} min"),
        (Outcome::StopsTheLine, None) => ", no end known".to_owned(),
        _ => String::new(),
    };
    html! { (state(word)) (long) }
}

/// A fact: what it is, and its value.
pub fn fact(label: &str, value: &Markup) -> Markup {
    html! { dt { (label) } dd { (value) } }
}

/// A table with a caption; the first lines of it, and how many more there are. Where a script runs, its columns can be sorted and its
/// lines searched.
pub fn table(caption: &str, headings: &[&str], lines: &[Markup], of: usize) -> Markup {
    html! {
        (some(caption, headings, lines, of))
        @if of > lines.len() { p .more { (of - lines.len()) " more are in the book and the plan's tables" } }
    }
}

/// The same without a word on where the others are.
pub fn some(caption: &str, headings: &[&str], lines: &[Markup], of: usize) -> Markup {
    html! {
        @if lines.is_empty() {
            p .none { (caption) ": none" }
        } @else {
            div .scroll tabindex="0" role="region" aria-label=(caption) {
                table .list {
                    caption { (caption) @if of > lines.len() { " (the first " (lines.len()) " of " (of) ")" } }
                    thead { tr { @for heading in headings { th scope="col" { (heading) } } } }
                    tbody { @for line in lines { tr { (line) } } }
                }
            }
        }
    }
}

/// The same of something that may be too long for a page.
pub fn first<T>(caption: &str, headings: &[&str], all: &[T], line: impl Fn(&T) -> Markup) -> Markup {
    let lines: Vec<Markup> = all.iter().take(MOST_LINES).map(line).collect();
    table(caption, headings, &lines, all.len())
}
