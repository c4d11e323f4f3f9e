//! What is to be added to and taken out of each run's kits and bulk deliveries.

use super::code::Code;
use super::rows::{PlanRows, PullRow};
use super::side::{by_key, by_side};
use crate::base::{Moment, Quantity, StorageKey};
use serde::Serialize;

/// A line of a kit, or of a bulk delivery, that is not the same in both plans.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PullChange {
    /// When the run leaves.
    pub wave: Moment,
    /// The station or shop.
    pub to: Code,
    /// The unit; blank for bulk and for what is for no unit.
    pub unit: Code,
    /// Whether it is brought in bulk.
    pub bulk: bool,
    /// What is pulled.
    pub part: Code,
    /// Its unit of measure.
    pub uom: Code,
    /// What it is.
    pub description: Code,
    /// Where it is stored.
    pub location: Code,
    /// How much was pulled.
    pub old: Quantity,
    /// How much is pulled now.
    pub new: Quantity,
    /// How that stood; none where nothing was pulled.
    pub was: Option<Code>,
    /// How it stands.
    pub is: Option<Code>,
}

impl PullChange {
    /// What to add.
    pub fn add(&self) -> Quantity {
        (self.new - self.old).max(Quantity::ZERO)
    }

    /// What to take out.
    pub fn take_out(&self) -> Quantity {
        (self.old - self.new).max(Quantity::ZERO)
    }
}

/// Run, destination, unit, part, unit of measure, bulk or not.
type Key<'r> = (Moment, &'r Code, &'r Code, &'r Code, &'r Code, bool);

/// The pulls by their keys: the first of each key, and what all of them bring.
fn keyed(rows: &PlanRows) -> Vec<(Key<'_>, (&PullRow, Quantity))> {
    let pulls = rows.pulls.iter().map(|row| {
        let key = (row.wave, &row.to, &row.unit, &row.part, &row.uom, row.bulk());
        (key, (row, row.qty))
    });
    by_key(pulls, |(_, qty), (_, more)| *qty += more)
}

/// All lines of which another quantity is pulled, or that stand otherwise; by run, station and unit, then as a picker walks.
pub fn differ(old: &PlanRows, new: &PlanRows) -> Vec<PullChange> {
    let mut changes: Vec<PullChange> = Vec::new();
    for ((wave, to, unit, part, uom, bulk), was, is) in by_side(keyed(old), keyed(new)) {
        let Some((any, _)) = is.or(was) else { continue };
        let [old, new] = [was, is].map(|side| side.map_or(Quantity::ZERO, |(_, qty)| qty));
        let [was, is] = [was, is].map(|side| side.map(|(row, _)| &row.status));
        if old != new || was != is {
            let [to, unit, part, uom] = [to, unit, part, uom].map(Code::clone);
            let [description, location] = [&any.description, &any.location].map(Code::clone);
            let (was, is) = (was.cloned(), is.cloned());
            changes.push(PullChange { wave, to, unit, bulk, part, uom, description, location, old, new, was, is });
        }
    }
    changes.sort_by_cached_key(|change| {
        let to = (StorageKey::new(change.to.text()), change.to.clone());
        let place = (StorageKey::new(change.location.text()), change.location.clone());
        (change.wave, change.bulk, to, change.unit.clone(), place, change.part.clone(), change.uom.clone())
    });
    changes
}
