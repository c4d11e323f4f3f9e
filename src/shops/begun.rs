//! Jobs that have begun: which job each row of `Started` means, and the rows that no job fits.
//!
//! Rule `begun`.

use super::run::Shops;
use crate::base::{OwnerId, PartId, ShopId, fold};
use crate::check::{Plant, Source};
use crate::line::Pace;
use std::collections::{HashMap, HashSet};

/// The rows of `Started` by shop, each with whose jobs it means.
pub(super) fn started(plant: &Plant, pace: &Pace) -> Vec<Vec<(usize, OwnerId)>> {
    let mut by_shop = vec![Vec::new(); plant.shops.len()];
    let owners = pace.owners.iter().enumerate().filter(|(_, owner)| !owner.code.is_empty());
    let by_code: HashMap<String, OwnerId> = owners.map(|(i, owner)| (fold(&owner.code), OwnerId::of(i))).collect();
    for (row, started) in plant.started.iter().enumerate() {
        if let (Source::Make(shop), Some(owner)) = (plant.part(started.part).source, by_code.get(&started.unit)) {
            by_shop[shop.at()].push((row, *owner));
        }
    }
    by_shop
}

impl Shops<'_, '_> {
    /// Finds the jobs of a shop that have begun, in the order of their rows, and gives them what is left of their length.
    pub(super) fn begin(&mut self, shop: ShopId, first_job: usize) -> Vec<usize> {
        let rows = &self.started[shop.at()];
        let jobs = &mut self.found.jobs[first_job..];
        let mut first: HashMap<(OwnerId, PartId), usize> = HashMap::new();
        for (i, job) in jobs.iter().enumerate().filter(|_| !rows.is_empty()) {
            let known = first.entry((job.owner, job.part)).or_insert(i);
            if (job.need, job.to) < (jobs[*known].need, jobs[*known].to) {
                *known = i;
            }
        }
        let released = self.plant.calendar(self.plant.shop(shop).calendar).worked(self.plant.as_of);
        let mut begun = Vec::new();
        for (row, owner) in rows {
            let started = &self.plant.started[*row];
            let Some(&i) = first.get(&(*owner, started.part)) else { continue };
            jobs[i].started = true;
            jobs[i].times.length = started.left;
            jobs[i].times.release = released;
            begun.push(i);
        }
        begun
    }

    /// The rows of `Started` that no job fits.
    pub(super) fn find_rows_without_job(&mut self) {
        let begun = self.found.jobs.iter().filter(|job| job.started).map(|job| (job.owner, job.part));
        let begun: HashSet<(OwnerId, PartId)> = begun.collect();
        let rows = self.started.iter().flatten();
        let there = rows.filter(|(row, owner)| begun.contains(&(*owner, self.plant.started[*row].part)));
        let there: HashSet<usize> = there.map(|(row, _)| *row).collect();
        self.found.no_such_job = (0..self.plant.started.len()).filter(|row| !there.contains(row)).collect();
    }
}
