//! Jobs that came, went or changed.

use super::code::Code;
use super::rows::{JobRow, PlanRows};
use super::side::by_side;
use crate::base::{Seconds, StorageKey};
use serde::Serialize;
use std::collections::BTreeMap;

/// A job that is not the same in both plans: its row, before and after.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct JobChange {
    /// As it was; none where it is new.
    pub old: Option<JobRow>,
    /// As it is; none where it is gone.
    pub new: Option<JobRow>,
}

impl JobChange {
    /// Its rows, where it stands in both plans.
    pub fn both(&self) -> Option<(&JobRow, &JobRow)> {
        self.old.as_ref().zip(self.new.as_ref())
    }

    /// The row that counts: as it is, or as it was.
    pub fn row(&self) -> Option<&JobRow> {
        self.new.as_ref().or(self.old.as_ref())
    }

    /// By how many seconds it starts later; 0 where it does not stand in both.
    pub fn later(&self) -> Seconds {
        self.both().map_or(0, |(old, new)| new.start.seconds() - old.start.seconds())
    }
}

/// All jobs that are new, gone, of another quantity or shop, late in one plan only, whose material stands otherwise, or that
/// start more than so many seconds earlier or later; by shop and start. A unit's jobs of one part for one destination are
/// taken in their order.
pub fn differ(old: &PlanRows, new: &PlanRows, moved: Seconds) -> Vec<JobChange> {
    let pairs = by_side(keyed(old), keyed(new));
    let mut changes: Vec<JobChange> = pairs.map(|(_, old, new)| JobChange { old, new }).collect();
    changes.retain(|change| match change.both() {
        Some((old, new)) => otherwise(old, new) || change.later().abs() > moved,
        None => true,
    });
    let key = |row: &JobRow| (row.shop.clone(), row.start, row.job.clone());
    changes.sort_by_cached_key(|change| (change.row().map(key), change.old.as_ref().map(key)));
    changes
}

fn otherwise(old: &JobRow, new: &JobRow) -> bool {
    let of = |row: &JobRow| (row.qty, row.shop.clone(), row.late_minutes > 0, row.material.clone());
    of(old) != of(new)
}

/// Unit, part, destination, and which of them.
fn keyed(rows: &PlanRows) -> BTreeMap<(Code, Code, Code, u32), JobRow> {
    let mut jobs: Vec<&JobRow> = rows.jobs.iter().collect();
    jobs.sort_by_cached_key(|row| (StorageKey::new(row.job.text()), row.job.clone()));
    let mut seen: BTreeMap<(Code, Code, Code), u32> = BTreeMap::new();
    let jobs = jobs.into_iter().map(|row| {
        let (unit, part, to) = (row.unit.clone(), row.part.clone(), row.to.clone());
        let count = seen.entry((unit.clone(), part.clone(), to.clone())).or_default();
        *count += 1;
        ((unit, part, to, *count), row.clone())
    });
    jobs.collect()
}
