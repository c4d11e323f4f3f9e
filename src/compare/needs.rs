//! What units need more, less, or at another time.

use super::code::Code;
use super::rows::PlanRows;
use super::side::{by_key, by_side};
use super::units::UnitChange;
use crate::base::{Moment, Quantity};
use serde::Serialize;
use std::collections::BTreeSet;

/// A demand that is not the same in both plans.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct NeedChange {
    /// Who needs it; blank for nobody in particular.
    pub unit: Code,
    /// What is needed.
    pub part: Code,
    /// Its unit of measure.
    pub uom: Code,
    /// The station or shop.
    pub to: Code,
    /// When it is needed.
    pub need: Moment,
    /// How much was needed then.
    pub old: Quantity,
    /// How much is needed then now.
    pub new: Quantity,
}

/// All demands of which the quantity is another, by unit, destination, part and need.
pub fn differ(old: &PlanRows, new: &PlanRows) -> Vec<NeedChange> {
    let changes = by_side(keyed(old), keyed(new)).filter_map(|((unit, to, part, uom, need), old, new)| {
        let (old, new) = (old.unwrap_or_default(), new.unwrap_or_default());
        (old != new).then(|| {
            let [unit, part, uom, to] = [unit, part, uom, to].map(Code::clone);
            NeedChange { unit, part, uom, to, need, old, new }
        })
    });
    changes.collect()
}

/// Unit, destination, part, unit of measure and need.
type Key<'r> = (&'r Code, &'r Code, &'r Code, &'r Code, Moment);

fn keyed(rows: &PlanRows) -> Vec<(Key<'_>, Quantity)> {
    let needs = rows.demands.iter().map(|row| ((&row.unit, &row.to, &row.part, &row.uom, row.need), row.qty));
    by_key(needs, |qty, more| *qty += more)
}

/// The changes with their times left out: what a unit needs more or less at a destination, whenever it is. Units that are new,
/// gone, on or off hold are left out: that all of theirs comes or goes is told with them.
pub fn totals(changes: &[NeedChange], units: &[UnitChange]) -> Vec<NeedChange> {
    let whole: BTreeSet<&Code> = units.iter().filter(|unit| unit.whole()).map(|unit| &unit.unit).collect();
    let mut totals: Vec<NeedChange> = Vec::new();
    for change in changes.iter().filter(|change| !whole.contains(&change.unit)) {
        match totals.last_mut() {
            Some(last)
                if (&last.unit, &last.to, &last.part, &last.uom)
                    == (&change.unit, &change.to, &change.part, &change.uom) =>
            {
                last.old += change.old;
                last.new += change.new;
                last.need = last.need.max(change.need);
            }
            _ => totals.push(change.clone()),
        }
    }
    totals.retain(|change| change.old != change.new);
    totals
}
