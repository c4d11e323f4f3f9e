//! What can't be pulled, why, and which receipt would help.

use super::super::fit;
use super::super::names::dest_code;
use super::super::sheet::{Column, Line, Look, Sheet, Show};
use super::day::{Day, Missing, Picked, Trip};
use super::words::{how, unit_code};
use crate::base::MustBe;
use crate::check::Stock;
use crate::netting::Cover;
use crate::plan::Plan;
use itertools::Itertools;

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
    let lines: Vec<Line<'p>> =
        rows(day).into_iter().map(|(trip, picked, missing)| line(plan, trip, picked, missing)).collect();
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
    sheet.table(Some("not_pulled".to_owned()), &COLUMNS, lines);
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

fn line<'p>(plan: &'p Plan<'p>, trip: &Trip, picked: &Picked, missing: &Missing) -> Line<'p> {
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
        on_hold(plan, pull.part).into(),
    ];
    (look, values)
}

fn why(plan: &Plan<'_>, missing: &Missing) -> String {
    let Cover::Receipt(i) = missing.cover else {
        return "no stock left, no receipt open".to_owned();
    };
    let receipt = &plan.plant.receipts[i as usize];
    let overdue = if receipt.overdue { ", overdue" } else { "" };
    match how(missing) {
        "late" => format!("comes after the need{overdue}"),
        _ => format!("comes after picking, before the need{overdue}"),
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

/// Stock on hold of a part; named, never released.
fn on_hold(plan: &Plan<'_>, part: crate::base::PartId) -> String {
    let held = plan.plant.stock.iter().filter(|row| row.part == part && row.hold.is_some());
    let words = |row: &Stock| {
        let place = if row.location.is_empty() { String::new() } else { format!(" at {}", row.location) };
        format!("{}{place}: {}", row.qty, row.hold.as_deref().must("what is on hold has no reason"))
    };
    held.map(words).join("; ")
}
