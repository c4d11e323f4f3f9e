//! The sheet `the line`: what each piece that is not there does to it, those that stop it first.

use super::facts::Facts;
use super::text::more;
use crate::plan::{Consequence, Outcome, There};
use crate::report::limits::LONGEST;
use crate::report::line_words;
use crate::report::listing::{Line, listing, widths};
use crate::report::names::outcome_word;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;

/// How the pieces are judged.
const TOLD: &str = "Each piece that is not there when its run is picked. 'special run': handed over before the unit arrives. \
'can follow': before it arrives at the last station where the book (Parts, fit by) says it can still be fitted, by default its \
own; or the unit has left that station already, so that the line waits no more. 'stops the line': later, or nothing says \
when. 'Hand over at' is blank where no time is known, or the unit is off the line by then. What is missing at a shop is told by what is made of it. 'The line loses' is what the piece adds to the dates' losses, each begun on \
its times: a line that stands delays all behind it, so that a piece may add nothing though it would stop the line by itself. 'Saves the \
line until' is the last moment at which it may be there without stopping it, other late material left aside; blank where nothing stops.";

pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let plan = facts.plan;
    let mut sheet = Sheet::new("the line", &widths::<TheLine>());
    sheet.text(Look::Title, "What is not there, and what it does to the line");
    sheet.paragraph(Look::Strong, line_words::line(facts.plan));
    sheet.paragraph(Look::Faint, line_words::NOT_A_FORECAST);
    if let Some(words) = line_words::at_once(plan) {
        sheet.paragraph(Look::Strong, words);
    }
    sheet.paragraph(Look::Plain, TOLD);
    sheet.gap();
    let lines: Vec<Line<'p, TheLine>> = plan.effects.first.iter().take(LONGEST).map(|row| line(facts, row)).collect();
    let shown = lines.len();
    if lines.is_empty() {
        sheet.text(Look::Plain, "Everything is there when its run is picked.");
    } else {
        sheet.table(Some("the_line".to_owned()), lines);
        more(&mut sheet, shown, plan.effects.rows, "tables/consequences");
    }
    sheet
}

listing! {
    /// A piece that is not there when its run is picked.
    TheLine: fn line<'p>(facts: &Facts<'p>, row: &Consequence) {
        let plan = facts.plan;
        let part = facts.part(row.part);
        let there: Value<'p> = match row.there {
            There::At(at) => at.into(),
            There::Unknown => "not known".into(),
        };
    }
    look: if row.outcome == Outcome::StopsTheLine { Look::Wrong } else { Look::Plain };
    "what it does", 13, Text => outcome_word(row.outcome);
    "unit", 10, Text => plan.pace.owners[row.owner.at()].code.as_str();
    "unit arrives", 16, Moment => row.arrives;
    "part", 14, Text => part.code.as_str();
    "description", 22, Wrapped => part.description.as_str();
    "at", 10, Text => plan.plant.dest(row.to).code.as_str();
    "qty", 6, Quantity => row.qty;
    "uom", 5, Text => part.uom.as_str();
    "there", 16, Moment => there;
    "the line loses, min", 15, Whole => loses(facts, row);
    "saves the line until", 16, Moment => row.saves_until;
    "hand over at", 10, Text => row.hand_over_at.map(|station| plan.plant.dest(station).code.as_str());
    "note", 26, Wrapped => note(facts, row);
}

/// What a piece adds to what the line loses; blank where it stops nothing, and at shops.
fn loses<'p>(facts: &Facts<'p>, row: &Consequence) -> Value<'p> {
    match (row.outcome, facts.plan.adds_seconds(row)) {
        (Outcome::StopsTheLine, Some(_)) if row.stop_minutes.is_none() => "no known end".into(),
        (Outcome::StopsTheLine, Some(seconds)) => line_words::minutes(seconds).into(),
        _ => Value::Blank,
    }
}

/// Behind whom it adds nothing, for how long the line would stop for it alone, and whether anybody promised its moment.
fn note(facts: &Facts<'_>, row: &Consequence) -> String {
    let plan = facts.plan;
    let behind = plan.behind(row).map(|owner| format!("behind {}", plan.pace.owners[owner.at()].code));
    let adds = plan.adds_seconds(row).map(line_words::minutes);
    let alone = row.stop_minutes.filter(|minutes| Some(*minutes) != adds).map(|minutes| format!("{minutes} by itself"));
    let coming = facts.deliveries_of(row.part).iter().find(|coming| row.there == There::At(coming.delivery.available));
    let promise = coming.map(|coming| coming.delivery.not_promised().to_owned()).filter(|words| !words.is_empty());
    [behind, alone, promise].into_iter().flatten().collect::<Vec<_>>().join("; ")
}
