//! What can't be pulled, why, and which receipt would help.

use super::day::{Day, Missing, Picked, Trip};
use super::weight;
use super::words::{how, promise, unit_code};
use crate::base::PartId;
use crate::check::Stock;
use crate::netting::Cover;
use crate::plan::Plan;
use crate::report::limits::{LONGEST, WORST};
use crate::report::listing::{Line, listing};
use crate::report::names::dest_code;
use crate::report::prose::few;
use crate::report::sheet::{Look, Sheet};
use crate::report::{call_words, fit};
use itertools::Itertools;
use std::collections::HashMap;

/// Wider, the print would be too small.
const TOTAL: u16 = 180;

/// The sheet: the worst first, then by need.
pub fn sheet<'p>(day: &Day<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let rows = rows(day);
    let on_hold = on_hold(plan);
    let shown = rows.iter().take(LONGEST);
    let lines: Vec<Line<'p, NotPulled>> =
        shown.map(|(trip, picked, missing)| line(plan, trip, picked, missing, &on_hold)).collect();
    let mut sheet = Sheet::new("not pulled", &fit::widths(&lines, TOTAL));
    sheet.text(Look::Title, format!("What can't be pulled, {}", plan.day.long()));
    if lines.is_empty() {
        sheet.text(Look::Plain, "Everything on this list is there when its run is picked.");
        return sheet;
    }
    sheet.paragraph(
        Look::Plain,
        "These pieces are not in the stores when their run is picked. Nothing here says that a part can follow later or that \
         stock on hold can be used.",
    );
    let shown = lines.len();
    sheet.table(Some("not_pulled".to_owned()), lines);
    if rows.len() > shown {
        sheet.text(Look::Strong, format!("and {} more: see tables/pulls", rows.len() - shown));
    }
    sheet
}

/// What is missing of the list's pulls: short, late, then special runs, each by need.
pub fn rows<'a>(day: &'a Day<'_>) -> Vec<(&'a Trip, &'a Picked, &'a Missing)> {
    let all = day.all().flat_map(|(trip, picked)| picked.missing.iter().map(move |missing| (trip, picked, missing)));
    let rank = |missing: &Missing| ["short", "late", "special run"].iter().position(|word| *word == how(missing));
    all.sorted_by_key(|(_, picked, missing)| {
        (rank(missing), missing.need, picked.pull.owner, picked.pull.part, picked.pull.to, missing.available)
    })
    .collect()
}

listing! {
    /// A piece that is not there when its run is picked.
    NotPulled: fn line<'p>(plan: &'p Plan<'p>, trip: &Trip, picked: &Picked, missing: &Missing, held: &OnHold) {
        let (pull, part) = (&picked.pull, plan.plant.part(picked.pull.part));
        let late = missing.available.map_or(0, |at| missing.need.minutes_until(at));
        let look = if how(missing) == "special run" { Look::Plain } else { Look::Wrong };
    }
    look: look;
    "run", 8, Text => trip.name();
    "part", 6, Wrapped => part.code.as_str();
    "description", 12, Wrapped => weight::marked(plan.plant, part, missing.qty);
    "qty", 6, Quantity => weight::measured(part, missing.qty);
    "uom", 5, Text => part.uom.as_str();
    "unit", 6, Wrapped => pull.owner.map(|owner| unit_code(plan, owner));
    "to", 5, Wrapped => dest_code(plan, pull.to);
    "needed", 17, Moment => missing.need;
    "how it stands", 8, Text => how(missing);
    "comes", 17, Moment => missing.available;
    "minutes late", 9, Whole => Some(late).filter(|late| *late > 0);
    "why", 16, Wrapped => why(plan, missing);
    "what would help", 18, Wrapped => help(plan, picked, missing);
    "on hold (quality decides)", 14, Wrapped => held.get(&pull.part).cloned().unwrap_or_default();
}

fn why(plan: &Plan<'_>, missing: &Missing) -> String {
    let Cover::Receipt(i) = missing.cover else {
        return "no stock left, no receipt open".to_owned();
    };
    let promise = promise(plan, i);
    match how(missing) {
        "late" => format!("comes after the need{promise}"),
        _ => format!("comes after picking, before the need{promise}"),
    }
}

/// The receipt that would help, and by when; for what nothing covers, that something must be ordered.
fn help(plan: &Plan<'_>, picked: &Picked, missing: &Missing) -> String {
    let Cover::Receipt(i) = missing.cover else { return "no receipt: the buyer must order it".to_owned() };
    let receipt = &plan.plant.receipts[i as usize];
    let (order, run) = (&receipt.order, picked.pull.run);
    let from = if receipt.supplier.is_empty() { String::new() } else { format!(" from {}", receipt.supplier) };
    if run.picked < plan.plant.as_of {
        return format!("order {order}{from}, as soon as it can be");
    }
    let open = plan.deliveries.all()[plan.deliveries.of_receipt(i)].open;
    let qty = call_words::sent(plan.plant.part(picked.pull.part), missing.qty, Some(open));
    format!("order {order}{from}: {qty} by {}", run.picked.short())
}

/// Stock on hold of each part that has any, in words; named, never released.
type OnHold = HashMap<PartId, String>;

fn on_hold(plan: &Plan<'_>) -> OnHold {
    let held = plan.plant.stock.iter().filter_map(|row| Some((row, row.hold.as_deref()?)));
    let words = |(row, why): (&Stock, &str)| {
        let place = if row.location.is_empty() { String::new() } else { format!(" at {}", row.location) };
        (row.part, format!("{}{place}: {why}", row.qty))
    };
    let by_part = held.map(words).into_group_map();
    by_part.into_iter().map(|(part, rows)| (part, few(rows.into_iter(), WORST))).collect()
}
