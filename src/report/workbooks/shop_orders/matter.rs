//! Which options and changes matter to a part: those named in conditions below it, make parts and phantoms followed down.

use crate::base::{ChangeId, NameId, OwnerId};
use crate::check::Plant;
use crate::check::follow::from_below;
use crate::plan::{Plan, UnitPlan};
use itertools::Itertools;
use std::collections::BTreeSet;

/// What decides how a part is built.
#[derive(Clone, Debug, Default)]
pub struct Matter {
    options: BTreeSet<NameId>,
    changes: BTreeSet<ChangeId>,
}

/// What matters to each part, by part.
pub fn of_parts(plant: &Plant) -> Vec<Matter> {
    from_below(plant, |_, bill, known: &[Matter]| {
        let mut found = Matter::default();
        for line in bill {
            let names = plant.conditions[line.when as usize].names();
            found.options.extend(names.filter(|name| name.at() < plant.options.len()));
            found.changes.extend(line.from.into_iter().chain(line.until));
            let below = &known[line.part.at()];
            found.options.extend(&below.options);
            found.changes.extend(&below.changes);
        }
        found
    })
}

impl Matter {
    /// In words: the unit's options among them (`none` where it has none), and on which side of each change it is.
    pub fn told(&self, plan: &Plan<'_>, owner: OwnerId, unit: Option<&UnitPlan>) -> String {
        let Some(unit) = unit.filter(|_| plan.pace.owners[owner.at()].planned) else { return String::new() };
        let has = unit.options.iter().filter(|option| self.options.contains(option));
        let options = has.map(|option| plan.plant.options[option.at()].code.as_str()).join(" ");
        let options = if options.is_empty() && !self.options.is_empty() { "none".to_owned() } else { options };
        let changes = self.changes.iter().map(|change| {
            let side = if plan.pace.reached(plan.plant, unit.unit, *change) { "after" } else { "before" };
            format!("{side} {}", plan.plant.changes[change.at()].code)
        });
        std::iter::once(options).filter(|text| !text.is_empty()).chain(changes).join(", ")
    }
}
