//! Big parts brought to each station in line order.

use super::day::{Day, Missing, Picked, Trip};
use super::kits::in_line_order;
use super::weight;
use super::words::{DestOrder, Reasons, dest_order, how, narrow, unit_code};
use crate::base::OwnerId;
use crate::report::listing::{Line, listing};
use crate::report::sheet::{Look, Sheet};
use crate::report::two_up::TwoUp;
use itertools::Itertools;

pub fn sheet<'p>(day: &Day<'p>, reasons: &Reasons<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let rows = rows(day);
    let mut lines: Vec<Line<'p, InLineOrder>> = Vec::new();
    for of_station in rows.chunk_by(|a, b| a.0 == b.0) {
        for (place, of_unit) in (1..).zip(of_station.chunk_by(|a, b| a.1 == b.1)) {
            lines.extend(of_unit.iter().map(|(_, _, trip, picked)| line(day, reasons, trip, picked, place)));
        }
    }
    let title = format!("Sequenced parts in line order, {}", plan.day.long());
    let told = if lines.is_empty() { "No part is brought in line order." } else { weight::SHORT_CAUTION };
    TwoUp::titled(lines, &["unit", "qty"], "in line order", &title, told)
}

type Sequenced<'a> = (DestOrder, Option<OwnerId>, &'a Trip, &'a Picked);

/// By station, unit in line order, time and part.
fn rows<'a>(day: &'a Day<'_>) -> Vec<Sequenced<'a>> {
    let sequenced = day.all().filter(|(_, picked)| in_line_order(day.plan, picked));
    let rows = sequenced.map(|(trip, picked)| (dest_order(day.plan, picked.pull.to), picked.pull.owner, trip, picked));
    rows.sorted_by_key(|(dest, owner, _, picked)| (*dest, *owner, picked.pull.need, picked.pull.part)).collect()
}

listing! {
    /// A part that is brought in line order.
    InLineOrder: fn line<'p>(day: &Day<'p>, reasons: &Reasons<'p>, trip: &Trip, picked: &Picked, place: i64) {
        let plan = day.plan;
        let part = plan.plant.part(picked.pull.part);
        let places = day.places(picked);
        let location = if places.is_empty() { part.location.as_str().into() } else { places };
        let comes = |missing: &Missing| missing.available.map_or(String::new(), |at| format!(": comes {}", narrow(plan, at)));
        let mut notes: Vec<String> = picked.missing.iter().map(|missing| format!("{}{}", how(missing), comes(missing))).collect();
        notes.extend(weight::mark(plan.plant, part, picked.pull.qty).map(str::to_owned));
        notes.extend(reasons.behind(picked).iter().map(|reason| (*reason).to_owned()));
    }
    look: if picked.missing.is_empty() { Look::Plain } else { Look::Wrong };
    "there", 5, Box => "";
    "station", 5, Wrapped => plan.plant.dest(picked.pull.to).code.as_str();
    "place", 5, Whole => place;
    "unit", 5, Wrapped => picked.pull.owner.map(|owner| unit_code(plan, owner));
    "run", 5, Wrapped => trip.short_name();
    "needed", 5, Wrapped => narrow(plan, picked.pull.need);
    "location", 5, Wrapped => location;
    "qty", 4, Wrapped => format!("{} {}", picked.pull.qty, part.uom);
    "part", 5, Wrapped => part.code.as_str();
    "mind", 5, Wrapped => notes.join("; ");
}
