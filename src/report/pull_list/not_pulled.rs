//! What can't be pulled, why, and which receipt would help.

use super::super::fit;
use super::super::limits::{LONGEST, WORST};
use super::super::names::dest_code;
use super::super::prose::few;
use super::super::sheet::{Column, Line, Look, Sheet, Show};
use super::day::{Day, Missing, Picked, Trip};
use super::words::{how, in_parentheses, unit_code};
use crate::base::PartId;
use crate::check::Stock;
use crate::netting::Cover;
use crate::plan::Plan;
use itertools::Itertools;
use std::collections::HashMap;

const COLUMNS: [Column; 14] = [
    Column { heading: "run", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "to", show: Show::Text },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "how it stands", show: Show::Text },
    Column { heading: "comes", show: Show::Moment },
    Column { heading: "minutes late", show: Show::Whole },
    Column { heading: "why", show: Show::Wrapped },
    Column { heading: "what would help", show: Show::Wrapped },
    Column { heading: "on hold (quality decides)", show: Show::Wrapped },
];
const LEAST: [u16; 14] = [8, 6, 12, 6, 5, 6, 5, 17, 8, 17, 9, 16, 18, 14];
/// Wider, the print would be too small.
const TOTAL: u16 = 180;

/// The sheet: the worst first, then by need.
pub fn sheet<'p>(day: &Day<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let rows = rows(day);
    let on_hold = on_hold(plan);
    let shown = rows.iter().take(LONGEST);
    let lines: Vec<Line<'p>> =
        shown.map(|(trip, picked, missing)| line(plan, trip, picked, missing, &on_hold)).collect();
    let mut sheet = Sheet::new("not pulled", &fit::widths(&COLUMNS, &LEAST, &lines, TOTAL));
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
    sheet.table(Some("not_pulled".to_owned()), &COLUMNS, lines);
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

fn line<'p>(plan: &'p Plan<'p>, trip: &Trip, picked: &Picked, missing: &Missing, held: &OnHold) -> Line<'p> {
    let (pull, part) = (&picked.pull, plan.plant.part(picked.pull.part));
    let late = missing.available.map_or(0, |at| missing.need.minutes_until(at));
    let look = if how(missing) == "special run" { Look::Plain } else { Look::Wrong };
    let values = vec![
        trip.name().into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        missing.qty.into(),
        part.uom.as_str().into(),
        pull.owner.map(|owner| unit_code(plan, owner)).into(),
        dest_code(plan, pull.to).into(),
        missing.need.into(),
        how(missing).into(),
        missing.available.into(),
        Some(late).filter(|late| *late > 0).into(),
        why(plan, missing).into(),
        help(plan, picked, missing).into(),
        held.get(&pull.part).cloned().unwrap_or_default().into(),
    ];
    (look, values)
}

fn why(plan: &Plan<'_>, missing: &Missing) -> String {
    let Cover::Receipt(i) = missing.cover else {
        return "no stock left, no receipt open".to_owned();
    };
    let receipt = &plan.plant.receipts[i as usize];
    let promise = in_parentheses(receipt.not_promised());
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
    format!("order {order}{from}: {} by {}", missing.qty, run.picked.short())
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
