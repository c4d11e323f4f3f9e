//! The tasks of a walk in the order in which a person does them.

use super::{Act, CartTour, Code, Kit, PartFacts, Task};
use crate::base::StorageKey;
use std::collections::BTreeMap;

/// What is known of parts.
type Parts = BTreeMap<Code, PartFacts>;

fn place(parts: &Parts, task: &Task) -> (StorageKey, Option<Code>) {
    let location = parts.get(&task.part).map(|facts| facts.location.clone());
    (StorageKey::new(location.as_ref().map_or("", Code::text)), location)
}

fn station(kit: Option<&Kit>) -> (Option<StorageKey>, Option<Kit>) {
    (kit.map(|kit| StorageKey::new(kit.to.text())), kit.cloned())
}

impl CartTour {
    /// What is taken out of kits: station by station, unit by unit, by storage location.
    pub fn at_stations(&self, parts: &Parts) -> Vec<&Task> {
        let mut tasks = self.of(&[Act::Move, Act::BringBack]);
        tasks.sort_by_cached_key(|task| {
            let (from, to) = (station(task.from.as_ref()), station(task.to.as_ref()));
            (from, place(parts, task), task.part.clone(), task.uom.clone(), task.act, to)
        });
        tasks
    }

    /// What is put away in the stores and taken from them: by storage location.
    pub fn in_stores(&self, parts: &Parts) -> Vec<&Task> {
        let mut tasks = self.of(&[Act::BringBack, Act::Pick]);
        tasks.sort_by_cached_key(|task| {
            let (from, to) = (station(task.from.as_ref()), station(task.to.as_ref()));
            (place(parts, task), task.part.clone(), task.uom.clone(), task.act, from, to)
        });
        tasks
    }

    /// The tasks of some kinds.
    fn of(&self, acts: &[Act]) -> Vec<&Task> {
        self.tasks.iter().filter(|task| acts.contains(&task.act)).collect()
    }
}
