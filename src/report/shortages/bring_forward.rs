//! The sheet `bring forward`: how much of a purchase order must come sooner, and by when; not the whole order.

use super::acts::{Acts, Step, steps};
use super::facts::Facts;
use super::text::{at_once, due, few, more, promise_and, supplier_name, who};
use super::waiting::Coming;
use crate::base::{DestId, OwnerId};
use crate::plan::{self, Consequence, Delivery, Outcome, There};
use crate::report::limits::LONGEST;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};
use crate::report::table::Value;
use std::collections::HashSet;

const WIDTHS: [u16; 15] = [10, 14, 22, 19, 17, 8, 8, 5, 17, 17, 22, 24, 9, 16, 13];

const COLUMNS: [Column; 15] = [
    Column { heading: "purchase order", show: Show::Wrapped },
    Column { heading: "part", show: Show::Text },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "supplier", show: Show::Wrapped },
    Column { heading: "now due", show: Show::Moment },
    Column { heading: "qty open", show: Show::Quantity },
    Column { heading: "how many", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "by when", show: Show::Moment },
    Column { heading: "saves the line until", show: Show::Moment },
    Column { heading: "for", show: Show::Wrapped },
    Column { heading: "cures", show: Show::Wrapped },
    Column { heading: "of it can stay", show: Show::Quantity },
    Column { heading: "note", show: Show::Wrapped },
    Column { heading: "date agreed", show: Show::Box },
];

/// The sheet.
pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("bring forward", &WIDTHS);
    sheet.text(Look::Title, "Bring forward: so many of an order, not the whole of it");
    sheet.paragraph(
        Look::Plain,
        "'How many' is all told: 1 by Wednesday and 5 by Thursday are 5 pieces. 'By when' is the picking of the run \
         they are for: they go with their run until then. 'Saves the line until' is the last moment at which nothing stops for any \
         of them, other late material left aside; blank where nothing can. 'Cures' names the units for which the line no longer \
         waits for these pieces, and the minutes it would wait for them alone. 'Of it can stay' is what is then \
         still open: it can stay on its day, or go back to it.",
    );
    sheet.gap();
    if acts.bring_forward.is_empty() {
        sheet.text(Look::Plain, "No receipt needs to come sooner.");
    } else {
        let lines = acts.bring_forward.iter().flat_map(|coming| lines(facts, coming));
        let lines: Vec<_> = lines.take(LONGEST).collect();
        let (shown, all) = (lines.len(), acts.bring_forward.iter().map(|coming| coming.taken.late_runs).sum());
        sheet.table(Some("bring_forward".to_owned()), &COLUMNS, lines);
        more(&mut sheet, shown, all, "tables/pegs");
    }
    sheet
}

/// A line for each run that needs some of a delivery sooner.
fn lines<'p>(facts: &Facts<'p>, coming: &Coming<'p>) -> Vec<Line<'p>> {
    let rows = facts.plan.consequences_of(coming.delivery.part);
    let stops =
        |row: &Consequence| row.outcome == Outcome::StopsTheLine && row.there == There::At(coming.delivery.available);
    let stops: Vec<Consequence> = rows.into_iter().filter(stops).collect();
    steps(facts, coming).iter().map(|step| line(facts, coming.delivery, step, &stops)).collect()
}

fn line<'p>(facts: &Facts<'p>, delivery: &Delivery<'p>, step: &Step, stops: &[Consequence]) -> Line<'p> {
    let part = facts.part(delivery.part);
    let values = vec![
        delivery.order.into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        supplier_name(delivery.supplier).into(),
        due(delivery),
        delivery.open.into(),
        step.qty.into(),
        part.uom.as_str().into(),
        step.by.into(),
        facts.saves_until(step.takers.iter()).into(),
        few(step.takers.iter().map(|demand| who(facts, demand)), 4).into(),
        few(cured(facts, step, stops), 4).into(),
        (delivery.open - step.qty).into(),
        promise_and(delivery, at_once(facts, step.by)).into(),
        Value::Blank,
    ];
    (Look::Plain, values)
}

/// `AF3457, 200 min`: the units for which the line no longer waits, with what it waits for the pieces of a step; of all that it
/// waits for of the delivery. No unit that has to have them by now.
fn cured(facts: &Facts<'_>, step: &Step, stops: &[Consequence]) -> impl Iterator<Item = String> {
    let plan = facts.plan;
    let in_time = |row: &Consequence| {
        let latest = plan::latest(plan, row.owner, row.to, row.part);
        step.by > plan.plant.as_of || latest.is_some_and(|latest| latest > plan.plant.as_of)
    };
    let takers: HashSet<(OwnerId, DestId)> = step.takers.iter().map(|taker| (taker.owner, taker.to)).collect();
    let served = stops.iter().filter(|row| takers.contains(&(row.owner, row.to)) && in_time(row));
    let known = served.filter_map(|row| Some((&facts.plan.pace.owners[row.owner.at()].code, row.stop_minutes?)));
    known.map(|(unit, minutes)| format!("{unit}, {minutes} min")).collect::<Vec<_>>().into_iter()
}
