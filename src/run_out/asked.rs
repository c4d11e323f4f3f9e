//! What units ask for of the parts of a change, each as if it had reached the change and as if it had not.

use crate::base::{ChangeId, DestId, Moment, OwnerId, PartId, Quantity, UnitId, add_equals};
use crate::configure::{self, Configured};
use crate::explode::{self, Explosions, Path, TooLarge};
use crate::netting::Demand;
use crate::plan::{Plan, UnitState};
use crate::shops::{Job, material_need};
use std::collections::HashMap;

/// What one owner asks for of a part: when, where and how much; each moment and place once, in order.
pub(super) type Of = Vec<((Moment, DestId), Quantity)>;

/// What all owners ask for of a part.
#[derive(Debug, Default)]
pub(super) struct OfPart {
    /// For each owner without the change, and with it.
    pub(super) owners: Vec<[Of; 2]>,
    /// Whom it makes a difference for.
    pub(super) differs: Vec<bool>,
}

/// What each unit on the plan has.
fn configured(plan: &Plan<'_>) -> Configured {
    let mut configured = configure::configure(plan.plant).0;
    let aside = plan.units.iter().filter(|unit| unit.state == UnitState::SetAside);
    aside.for_each(|unit| configured[unit.unit.at()] = None);
    configured
}

/// What is asked for of some bought parts.
///
/// # Errors
/// Where a quantity becomes too large.
pub(super) fn asked(plan: &Plan<'_>, change: ChangeId, parts: &[PartId]) -> Result<HashMap<PartId, OfPart>, TooLarge> {
    let configured = configured(plan);
    let mut all: HashMap<PartId, OfPart> = HashMap::new();
    for part in parts {
        let owners = vec![[Of::new(), Of::new()]; plan.pace.owners.len()];
        all.insert(*part, OfPart { owners, differs: Vec::new() });
    }
    for with in [false, true] {
        let inside = |unit: UnitId, other: ChangeId| match other == change {
            true => with,
            false => plan.pace.reached(plan.plant, unit, other),
        };
        let mut explosions = explode::explode_as(plan.plant, &configured, &plan.pace, &inside)?;
        at_stations(plan, &explosions, with, &mut all);
        in_shops(plan, &mut explosions, with, &mut all)?;
    }
    for part in parts {
        let of_extras = plan.extras_for(*part);
        let Some(of) = all.get_mut(part) else { continue };
        for extra in of_extras {
            let own = ((extra.need, extra.to), extra.qty);
            of.owners[extra.owner.at()].iter_mut().for_each(|asked| asked.push(own));
        }
        for asked in of.owners.iter_mut().flatten() {
            asked.sort_unstable();
            add_equals(asked);
        }
        of.differs = of.owners.iter().map(|[without, with]| without != with).collect();
    }
    Ok(all)
}

fn at_stations(plan: &Plan<'_>, explosions: &Explosions<'_>, with: bool, all: &mut HashMap<PartId, OfPart>) {
    let to_parts = explosions.floorplans.iter().map(|paths| {
        let wanted = paths.all.iter().filter(|path| !path.gives && all.contains_key(&path.part));
        wanted.collect::<Vec<&Path>>()
    });
    let to_parts: Vec<_> = to_parts.collect();
    for (owner, unit) in plan.pace.owners.iter().enumerate().filter(|(_, owner)| owner.planned) {
        let Some((unit, floorplan)) = unit.unit.and_then(|unit| Some((unit, explosions.floorplan_of(unit)?))) else {
            continue;
        };
        for path in to_parts[floorplan].iter().filter(|path| explosions.guards.holds(path.guard, Some(unit))) {
            let Some(need) = need_at(plan, unit, path.station) else { continue };
            if let Some(of) = all.get_mut(&path.part) {
                of.owners[owner][usize::from(with)].push(((need, path.station), path.qty));
            }
        }
    }
}

/// When a unit needs material at a station; `None` where it has it, or it has left the stores.
fn need_at(plan: &Plan<'_>, unit: UnitId, station: DestId) -> Option<Moment> {
    let need = plan.pace.need(plan.plant, unit, station)?;
    (!plan.plant.issued(unit, station) && !plan.delivered(need)).then_some(need)
}

fn in_shops(
    plan: &Plan<'_>,
    explosions: &mut Explosions<'_>,
    with: bool,
    all: &mut HashMap<PartId, OfPart>,
) -> Result<(), TooLarge> {
    let needed = |job: &&Job| !job.started && !plan.delivered(material_need(plan.plant, job));
    for job in plan.jobs.iter().filter(needed) {
        let owner = &plan.pace.owners[job.owner.at()];
        let who = owner.unit.filter(|unit| owner.planned && explosions.floorplan_of(*unit).is_some());
        let below = explosions.below(who, job.part, job.qty)?;
        for (part, qty) in &below.needs {
            if let Some(of) = all.get_mut(part) {
                let at = (material_need(plan.plant, job), plan.plant.shop(job.shop).dest);
                of.owners[job.owner.at()][usize::from(with)].push((at, *qty));
            }
        }
    }
    Ok(())
}

impl OfPart {
    /// The demands for a part where some owners have reached the change.
    pub(super) fn demands(&self, part: PartId, reached: &[bool]) -> Vec<Demand> {
        let mut demands = Vec::new();
        for (owner, (asked, reached)) in self.owners.iter().zip(reached).enumerate() {
            let of = asked[usize::from(*reached)].iter();
            demands.extend(of.map(|((need, to), qty)| Demand {
                part,
                need: *need,
                owner: OwnerId::of(owner),
                to: *to,
                qty: *qty,
            }));
        }
        demands
    }
}
