//! The sheet `chase`: receipts that should have been there, those that something waits for first.

use super::acts::{Acts, Step, steps};
use super::facts::Facts;
use super::text::{due, few, supplier_name, who};
use super::waiting::Delivery;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;

const WIDTHS: [u16; 12] = [10, 14, 20, 19, 8, 5, 17, 8, 17, 8, 38, 14];

const COLUMNS: [Column; 12] = [
    Column { heading: "purchase order", show: Show::Wrapped },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "supplier", show: Show::Wrapped },
    Column { heading: "qty open", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "was due", show: Show::Moment },
    Column { heading: "days overdue", show: Show::Whole },
    Column { heading: "taken as there", show: Show::Moment },
    Column { heading: "of it needed", show: Show::Quantity },
    Column { heading: "how many by when, and who leans on it", show: Show::Wrapped },
    Column { heading: "new date agreed", show: Show::Box },
];

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("chase", &WIDTHS);
    sheet.text(Look::Title, "Chase: overdue receipts");
    sheet.paragraph(
        Look::Plain,
        "The plan takes each as there at the moment shown, which nobody has promised: ask for a date. 'By when' is the \
         picking of the run the pieces are for.",
    );
    sheet.gap();
    if acts.chase.is_empty() {
        sheet.text(Look::Plain, "No receipt is overdue.");
    } else {
        let lines = acts.chase.iter().map(|delivery| line(facts, delivery)).collect();
        sheet.table(Some("chase".to_owned()), &COLUMNS, lines);
    }
    sheet
}

fn line<'p>(facts: &Facts<'p>, delivery: &Delivery<'p>) -> Line<'p> {
    let part = facts.part(delivery.part);
    let days = facts.plan.plant.as_of.date().days() - delivery.due.date().days();
    let late = delivery.takers.iter().any(|taker| taker.late);
    let values = vec![
        delivery.order.into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        supplier_name(delivery.supplier).into(),
        delivery.open.into(),
        part.uom.as_str().into(),
        due(delivery),
        i64::from(days).into(),
        delivery.available.into(),
        delivery.taken().into(),
        leaning(facts, delivery).into(),
        Value::Blank,
    ];
    (if late { Look::Strong } else { Look::Plain }, values)
}

/// How many runs that lean on a receipt are told one by one.
const FIRST_RUNS: usize = 3;

/// The first pieces that something leans on, and who waits even if it comes when it is taken to.
fn leaning(facts: &Facts<'_>, delivery: &Delivery<'_>) -> String {
    let told = |step: &Step| {
        let whose = few(step.takers.iter().map(|demand| who(facts, demand)), 2).replace("; ", ", ");
        format!("{} by {} ({whose})", step.qty, step.by.short())
    };
    let all = steps(delivery, |_| true);
    let mut words = all.iter().take(FIRST_RUNS).map(told).collect::<Vec<_>>().join("; ");
    if let Some(last) = all.get(FIRST_RUNS..).and_then(<[Step]>::last) {
        let runs = all.len() - FIRST_RUNS;
        let s = if runs == 1 { "" } else { "s" };
        words += &format!("; and {runs} run{s} more, {} in all by {}", last.qty, last.by.short());
    }
    let late = delivery.takers.iter().filter(|taker| taker.late).map(|taker| who(facts, &taker.demand));
    let late = few(late, 3).replace("; ", ", ");
    match (words.is_empty(), late.is_empty()) {
        (true, _) => "nothing in this sequence leans on it".to_owned(),
        (_, true) => words,
        _ => format!("{words}. Even so these wait: {late}"),
    }
}
