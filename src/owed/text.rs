//! What comes of misses in words, and the owed rows as `Extras` has them.

use super::{Owed, OwedRow, WrongCount};
use crate::base::{Quantity, count};
use crate::plan::Plan;
use crate::report::names::dest_code;
use crate::report::prose::Prose;
use itertools::Itertools;

/// The columns of `Extras`, in the order of the rows below.
pub const COLUMNS: [&str; 7] = ["part", "qty", "uom", "to", "needed", "unit", "reason"];

/// So many rows and counts are printed.
const SHOWN: usize = 40;

/// A row of `Extras` as text, by [`COLUMNS`].
pub fn cells(plan: &Plan<'_>, row: &OwedRow) -> [String; 7] {
    let part = plan.plant.part(row.part);
    let unit = row.owner.map_or("", |owner| plan.pace.owners[owner.at()].code.as_str());
    [
        part.code.clone(),
        row.qty.to_string(),
        part.uom.clone(),
        dest_code(plan, row.to).to_owned(),
        row.needed.to_string(),
        unit.to_owned(),
        row.reason.clone(),
    ]
}

/// The owed rows as a CSV text, headings first.
pub fn rows_as_csv(plan: &Plan<'_>, rows: &[OwedRow]) -> String {
    let quoted = |cell: &String| {
        let plain = !cell.contains([',', '"', '\n', '\r']);
        if plain { cell.clone() } else { format!("\"{}\"", cell.replace('"', "\"\"")) }
    };
    let line = |row: &OwedRow| cells(plan, row).iter().map(quoted).join(",");
    std::iter::once(COLUMNS.join(",")).chain(rows.iter().map(line)).map(|line| line + "\n").collect()
}

/// `SNK-01 at A-2-1: 23 ea by the book, 2 ea less there`
pub fn count_words(plan: &Plan<'_>, wrong: &WrongCount) -> String {
    let part = plan.plant.part(wrong.part);
    let place = if wrong.place.is_empty() { "no location" } else { &wrong.place };
    let (by, more) = match wrong.less < Quantity::ZERO {
        true => (Quantity::ZERO - wrong.less, "more"),
        false => (wrong.less, "less"),
    };
    let mut text =
        format!("{} at {place}: {} {} by the book, {by} {} {more} there", part.code, wrong.by_book, part.uom, part.uom);
    if !wrong.counted {
        text += "; nobody counted: the bin is taken to be empty, since something was short there";
    }
    if wrong.beyond.is_positive() {
        text += &format!(
            "; {} {} of it are no stock: they were to come by then, look whether they did",
            wrong.beyond, part.uom
        );
    }
    text
}

/// All of it, with what the line loses with the counts and without.
pub fn text(plan: &Plan<'_>, owed: &Owed, [with, without]: [&str; 2]) -> String {
    let mut prose = Prose::default();
    let (list, as_of) = (plan.day.long(), plan.plant.as_of.short());
    let misses = count(owed.misses, "miss", "misses");
    prose.line(0, &format!("{misses} on the pull list of {} for {list}, as of {as_of}.", plan.plant.book));
    if owed.misses == 0 {
        return prose.done();
    }
    prose.heading(&format!("Owed, {} of Extras", count(owed.rows.len(), "row", "rows")));
    let shown = &owed.rows[..owed.rows.len().min(SHOWN)];
    let rows = if shown.is_empty() { String::new() } else { rows_as_csv(plan, shown) };
    let mut text = prose.done() + &rows;
    let mut prose = Prose::default();
    if owed.rows.len() > SHOWN {
        prose.line(0, &format!("and {} more: --out FILE.xlsx has them all", owed.rows.len() - SHOWN));
    }
    prose.heading(&format!("Counts of Stock that are wrong, as of {as_of}"));
    if owed.counts.is_empty() {
        prose.line(2, "None: what was missed agrees with the book.");
    }
    for wrong in owed.counts.iter().take(SHOWN) {
        prose.line(2, &count_words(plan, wrong));
    }
    if owed.counts.len() > SHOWN {
        prose.line(2, &format!("and {} more: --out FILE.xlsx has them all", owed.counts.len() - SHOWN));
    }
    prose.heading("The line, planned with these counts as of the same moment");
    prose.line(2, with);
    prose.line(2, &format!("by the book as it is: {without}"));
    prose.heading(NOTHING_CHANGED);
    text += &prose.done();
    text
}

/// What is still to be done.
pub const NOTHING_CHANGED: &str = "Nothing was changed: enter the rows in Extras and the counts in Stock. The plan with the counts has the \
owed pieces as needs of its bills, since nothing of the list has left in it; once the list's runs are 'delivered to', the rows of Extras stand for them.";
