//! Views of a plan for a browser: each has an address, is made from the plan and the book alone, and says the same whoever asks.
//!
//! A view is text in the language of web pages, with nothing in it that runs. What serves it, and what it is kept from, stands in
//! `cli/look`.

mod address;
mod axis;
mod cells;
mod find;
mod frame;
mod lines;
mod lists;
mod orders;
mod parts;
mod pegs;
mod runs;
mod shops;
mod suppliers;
mod tell;
mod tries;
mod units;

pub use address::Address;
pub use frame::{Around, page, plain_page, wrong};
pub use tries::{MOST_TRIALS, results};

use crate::base::{fold, nearest};
use crate::book::Book;
use crate::calls::Calls;
use crate::plan::Plan;
use crate::report::sheet::Workbook;
use maud::{Markup, html};
use std::sync::OnceLock;

/// A list on a view ends after so many lines and says how many more there are.
pub const MOST_LINES: usize = 300;

/// What is looked at: a plan, the book it comes from, and its workbooks as soon as they are made.
#[derive(Clone, Copy)]
pub struct Looked<'p> {
    /// As the book is now, or was when it could be planned last.
    pub plan: &'p Plan<'p>,
    /// Its book.
    pub book: &'p Book,
    /// Its three workbooks; nothing while they are being made.
    pub workbooks: &'p OnceLock<[Workbook<'p>; 3]>,
    /// Its calls, as soon as somebody asks.
    pub calls: &'p OnceLock<Calls>,
    /// Where the book lies, as it was typed.
    pub path: &'p str,
    /// Whether units whose order is wrong are set aside.
    pub set_aside: bool,
    /// What a trial must carry: nobody but these pages knows it.
    pub token: &'p str,
}

/// What stands at an address.
pub struct View {
    /// What it is, for the window and the heading.
    pub title: String,
    /// Its content, below the heading.
    pub body: Markup,
    /// Whether the book has what was asked for.
    pub there: bool,
}

impl View {
    fn new(title: impl Into<String>, body: Markup) -> Self {
        Self { title: title.into(), body, there: true }
    }

    /// Of something that the book has not.
    fn none(what: &str, code: &str, near: Option<&str>) -> Self {
        let body = html! {
            p { "The book has no " (what) " “" (code) "”." @if let Some(near) = near { " Did you mean " (near) "?" } }
        };
        Self { title: format!("no {what} {code}"), body, there: false }
    }
}

/// What an address shows.
pub fn view(looked: Looked<'_>, address: &Address) -> View {
    match address {
        Address::Line { line, number } => lines::view(looked.plan, line.as_deref(), *number),
        Address::Unit { unit } => units::view(looked, unit),
        Address::Why { unit, part } => units::why(looked, unit, part),
        Address::Part { part } => parts::view(looked, part),
        Address::Run { leaves } => runs::view(looked.plan, *leaves),
        Address::Runs { from } => runs::all(looked.plan, *from),
        Address::Shop { shop, day } => shops::view(looked.plan, shop, *day),
        Address::Supplier { supplier } => suppliers::view(looked.plan, supplier),
        Address::Lists => lists::all(looked),
        Address::List { file, sheet, from } => lists::one(looked, file, sheet, from.unwrap_or_default()),
        Address::Find { words } => find::view(looked.plan, words),
        Address::Order { chosen } => orders::view(looked, chosen),
        Address::Cell { choice } => cells::view(looked, choice),
        Address::Try { edits } => tries::form(looked, edits),
    }
}

/// The place of a code in a list, or a view that says that there is none.
fn found<'c>(what: &str, code: &str, codes: impl Iterator<Item = &'c str> + Clone) -> Result<usize, View> {
    let wanted = fold(code.trim());
    let place = codes.clone().position(|known| fold(known) == wanted);
    place.ok_or_else(|| View::none(what, code, nearest(code, codes)))
}
