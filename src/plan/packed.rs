//! All pulls of a plan in twelve bytes each: a year's are twenty million.

use super::Plan;
use crate::base::{PartId, Quantity, StorageKey};
use crate::check::{Issue, Part, Plant};
use crate::pulls::{self, Pull, Status};
use crate::supply::Supply;
use crate::waves::{DeliveryRun, Runs};

/// A pull of a part. What is not in it follows from the first demand behind it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Packed {
    /// The status in the upper bits; below them the slot of the first demand, or its index among those of a made part.
    first: u32,
    /// The quantity's millionths, in two halves.
    qty: [u32; 2],
}

const STATUS_SHIFT: u32 = 29;
const STATUSES: [Status; 5] = [Status::Ready, Status::Arriving, Status::SpecialRun, Status::Late, Status::Short];

impl Packed {
    fn new(pull: &Pull, first: u32) -> Self {
        let millionths = pull.qty.millionths().cast_unsigned();
        let status = STATUSES.iter().position(|status| *status == pull.status).unwrap_or_default() as u32;
        Self { first: first | status << STATUS_SHIFT, qty: [millionths as u32, (millionths >> 32) as u32] }
    }

    fn first(self) -> u32 {
        self.first & ((1 << STATUS_SHIFT) - 1)
    }

    fn status(self) -> Status {
        STATUSES[(self.first >> STATUS_SHIFT) as usize % STATUSES.len()]
    }

    fn qty(self) -> Quantity {
        Quantity::from_millionths((u64::from(self.qty[0]) | u64::from(self.qty[1]) << 32).cast_signed())
    }
}

/// The pulls of one part, in order of run, destination and owner.
pub(super) fn pulls(id: PartId, part: &Part, supply: &Supply, slots: &[u32], runs: &Runs) -> Vec<Packed> {
    let number = |demand: u32| slots.get(demand as usize).copied().unwrap_or(demand);
    let rows = pulls::pulls(id, part, supply, runs);
    rows.iter().map(|(pull, first)| Packed::new(pull, number(*first))).collect()
}

/// The parts in the order in which a picker walks.
pub(super) fn walking_order(plant: &Plant) -> Vec<PartId> {
    let mut parts: Vec<PartId> = (0..plant.parts.len()).map(PartId::of).collect();
    parts.sort_by_cached_key(|part| (StorageKey::new(&plant.part(*part).location), *part));
    parts
}

impl Plan<'_> {
    /// Shows every pull, in the order of their table.
    pub fn each_pull(&self, mut visit: impl FnMut(Pull)) {
        let mut next = vec![0_usize; self.packed.len()];
        let runs = self.runs.all();
        for (i, run) in runs.iter().enumerate() {
            self.pulls_of_run(*run, runs.get(i + 1), &mut next, &mut visit);
        }
    }

    /// The pulls of a run, and so of all needs before the next.
    fn pulls_of_run(
        &self,
        run: DeliveryRun,
        after: Option<&DeliveryRun>,
        next: &mut [usize],
        visit: &mut impl FnMut(Pull),
    ) {
        for &part in &self.walking_order {
            let known = self.plant.part(part);
            while let Some(packed) = self.packed[part.at()].get(next[part.at()]) {
                let (need, owner, to) = self.first_demand(part, packed.first());
                if after.is_some_and(|after| need >= after.leaves) {
                    break;
                }
                next[part.at()] += 1;
                let owner = Some(owner).filter(|_| known.issue != Issue::Bulk);
                visit(Pull { run, part, qty: packed.qty(), to, owner, need, status: packed.status() });
            }
        }
    }

    /// The pulls that are overdue or leave up to the end of the plan's day.
    pub(super) fn pulls_up_to_day(&self) -> Vec<Pull> {
        let overdue = |run: &DeliveryRun| run.leaves < self.plant.as_of;
        let mut pulls = Vec::new();
        let mut next = vec![0_usize; self.packed.len()];
        let runs = self.runs.all();
        for (i, run) in runs.iter().enumerate().take_while(|(_, run)| overdue(run) || run.leaves.date() <= self.day) {
            self.pulls_of_run(*run, runs.get(i + 1), &mut next, &mut |pull| pulls.push(pull));
        }
        pulls
    }
}
