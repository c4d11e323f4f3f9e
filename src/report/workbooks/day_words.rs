//! Whether the plan's day works, in a sentence that all first sheets and the terminal share.

use super::line_words::{minutes, no_end, who_stops};
use crate::plan::{Lost, OfDay, Plan, UnitState};
use itertools::Itertools;

/// Whether it works, and `does not work as it stands: 1 unit stops; first 09:50, AF3430 at APP; the line loses 20 min on it; 6 special runs`, or
/// `works: …`. What stands before it is the day.
pub fn verdict(plan: &Plan<'_>) -> (bool, String) {
    let day = plan.of_day();
    let aside = plan.units.iter().filter(|planned| planned.state == UnitState::SetAside).count();
    let aside = match aside {
        0 => None,
        1 => Some("1 unit is set aside for a wrong order".to_owned()),
        units => Some(format!("{units} units are set aside for a wrong order")),
    };
    let works = day.totals.units == 0 && day.loss.is_empty() && aside.is_none();
    let told = stops(plan, &day).chain(day.totals.others()).chain(aside).join("; ");
    let words = match (works, day.something_missing, told.is_empty()) {
        (false, ..) => format!("does not work as it stands: {told}"),
        (true, false, _) => "works: everything is there when its run is picked, and no job is late".to_owned(),
        (true, true, true) => {
            "works: the line does not stop on it, though not all is there when its run is picked".to_owned()
        }
        (true, true, false) => format!("works: the line does not stop on it; {told}"),
    };
    (works, words)
}

/// Units that stop, the first of them, and what the line loses, as far as it does.
fn stops(plan: &Plan<'_>, day: &OfDay) -> impl Iterator<Item = String> {
    let units = match (day.totals.units, day.loss.is_empty()) {
        (0, true) => None,
        (0, false) => Some("the line still stands for a unit of an earlier day".to_owned()),
        _ => Some(day.totals.units_words()),
    };
    let first = day.first.map(|stop| format!("first {}, {}", stop.at.clock(), who_stops(plan, &stop)));
    let loses = (!day.loss.is_empty()).then(|| format!("the line loses {} on it", lost(plan, &day.loss)));
    let unknown = (day.totals.unknown > 0).then(|| no_end(day.totals, loses.is_some()));
    [units, first, loses, unknown].into_iter().flatten()
}

/// `20 min`; of several lines each is named.
fn lost(plan: &Plan<'_>, loss: &[Lost]) -> String {
    let several = plan.plant.lines.len() > 1;
    let of_line = |lost: &Lost| match several {
        true => format!("{} min on line {}", minutes(lost.seconds), plan.plant.lines[lost.line.at()].code),
        false => format!("{} min", minutes(lost.seconds)),
    };
    loss.iter().map(of_line).join(" and ")
}
