//! What a unit has, and how many options of each group.

use super::{Origin, Trace};
use crate::base::{GroupId, NameId};
use crate::check::Plant;
use crate::expression::NameSet;

/// Names that are true for a unit; of its options also how many of each group.
#[derive(Clone, Debug)]
pub struct Has {
    /// Its options, floorplan, series and line.
    pub names: NameSet,
    of_group: Vec<u32>,
}

impl Has {
    /// Nothing.
    pub fn nothing(plant: &Plant) -> Self {
        Self { names: NameSet::new(plant.names), of_group: vec![0; plant.groups.len()] }
    }

    /// How many options of a group it has.
    pub fn of_group(&self, group: GroupId) -> u32 {
        self.of_group[group.at()]
    }

    /// Adds an option; whether it was missing.
    fn insert(&mut self, plant: &Plant, option: NameId) -> bool {
        let missing = self.names.insert(option);
        if let Some(group) = plant.options[option.at()].group.filter(|_| missing) {
            self.of_group[group.at()] += 1;
        }
        missing
    }

    /// Takes an option out.
    pub fn remove(&mut self, plant: &Plant, option: NameId) {
        let there = self.names.remove(option);
        if let Some(group) = plant.options[option.at()].group.filter(|_| there) {
            self.of_group[group.at()] -= 1;
        }
    }

    /// Adds an option and what its packages include, and so on down; gives what was missing.
    pub fn unfold(&mut self, plant: &Plant, option: NameId, origin: Origin, trace: &mut impl Trace) -> Vec<NameId> {
        let mut added = Vec::new();
        let mut open = vec![(option, origin)];
        while let Some((option, origin)) = open.pop() {
            if self.insert(plant, option) {
                trace.note(option, origin);
                added.push(option);
                open.extend(plant.options[option.at()].includes.iter().map(|inner| (*inner, Origin::Package(option))));
            }
        }
        added
    }
}
