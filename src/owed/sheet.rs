//! What comes of misses as a workbook: rows to be copied into the book, and the counts.

use super::text::{NOTHING_CHANGED, cells, count_words};
use super::{Owed, OwedRow, WrongCount};
use crate::plan::Plan;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet, Workbook};

/// The owed rows of `Extras`, and the wrong counts with two `lines`: what the line loses with the counts and by the book.
pub fn workbook<'o>(plan: &'o Plan<'o>, owed: &'o Owed, lines: [&str; 2]) -> Workbook<'o> {
    let foot = format!("{}, {}, as of {}", plan.plant.book, plan.day.long(), plan.plant.as_of.short());
    let sheets = vec![extras(plan, owed), counts(plan, owed, lines)];
    let mut workbook =
        Workbook { file: "owed.xlsx", title: "Owed from the misses of the pull list".to_owned(), foot, sheets };
    workbook.sheets.iter_mut().for_each(crate::report::limits::cut);
    workbook
}

/// The owed rows as the table `Extras` has them, headings in the first row.
fn extras<'o>(plan: &'o Plan<'o>, owed: &'o Owed) -> Sheet<'o> {
    let mut sheet = Sheet::new("Extras", &widths::<Extras>());
    sheet.table(Some("extras".to_owned()), owed.rows.iter().map(|row| extra(plan, row)).collect());
    sheet
}

listing! {
    /// A row of `Extras`.
    Extras: fn extra<'o>(plan: &Plan<'o>, row: &OwedRow) {
        let [part, _, uom, to, needed, unit, reason] = cells(plan, row);
    }
    look: Look::Plain;
    "part", 16, Text => part;
    "qty", 10, Quantity => row.qty;
    "uom", 8, Text => uom;
    "to", 12, Text => to;
    "needed", 18, Text => needed;
    "unit", 14, Text => unit;
    "reason", 60, Text => reason;
}

fn counts<'o>(plan: &'o Plan<'o>, owed: &'o Owed, [with, without]: [&str; 2]) -> Sheet<'o> {
    let mut sheet = Sheet::new("counts", &widths::<Counts>());
    sheet.text(Look::Title, format!("Counts of Stock that are wrong, as of {}", plan.plant.as_of.short()));
    sheet.paragraph(Look::Strong, format!("The line, planned with these counts: {with}"));
    sheet.paragraph(Look::Plain, format!("By the book as it is: {without}"));
    sheet.paragraph(Look::Plain, NOTHING_CHANGED);
    if owed.counts.is_empty() {
        sheet.text(Look::Plain, "None: what was missed agrees with the book.");
    } else {
        sheet.table(Some("counts".to_owned()), owed.counts.iter().map(|wrong| line(plan, wrong)).collect());
    }
    sheet
}

listing! {
    /// A bin whose count is wrong.
    Counts: fn line<'o>(plan: &Plan<'o>, wrong: &WrongCount) {
        let part = plan.plant.part(wrong.part);
    }
    look: Look::Plain;
    "part", 16, Text => part.code.as_str();
    "location", 14, Text => wrong.place.clone();
    "by the book", 12, Quantity => wrong.by_book;
    "less there", 12, Quantity => wrong.less;
    "uom", 8, Text => part.uom.as_str();
    "in words", 80, Wrapped => count_words(plan, wrong);
}
