//! The sheet `the line`: what each piece that is not there does to it, those that stop it first.

use super::facts::Facts;
use super::text::more;
use crate::plan::{Consequence, Outcome, There, Totals};
use crate::report::limits::LONGEST;
use crate::report::names::outcome_word;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;

const WIDTHS: [u16; 11] = [14, 11, 17, 15, 26, 11, 7, 5, 17, 10, 12];

const COLUMNS: [Column; 11] = [
    Column { heading: "what it does", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "unit arrives", show: Show::Moment },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "at", show: Show::Text },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "there", show: Show::Moment },
    Column { heading: "line stops, min", show: Show::Whole },
    Column { heading: "hand over at", show: Show::Text },
];

/// How the pieces are judged.
const TOLD: &str = "Each piece that is not there when its run is picked. 'special run': handed over before the unit arrives. \
'can follow': before it arrives at the last station where the book (Parts, fit by) says it can still be fitted, by default its \
own; or the unit has left that station already, so that the line waits no more. 'stops the line': later, or nothing says \
when. 'Hand over at' is blank where no time is known, or the unit is off the line by then. Minutes are the line's working minutes for \
this piece alone, the hand-over included. What is missing at a shop is told by what is made of it.";

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let plan = facts.plan;
    let mut sheet = Sheet::new("the line", &WIDTHS);
    sheet.text(Look::Title, "What is not there, and what it does to the line");
    sheet.text(Look::Strong, words(facts));
    sheet.paragraph(Look::Plain, TOLD);
    sheet.gap();
    let lines: Vec<Line<'p>> = plan.effects.first.iter().take(LONGEST).map(|row| line(facts, row)).collect();
    let shown = lines.len();
    if lines.is_empty() {
        sheet.text(Look::Plain, "Everything is there when its run is picked.");
    } else {
        sheet.table(Some("the_line".to_owned()), &COLUMNS, lines);
        more(&mut sheet, shown, plan.effects.rows, "tables/consequences");
    }
    sheet
}

/// `2 units stop, 40 min; 3 special runs; 1 can follow`
pub fn words(facts: &Facts<'_>) -> String {
    Totals::of(facts.plan).to_string()
}

fn line<'p>(facts: &Facts<'p>, row: &Consequence) -> Line<'p> {
    let plan = facts.plan;
    let part = facts.part(row.part);
    let there: Value<'p> = match row.there {
        There::At(at) => at.into(),
        There::Unknown => "not known".into(),
    };
    let values = vec![
        outcome_word(row.outcome).into(),
        plan.pace.owners[row.owner.at()].code.as_str().into(),
        row.arrives.into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        plan.plant.dest(row.to).code.as_str().into(),
        row.qty.into(),
        part.uom.as_str().into(),
        there,
        row.stop_minutes.into(),
        row.hand_over_at.map(|station| plan.plant.dest(station).code.as_str()).into(),
    ];
    (if row.outcome == Outcome::StopsTheLine { Look::Wrong } else { Look::Plain }, values)
}
