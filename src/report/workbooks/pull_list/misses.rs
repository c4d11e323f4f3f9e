//! Misses, for the screen: what was not there on the walks, entered as it stands on the slips, by run, walk and stop.

use super::listed::{mark, of_tours};
use super::tour::Tour;
use crate::plan::Plan;
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet, Show};

/// The sheet's name.
pub const NAME: &str = "misses";
/// What stands before the facts by which the list is known again: the book, the as-of moment, the list's day, whether units are set aside, and
/// the mark of the walks.
pub const FACTS: [&str; 5] = ["the book", "as of", "day", "units set aside", "walks"];
/// The headings under which misses are entered.
pub const HEADINGS: [&str; 6] = ["run", "walk", "stop", "short", "counted", "who"];

/// So many rows can be filled in; more may follow below.
const ROWS: usize = 60;

/// Room for what was not there, a line a miss, with the checksum of the walks it belongs to.
pub fn sheet<'p>(plan: &'p Plan<'p>, tours: &[Tour<'_>]) -> Sheet<'p> {
    let mut sheet = Sheet::new(NAME, &widths::<Misses>());
    sheet.for_the_screen = true;
    sheet.text(Look::Title, format!("For the screen: what was not there, {}", plan.day.long()));
    let told = "From the slips: the run ('06:00'), the walk and the stop by their numbers, how many were not there, how many lie there now, and \
                who looked. What the walk took is known. Then: lineward owed BOOK PULL-LIST.xlsx says what is owed, which counts are wrong, and \
                what that does to the line. A miss that is not entered is in no later plan.";
    sheet.paragraph(Look::Plain, told);
    let values = [
        plan.plant.book.to_string(),
        plan.plant.as_of.to_string(),
        plan.day.to_string(),
        if plan.set_aside.is_empty() { "no" } else { "yes" }.to_owned(),
        mark(plan, &of_tours(tours)),
    ];
    for (label, value) in FACTS.into_iter().zip(values) {
        sheet.fact(Look::Faint, 2, label, value, Show::Text);
    }
    sheet.gap();
    let lines: Vec<Line<'p, Misses>> = (0..ROWS).map(|_| line()).collect();
    sheet.table(Some(NAME.to_owned()), lines);
    sheet
}

listing! {
    /// A miss to be filled in.
    Misses: fn line<'p>() {}
    look: Look::Plain;
    "run", 10, Text => "";
    "walk", 8, Text => "";
    "stop", 8, Text => "";
    "short", 12, Text => "";
    "counted", 12, Text => "";
    "who", 30, Text => "";
}
