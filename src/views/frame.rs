//! What stands around every view: which plant and plan it is of, the search field, the ways to the other views, and what is wrong with the
//! book at the moment.

use super::{Address, View};
use crate::base::{Findings, Level};
use maud::{DOCTYPE, Markup, html};

/// So many shops are named above every view; each shop's own names them all.
const MOST_SHOPS: usize = 8;
/// So many findings of a kind are told.
const MOST_OF_A_KIND: usize = 20;

/// What is said around a view.
#[derive(Clone, Debug, Default)]
pub struct Around {
    /// Its name, by the book's settings.
    pub plant: String,
    /// The moment the plan is for.
    pub as_of: String,
    /// When it was planned.
    pub planned: String,
    /// Which plan it is since the command began, from 1: the page asks for it, and follows.
    pub number: u64,
    /// Since when the book can't be planned as it is; nothing where it can.
    pub wrong_since: Option<String>,
    /// Their codes, each a page of its own.
    pub shops: Vec<String>,
}

/// A whole page.
pub fn page(around: &Around, view: &View, searched: &str) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(&format!("{} · {}", view.title, around.plant)))
            body data-plan=(around.number) {
                a .skip href="#content" { "to the content" }
                header {
                    p .plant { strong { (around.plant) } " as of " (around.as_of) ", planned " (around.planned) }
                    nav aria-label="views" {
                        a href=(Address::FIRST) { "The line" } " "
                        a href=(Address::Runs { from: None }) { "Runs" } " "
                        @for shop in around.shops.iter().take(MOST_SHOPS) { a href=(Address::Shop { shop: shop.clone(), day: None }) { (shop) } " " }
                        @if let Some(next) = around.shops.get(MOST_SHOPS) { a href=(Address::Shop { shop: next.clone(), day: None }) { (around.shops.len() - MOST_SHOPS) " shops more" } " " }
                        a href=(Address::Lists) { "All sheets" } " "
                        a href=(Address::Order { chosen: super::orders::Chosen::default() }) { "An order" } " "
                        a href=(Address::Try { edits: Vec::new() }) { "Try" }
                    }
                    form role="search" action="/find" method="get" {
                        label for="words" { "Find" } " "
                        input #words name="words" type="search" value=(searched) placeholder="unit, part, order, supplier" autocomplete="off";
                        button { "find" }
                    }
                }
                (banner(around))
                main #content tabindex="-1" { h1 { (view.title) } (view.body) }
                footer { p { "Looked at on this machine alone. The book is read, never written." } }
            }
        }
    };
    page.into_string()
}

fn head(title: &str) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            title { (title) }
            link rel="stylesheet" href="/look.css";
            link rel="icon" href="data:,";
            script src="/look.js" defer {}
        }
    }
}

fn banner(around: &Around) -> Markup {
    html! {
        div #banner role="status" {
            @if let Some(since) = &around.wrong_since {
                p .wrong { "■ Since " (since) " the book can't be planned as it is. What is shown is the last plan that could be made, of "
                    (around.planned) ". " a href="/book" { "What is wrong with the book" } }
            }
        }
    }
}

/// What is wrong with the book, at its cells.
pub fn wrong(findings: Option<&Findings>) -> View {
    let Some(findings) = findings else {
        return View {
            title: "The book".to_owned(),
            body: html! { p { "The book can be planned as it is." } },
            there: true,
        };
    };
    let kinds = findings.by_kind();
    let errors = kinds.iter().filter(|(kind, _)| kind.level == Level::Error);
    let body = html! {
        @for (kind, found) in errors {
            section {
                h2 { (kind.name) ": " (kind.what) }
                ul { @for finding in found.iter().take(MOST_OF_A_KIND) { li { (finding) } } }
                @if found.len() > MOST_OF_A_KIND { p .more { (found.len() - MOST_OF_A_KIND) " more; 'lineward check' tells all of them" } }
                p .small { (kind.remedy) }
            }
        }
    };
    View { title: "What is wrong with the book".to_owned(), body, there: true }
}

/// A page that is about no plan: what could not be answered, and why.
pub fn plain_page(title: &str, words: &str) -> String {
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(title))
            body { main #content { h1 { (title) } p { (words) } p { a href="/" { "to the line" } } } }
        }
    };
    page.into_string()
}
