//! How units and jobs stand: the worst of what is late or short for each.

use super::{Material, UnitState};
use crate::base::{DestId, Moment, OwnerId, PartId};
use crate::check::{DestKind, Plant};
use crate::shops::Job;
use crate::supply::{Covered, Supply};
use std::collections::HashMap;

/// The worst of what is late or short, by owner and by job.
#[derive(Default)]
pub(super) struct Standing {
    owners: HashMap<OwnerId, Worst>,
    jobs: HashMap<(OwnerId, DestId, Moment), Worst>,
}

#[derive(Clone, Copy, Default)]
struct Worst {
    first_short: Option<(Moment, PartId)>,
    first_late: Option<(Moment, PartId)>,
    last: Option<Moment>,
}

impl Worst {
    fn take(&mut self, need: Moment, part: PartId, covered: Covered, available: Option<Moment>) {
        let first = match covered {
            Covered::InTime => return,
            Covered::Short => &mut self.first_short,
            Covered::Late => &mut self.first_late,
        };
        *first = Some(first.map_or((need, part), |known| known.min((need, part))));
        if covered == Covered::Late {
            self.last = self.last.max(available);
        }
    }
}

impl Standing {
    pub(super) fn of(plant: &Plant, supplies: &[Supply]) -> Self {
        let mut standing = Self::default();
        for supply in supplies {
            for peg in &supply.pegs {
                let demand = &supply.demands[peg.demand as usize];
                let covered = peg.covered(demand.need);
                if covered == Covered::InTime {
                    continue;
                }
                let take = |worst: &mut Worst| worst.take(demand.need, demand.part, covered, peg.available);
                take(standing.owners.entry(demand.owner).or_default());
                if matches!(plant.dest(demand.to).what, DestKind::Shop(_)) {
                    take(standing.jobs.entry((demand.owner, demand.to, demand.need)).or_default());
                }
            }
        }
        standing
    }

    pub(super) fn state(&self, owner: OwnerId) -> UnitState {
        let worst = self.owners.get(&owner).copied().unwrap_or_default();
        match (worst.first_short, worst.first_late, worst.last) {
            (Some((_, part)), ..) => UnitState::Short(part),
            (_, Some((_, part)), Some(last)) => UnitState::Late(part, last),
            _ => UnitState::Clear,
        }
    }

    pub(super) fn material(&self, plant: &Plant, job: &Job) -> Material {
        if job.started {
            return Material::Issued;
        }
        let shop = plant.shop(job.shop);
        let need = plant.calendar(shop.calendar).starts(job.slot.start - shop.ahead);
        let worst = self.jobs.get(&(job.owner, shop.dest, need)).copied().unwrap_or_default();
        match (worst.first_short, worst.last) {
            (Some(_), _) => Material::Short,
            (None, Some(last)) => Material::Late(last),
            (None, None) => Material::Ready,
        }
    }
}
