//! Packs of bulk parts that follow to lineside.

use super::day::{Day, Missing, Picked, Trip};
use super::weight;
use super::words::{dest_order, how, narrow, unit_code};
use crate::base::Quantity;
use crate::check::{Issue, Part};
use crate::report::limits::WORST;
use crate::report::listing::{Line, listing};
use crate::report::names::dest_code;
use crate::report::prose::few;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use crate::report::two_up::TwoUp;
use itertools::Itertools;

pub fn sheet<'p>(day: &Day<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let bulk = day.all().filter(|(_, picked)| plan.plant.part(picked.pull.part).issue == Issue::Bulk);
    let key = |(trip, picked): &(&Trip, &Picked)| (trip.run, dest_order(plan, picked.pull.to));
    let lines: Vec<Line<'p, Bulk>> = bulk.sorted_by_key(key).map(|(trip, picked)| line(day, trip, picked)).collect();
    let title = format!("Bulk packs to lineside, {}", plan.day.long());
    let told = if lines.is_empty() { "No bulk pack follows." } else { weight::SHORT_CAUTION };
    TwoUp::titled(lines, &["qty"], "bulk", &title, told)
}

listing! {
    /// Packs that follow to lineside.
    Bulk: fn line<'p>(day: &Day<'p>, trip: &Trip, picked: &Picked) {
        let plan = day.plan;
        let (pull, part) = (&picked.pull, plan.plant.part(picked.pull.part));
        let mut notes: Vec<String> = Vec::new();
        if picked.taken < pull.qty && picked.taken.is_positive() {
            notes.push(format!("{} of {} in the stores", picked.taken, pull.qty));
        }
        let comes = |missing: &Missing| missing.available.map_or(String::new(), |at| format!(", comes {}", narrow(plan, at)));
        notes.extend(picked.missing.iter().map(|missing| format!("{}{}", how(missing), comes(missing))).unique());
        notes.extend(weight::mark(plan.plant, part, pull.qty).map(str::to_owned));
    }
    look: if picked.missing.is_empty() { Look::Plain } else { Look::Wrong };
    "there", 5, Box => "";
    "run", 5, Wrapped => trip.short_name();
    "to", 5, Wrapped => dest_code(plan, pull.to);
    "first unit", 5, Wrapped => first_unit(day, picked);
    "needed", 5, Wrapped => narrow(plan, pull.need);
    "location", 5, Wrapped => part.location.as_str();
    "packs", 5, Whole => packs(part, pull.qty);
    "qty", 5, Wrapped => format!("{} {}", pull.qty, part.uom);
    "part", 5, Wrapped => part.code.as_str();
    "mind", 5, Wrapped => few(notes.into_iter(), WORST);
}

/// How many packs a quantity is; blank where there are none.
fn packs(part: &Part, qty: Quantity) -> Value<'static> {
    let pack = part.pack.filter(|pack| pack.is_positive());
    pack.map_or(Value::Blank, |pack| Value::Whole(qty.millionths() / pack.millionths()))
}

/// The unit whose need is the first that packs follow for.
fn first_unit<'p>(day: &Day<'p>, picked: &Picked) -> Option<&'p str> {
    let first = picked.demands.iter().filter(|demand| demand.need == picked.pull.need);
    first.map(|demand| demand.owner).min().map(|owner| unit_code(day.plan, owner))
}
