//! Random books of an invented plant, valid and full of everything a book can hold.

use std::collections::BTreeMap;

mod bill_lines;
mod bills;
mod calendars;
mod changes;
mod choices;
mod conditions;
mod dice;
pub use dice::Dice;
mod extras;
mod further;
pub use further::further_book;
mod measures;
mod offered;
mod orders;
mod part_rows;
mod parts;
mod places;
mod safe_orders;
mod sheet;
mod stock;

/// Table names such as `Bills`, and their CSV text with headings.
pub type Book = BTreeMap<String, String>;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Size {
    /// About 10 units and 30 parts.
    Small,
    /// About 40 units and 200 parts.
    Large,
}

impl Size {
    /// The first number for a small book, the second for a large one.
    fn of<T>(self, small: T, large: T) -> T {
        match self {
            Size::Small => small,
            Size::Large => large,
        }
    }
}

/// Whether a seed's book may hold units with errors in their orders.
pub fn may_hold_wrong_orders(seed: u64) -> bool {
    seed % 3 == 2
}

/// The book of a seed: always the same.
pub fn random_book(seed: u64, size: Size) -> Book {
    let mut dice = dice::Dice::new(seed);
    let dice = &mut dice;
    let mut book = Writer { book: Book::new() };
    let wrong_too = may_hold_wrong_orders(seed);

    let times = calendars::write(dice, &mut book);
    let places = places::write(dice, size, &times, &mut book);
    let choices = choices::write(dice, size, &places, &mut book);
    let units = orders::write(dice, size, &times, &places, &choices, wrong_too, &mut book);
    let changes = changes::write(dice, &times, &units, &mut book);
    let parts = parts::write(dice, size, &places, &mut book);
    measures::write(dice, &parts, &mut book);
    let bills = bills::write(dice, size, &places, &choices, &changes, &parts, &mut book);
    stock::write(dice, &times, &places, &units, &parts, &mut book);
    extras::write(dice, &times, &places, &units, &parts, &bills, &mut book);
    book.book
}

/// The book while it is written.
struct Writer {
    book: Book,
}

impl Writer {
    /// Puts a table in; an empty one only now and then, for a missing table is an empty one.
    fn put(&mut self, table: &str, sheet: &sheet::Sheet) {
        if !sheet.is_empty() || table.len().is_multiple_of(2) {
            self.book.insert(table.to_string(), sheet.text());
        }
    }
}
