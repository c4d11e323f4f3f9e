//! The sheet `chase`: receipts that should have been there, those that something waits for first.

use super::acts::Acts;
use super::facts::Facts;
use super::text::{due, few, few_of, more, supplier_name, who};
use super::waiting::Coming;
use crate::plan::{FIRST_RUNS, Leaning};
use crate::report::limits::LONGEST;
use crate::report::listing::{listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;

pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("chase", &widths::<Chase>());
    sheet.text(Look::Title, "Chase: overdue receipts");
    sheet.paragraph(
        Look::Plain,
        "The plan takes each as there at the moment shown: overdue, not promised. Ask for a date. 'By when' is the picking of \
         the run the pieces are for: they go with their run until then. 'Saves the line until' is the last moment at which nothing \
         stops for any of them, other late material left aside; blank where nothing can.",
    );
    sheet.gap();
    if acts.chase.is_empty() {
        sheet.text(Look::Plain, "No receipt is overdue.");
    } else {
        let lines = acts.chase.iter().take(LONGEST).map(|coming| line(facts, coming)).collect();
        sheet.table(Some("chase".to_owned()), lines);
        more(&mut sheet, acts.chase.len().min(LONGEST), acts.chase.len(), "the book's Receipts");
    }
    sheet
}

listing! {
    /// A delivery to chase.
    Chase: fn line<'p>(facts: &Facts<'p>, coming: &Coming<'p>) {
        let delivery = coming.delivery;
        let part = facts.part(delivery.part);
        let days = facts.plan.plant.as_of.date().days() - delivery.due.date().days();
    }
    look: if coming.taken.first_late.is_some() { Look::Strong } else { Look::Plain };
    "purchase order", 10, Wrapped => delivery.order;
    "part", 14, Text => part.code.as_str();
    "description", 20, Wrapped => part.description.as_str();
    "supplier", 19, Wrapped => supplier_name(delivery.supplier);
    "qty open", 8, Quantity => delivery.open;
    "uom", 5, Text => part.uom.as_str();
    "was due", 17, Moment => due(delivery);
    "days overdue", 8, Whole => i64::from(days);
    "taken as there", 17, Moment => delivery.available;
    "of it needed", 8, Quantity => coming.taken.qty;
    "how many by when, and who leans on it", 38, Wrapped => leaning(facts, coming);
    "saves the line until", 17, Moment => facts.delivery_saves_until(coming);
    "new date agreed", 14, Box => Value::Blank;
}

/// The first pieces that something leans on, and who waits even if it comes when it is taken to.
fn leaning(facts: &Facts<'_>, coming: &Coming<'_>) -> String {
    let taken = coming.taken;
    let told =
        |run: &Leaning| format!("{} by {} ({})", run.qty, run.by.short(), who_leans(facts, run, 2).replace("; ", ", "));
    let mut words = taken.first.iter().map(told).collect::<Vec<_>>().join("; ");
    if let (true, Some(last)) = (taken.runs > FIRST_RUNS, taken.last) {
        let runs = taken.runs - FIRST_RUNS;
        let s = if runs == 1 { "" } else { "s" };
        words += &format!("; and {runs} run{s} more, {} in all by {}", taken.qty, last.short());
    }
    let late = late_takers(facts, coming).replace("; ", ", ");
    match (words.is_empty(), late.is_empty()) {
        (true, _) => "nothing in this sequence leans on it".to_owned(),
        (_, true) => words,
        _ => format!("{words}. Even so these wait: {late}"),
    }
}

/// The first who wait even if it comes when it is taken to.
fn late_takers(facts: &Facts<'_>, coming: &Coming<'_>) -> String {
    if coming.taken.first_late.is_none() {
        return String::new();
    }
    let waiting = facts.waiting_for(coming.delivery.part);
    let late = waiting.iter().filter(|piece| piece.delivery == Some(coming.number));
    few(late.map(|piece| who(facts, &piece.demand)), 3)
}

/// The first who take something with a run, and how many more.
pub fn who_leans(facts: &Facts<'_>, run: &Leaning, most: usize) -> String {
    let shown = run.takers.len().min(most);
    few_of(run.takers[..shown].iter().map(|demand| who(facts, demand)), run.takers.len() - shown + run.more)
}
