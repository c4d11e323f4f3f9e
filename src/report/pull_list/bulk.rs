//! Packs of bulk parts that follow to lineside.

use super::super::fit;
use super::super::limits::WORST;
use super::super::names::dest_code;
use super::super::prose::few;
use super::super::sheet::{Column, Line, Look, Sheet, Show};
use super::super::table::Value;
use super::day::{Day, Picked, Trip};
use super::weight;
use super::words::{comes, count, dest_order, how, unit_code};
use crate::base::{OwnerId, Quantity};
use crate::check::{Issue, Part};
use itertools::Itertools;

const COLUMNS: [Column; 14] = [
    Column { heading: "there", show: Show::Box },
    Column { heading: "run", show: Show::Text },
    Column { heading: "to", show: Show::Wrapped },
    Column { heading: "location", show: Show::Wrapped },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "packs", show: Show::Quantity },
    Column { heading: "pack quantity", show: Show::Quantity },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "serves", show: Show::Wrapped },
    Column { heading: "kg", show: Show::Weight },
    Column { heading: "what to know", show: Show::Wrapped },
];
const LEAST: [u16; 14] = [6, 8, 6, 9, 6, 14, 7, 9, 6, 5, 17, 14, 9, 16];
/// Wider, the print would be too small.
const TOTAL: u16 = 175;

/// The sheet.
pub fn sheet<'p>(day: &Day<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let bulk = day.all().filter(|(_, picked)| plan.plant.part(picked.pull.part).issue == Issue::Bulk);
    let key = |(trip, picked): &(&Trip, &Picked)| (trip.run, dest_order(plan, picked.pull.to));
    let lines: Vec<Line<'p>> = bulk.sorted_by_key(key).map(|(trip, picked)| line(day, trip, picked)).collect();
    let mut sheet = Sheet::new("bulk", &fit::widths(&COLUMNS, &LEAST, &lines, TOTAL));
    sheet.text(Look::Title, format!("Bulk packs to lineside, {}", plan.day.long()));
    sheet.paragraph(Look::Plain, weight::SHORT_CAUTION);
    if lines.is_empty() {
        sheet.text(Look::Plain, "No bulk pack follows.");
    } else {
        sheet.table(Some("bulk".to_owned()), &COLUMNS, lines);
    }
    sheet
}

fn line<'p>(day: &Day<'p>, trip: &Trip, picked: &Picked) -> Line<'p> {
    let plan = day.plan;
    let (pull, part) = (&picked.pull, plan.plant.part(picked.pull.part));
    let mut notes: Vec<String> = Vec::new();
    if picked.taken < pull.qty {
        notes.push(format!("{} of {} in the stores", picked.taken, pull.qty));
    }
    notes.extend(picked.missing.iter().map(|m| format!("{} needed: {}, {}", m.qty, how(m), comes(plan, m))));
    notes.extend(weight::warning(plan.plant, part, pull.qty));
    let look = if picked.missing.is_empty() { Look::Plain } else { Look::Wrong };
    let values = vec![
        "".into(),
        trip.name().into(),
        dest_code(plan, pull.to).into(),
        part.location.as_str().into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        packs(part, pull.qty),
        part.pack.into(),
        pull.qty.into(),
        part.uom.as_str().into(),
        pull.need.into(),
        serves(day, picked).into(),
        weight::cell(part, picked.taken),
        few(notes.into_iter(), WORST).into(),
    ];
    (look, values)
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
