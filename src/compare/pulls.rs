//! What is to be added to and taken out of each run's kits and bulk deliveries.

use super::code::Code;
use super::rows::{PullRow, Rows};
use super::side::by_side;
use crate::base::{Moment, Quantity, StorageKey};
use serde::Serialize;
use std::collections::BTreeMap;

/// A line of a kit, or of a bulk delivery, that is not the same in both plans.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PullChange {
    /// The run.
    pub wave: Moment,
    /// The station or shop.
    pub to: Code,
    /// The unit; blank for bulk and for what is for no unit.
    pub unit: Code,
    /// Whether it is brought in bulk.
    pub bulk: bool,
    /// The part.
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
type Key = (Moment, Code, Code, Code, Code, bool);

fn keyed(rows: &Rows) -> BTreeMap<Key, PullRow> {
    let mut keyed: BTreeMap<Key, PullRow> = BTreeMap::new();
    for row in &rows.pulls {
        let (to, unit, part, uom) = (row.to.clone(), row.unit.clone(), row.part.clone(), row.uom.clone());
        let key = (row.wave, to, unit, part, uom, row.bulk());
        match keyed.get_mut(&key) {
            Some(same) => same.qty += row.qty,
            None => _ = keyed.insert(key, row.clone()),
        }
    }
    keyed
}

/// All lines of which another quantity is pulled, or that stand otherwise; by run, station and unit, then as a picker walks.
pub fn differ(old: &Rows, new: &Rows) -> Vec<PullChange> {
    let mut changes: Vec<PullChange> = Vec::new();
    for (key, old, new) in by_side(keyed(old), keyed(new)) {
        let Some(any) = new.as_ref().or(old.as_ref()) else { continue };
        let (description, location) = (any.description.clone(), any.location.clone());
        let (wave, to, unit, part, uom, bulk) = key;
        let qty = |row: Option<&PullRow>| row.map_or(Quantity::ZERO, |row| row.qty);
        let (was, is) = (old.as_ref().map(|row| row.status.clone()), new.as_ref().map(|row| row.status.clone()));
        let (old, new) = (qty(old.as_ref()), qty(new.as_ref()));
        if old != new || was != is {
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
