//! The sheet `bring forward`: how much of a purchase order must come sooner, and by when; not the whole order.

use super::acts::{Acts, Step, steps};
use super::facts::Facts;
use super::text::{at_once, due, few, more, promise_and, supplier_name, who};
use super::waiting::Coming;
use crate::base::{DestId, OwnerId};
use crate::plan::{self, Consequence, Delivery, Outcome, There};
use crate::report::limits::LONGEST;
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use std::collections::HashSet;

pub fn sheet<'p>(facts: &Facts<'p>, acts: &Acts<'_, 'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("bring forward", &widths::<BringForward>());
    sheet.text(Look::Title, "Bring forward: so many of an order, not the whole of it");
    sheet.paragraph(
        Look::Plain,
        "'How many' is all told: 1 by Wednesday and 5 by Thursday are 5 pieces. 'By when' is the picking of the run \
         they are for: they go with their run until then. 'Saves the line until' is the last moment at which nothing stops for any \
         of them, other late material left aside; blank where nothing can. 'Cures' names the units for which the line no longer \
         waits for these pieces, and the minutes it would wait for each by itself: these do not add up. 'Of it can stay' is what is then \
         still open: it can stay on its day, or go back to it.",
    );
    sheet.gap();
    if acts.bring_forward.is_empty() {
        sheet.text(Look::Plain, "No receipt needs to come sooner.");
    } else {
        let lines = acts.bring_forward.iter().flat_map(|coming| lines(facts, coming));
        let lines: Vec<_> = lines.take(LONGEST).collect();
        let (shown, all) = (lines.len(), acts.bring_forward.iter().map(|coming| coming.taken.late_runs).sum());
        sheet.table(Some("bring_forward".to_owned()), lines);
        more(&mut sheet, shown, all, "tables/pegs");
    }
    sheet
}

/// A line for each run that needs some of a delivery sooner.
fn lines<'p>(facts: &Facts<'p>, coming: &Coming<'p>) -> Vec<Line<'p, BringForward>> {
    let rows = facts.plan.consequences_of(coming.delivery.part);
    let stops =
        |row: &Consequence| row.outcome == Outcome::StopsTheLine && row.there == There::At(coming.delivery.available);
    let stops: Vec<Consequence> = rows.into_iter().filter(stops).collect();
    steps(facts, coming).iter().map(|step| line(facts, coming.delivery, step, &stops)).collect()
}

listing! {
    /// What a run needs of a delivery sooner.
    BringForward: fn line<'p>(facts: &Facts<'p>, delivery: &Delivery<'p>, step: &Step, stops: &[Consequence]) {
        let part = facts.part(delivery.part);
    }
    look: Look::Plain;
    "purchase order", 10, Wrapped => delivery.order;
    "part", 14, Text => part.code.as_str();
    "description", 22, Wrapped => part.description.as_str();
    "supplier", 19, Wrapped => supplier_name(delivery.supplier);
    "now due", 17, Moment => due(delivery);
    "qty open", 8, Quantity => delivery.open;
    "how many", 8, Quantity => step.qty;
    "uom", 5, Text => part.uom.as_str();
    "by when", 17, Moment => step.by;
    "saves the line until", 17, Moment => facts.saves_until(step.takers.iter());
    "for", 22, Wrapped => few(step.takers.iter().map(|demand| who(facts, demand)), 4);
    "cures", 24, Wrapped => few(cured(facts, step, stops), 4);
    "of it can stay", 9, Quantity => delivery.open - step.qty;
    "note", 16, Wrapped => promise_and(delivery, at_once(facts, step.by));
    "date agreed", 13, Box => Value::Blank;
}

/// `AF3457, 200 min by itself`: the units for which the line no longer waits, with what it waits for the pieces of a step; of all that it
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
    known.map(|(unit, minutes)| format!("{unit}, {minutes} min by itself")).collect::<Vec<_>>().into_iter()
}
