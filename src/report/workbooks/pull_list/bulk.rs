//! Packs of bulk parts that follow to lineside.

use super::day::{Day, Picked, Trip};
use super::weight;
use super::words::{comes, count, dest_order, how, unit_code};
use crate::base::{OwnerId, Quantity};
use crate::check::{Issue, Part};
use crate::report::fit;
use crate::report::limits::WORST;
use crate::report::listing::{Line, listing};
use crate::report::names::dest_code;
use crate::report::prose::few;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use itertools::Itertools;

/// Wider, the print would be too small.
const TOTAL: u16 = 175;

/// The sheet.
pub fn sheet<'p>(day: &Day<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let bulk = day.all().filter(|(_, picked)| plan.plant.part(picked.pull.part).issue == Issue::Bulk);
    let key = |(trip, picked): &(&Trip, &Picked)| (trip.run, dest_order(plan, picked.pull.to));
    let lines: Vec<Line<'p, Bulk>> = bulk.sorted_by_key(key).map(|(trip, picked)| line(day, trip, picked)).collect();
    let mut sheet = Sheet::new("bulk", &fit::widths(&lines, TOTAL));
    sheet.text(Look::Title, format!("Bulk packs to lineside, {}", plan.day.long()));
    sheet.paragraph(Look::Plain, weight::SHORT_CAUTION);
    if lines.is_empty() {
        sheet.text(Look::Plain, "No bulk pack follows.");
    } else {
        sheet.table(Some("bulk".to_owned()), lines);
    }
    sheet
}

listing! {
    /// Packs that follow to lineside.
    Bulk: fn line<'p>(day: &Day<'p>, trip: &Trip, picked: &Picked) {
        let plan = day.plan;
        let (pull, part) = (&picked.pull, plan.plant.part(picked.pull.part));
        let mut notes: Vec<String> = Vec::new();
        if picked.taken < pull.qty {
            notes.push(format!("{} of {} in the stores", picked.taken, pull.qty));
        }
        notes.extend(picked.missing.iter().map(|m| format!("{} needed: {}, {}", m.qty, how(m), comes(plan, m))));
        notes.extend(weight::warning(plan.plant, part, pull.qty));
        let look = if picked.missing.is_empty() { Look::Plain } else { Look::Wrong };
    }
    look: look;
    "there", 6, Box => "";
    "run", 8, Text => trip.name();
    "to", 6, Wrapped => dest_code(plan, pull.to);
    "location", 9, Wrapped => part.location.as_str();
    "part", 6, Wrapped => part.code.as_str();
    "description", 14, Wrapped => part.description.as_str();
    "packs", 7, Quantity => packs(part, pull.qty);
    "pack quantity", 9, Quantity => part.pack;
    "qty", 6, Quantity => pull.qty;
    "uom", 5, Text => part.uom.as_str();
    "needed", 17, Moment => pull.need;
    "serves", 14, Wrapped => serves(day, picked);
    "kg", 9, Weight => weight::cell(part, picked.taken);
    "what to know", 16, Wrapped => few(notes.into_iter(), WORST);
}

/// How many packs a quantity is; blank where there are none.
fn packs(part: &Part, qty: Quantity) -> Value<'static> {
    let pack = part.pack.filter(|pack| pack.is_positive());
    pack.map_or(Value::Blank, |pack| Value::Whole(qty.millionths() / pack.millionths()))
}

/// The units that packs serve: `U5, U6`, or `U5 to U40 (36 units)`.
fn serves(day: &Day<'_>, picked: &Picked) -> String {
    let owners = picked.demands.iter().map(|demand| demand.owner);
    let owners: Vec<OwnerId> = owners.sorted().dedup().collect();
    let code = |owner: &OwnerId| unit_code(day.plan, *owner);
    match owners.as_slice() {
        [first, .., last] if owners.len() > 3 => {
            format!("{} to {} ({})", code(first), code(last), count(owners.len(), "unit", "units"))
        }
        few => few.iter().map(code).join(", "),
    }
}
