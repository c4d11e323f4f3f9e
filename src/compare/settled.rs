//! What is on carts and no longer asked for because it is where it belongs: used, delivered or issued.

use super::carts::{Carts, Kit};
use super::code::Code;
use super::rows::{PlanRows, UnitRow};
use super::walk::{Act, Task, task};
use crate::base::Moment;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Pieces that stay though the new plan does not ask for them, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Settled {
    /// What would have been brought or fetched.
    pub task: Task,
    /// Why they stay.
    pub why: &'static str,
}

const USED: &str = "its need is past and nothing asks for it: taken as used";
const DELIVERED: &str = "the unit moved up and the new plan counts this place as delivered";
const ISSUED: &str = "the job has begun, its material is issued";

/// Takes out of the carts what the new plan leaves out because it counts as there. A plan tells needs only as long as they are
/// open, so a kit of which nothing is asked any more is used, where its need lies before the as-of moment; delivered, where
/// its unit is built as before but earlier, and needs nothing at all at that place; or issued, where a job of that unit and
/// shop has begun.
pub fn settle(carts: &mut Carts, old: &PlanRows, new: &PlanRows, as_of: Option<Moment>) -> Vec<Settled> {
    let open = Open::of(old, new, as_of);
    let mut settled = Vec::new();
    for (material, kits) in carts {
        kits.retain(|kit, held| {
            if open.asked.get(&material.part).is_some_and(|kits| kits.contains(kit)) {
                return true;
            }
            let why = open.why(kit, held.need);
            let task =
                |why| Settled { task: task(Act::Leave, material, held.qty, Some(kit), None, Some(held.need)), why };
            settled.extend(why.map(task));
            why.is_none()
        });
    }
    settled
}

/// What the new plan still asks for.
struct Open<'r> {
    /// Parts that are pulled for a kit.
    asked: BTreeMap<&'r Code, BTreeSet<Kit>>,
    /// Destinations and units that need anything.
    needing: BTreeSet<Kit>,
    /// Units that are built as before, but earlier.
    earlier: BTreeSet<&'r Code>,
    /// Shops and units of jobs that have begun.
    begun: BTreeSet<Kit>,
    as_of: Option<Moment>,
}

impl<'r> Open<'r> {
    fn of(old: &'r PlanRows, new: &'r PlanRows, as_of: Option<Moment>) -> Self {
        let kit = |to: &Code, unit: &Code| Kit { to: to.clone(), unit: unit.clone() };
        let before: BTreeMap<&Code, &UnitRow> = old.units.iter().map(|row| (&row.unit, row)).collect();
        let earlier = |row: &&UnitRow| before.get(&row.unit).is_some_and(|old| moved_up(old, row));
        let mut asked: BTreeMap<&Code, BTreeSet<Kit>> = BTreeMap::new();
        for pull in &new.pulls {
            asked.entry(&pull.part).or_default().insert(kit(&pull.to, &pull.unit));
        }
        Self {
            asked,
            needing: new.demands.iter().map(|demand| kit(&demand.to, &demand.unit)).collect(),
            earlier: new.units.iter().filter(earlier).map(|row| &row.unit).collect(),
            begun: new
                .jobs
                .iter()
                .filter(|job| job.material.text() == "issued")
                .map(|job| kit(&job.shop, &job.unit))
                .collect(),
            as_of,
        }
    }

    fn why(&self, kit: &Kit, need: Moment) -> Option<&'static str> {
        if self.as_of.is_some_and(|as_of| need < as_of) {
            return Some(USED);
        }
        if self.begun.contains(kit) {
            return Some(ISSUED);
        }
        (self.earlier.contains(&kit.unit) && !self.needing.contains(kit)).then_some(DELIVERED)
    }
}

/// Whether a unit is built as before, but earlier.
fn moved_up(old: &UnitRow, new: &UnitRow) -> bool {
    let earlier = new.enters < old.enters || new.leaves < old.leaves;
    let on_line = old.enters.is_some() && new.enters.is_some();
    on_line && earlier && (&old.floorplan, &old.options) == (&new.floorplan, &new.options)
}
