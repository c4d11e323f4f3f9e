//! The builds of a floorplan as slots and tables, to be summed over.

use super::exact::OfSet;
use super::frame::Frame;
use super::sums::{Outcome, Range, Sum, Table, sum};
use crate::base::NameId;
use crate::check::Choose;
use crate::expression::NameSet;
use itertools::Itertools;
use num_bigint::BigUint;
use std::collections::BTreeMap;

/// The table of one condition may have so many rows.
const MOST_ROWS: usize = 100_000;

/// Slots, and what their values may be together.
pub struct Space<'a> {
    frame: &'a Frame<'a>,
    /// Each slot's options; its value is 0 for none of them, or the place of the one that is there.
    slots: Vec<Vec<NameId>>,
    slot_of: Vec<Option<usize>>,
    tables: Vec<Table<()>>,
}

impl Sum for () {
    fn with(&self, (): &Self) {}
    fn or(&self, (): &Self) {}
}

impl<'a> Space<'a> {
    /// A floorplan's; `None` where some of it is too large for tables, or rules undo each other in too many ways.
    pub fn of(frame: &'a Frame<'a>, sets: &BTreeMap<usize, OfSet>) -> Option<Self> {
        let (slots, slot_of) = slots(frame);
        let mut space = Self { frame, slots, slot_of, tables: Vec::new() };
        for slot in 0..space.slots.len() {
            let first = space.slots[slot][0];
            let table = space.table(&[slot], |names| space.allowed(first, names).then_some(()))?;
            space.tables.push(table);
        }
        let placed = |option: NameId| !matches!(sets[&frame.part_of[option.at()]], OfSet::AsWritten);
        for (set, of) in sets {
            match of {
                OfSet::AsWritten => {}
                OfSet::These(builds) => space.these(*set, builds),
                OfSet::TooMany => return None,
            }
        }
        space.constraints(placed)?;
        Some(space)
    }

    /// Whether a group may have none of its options.
    fn allowed(&self, first: NameId, names: &NameSet) -> bool {
        let plant = self.frame.plant;
        let Some(group) = plant.options[first.at()].group else { return true };
        if plant.groups[group.at()].choose != Choose::One {
            return true;
        }
        let members =
            || (0..plant.options.len()).map(NameId::of).filter(|o| plant.options[o.at()].group == Some(group));
        members().any(|option| names.contains(option)) || !members().any(|option| self.frame.offers(option))
    }

    fn these(&mut self, set: usize, builds: &[NameSet]) {
        let slots: Vec<usize> =
            (0..self.slots.len()).filter(|slot| self.frame.part_of[self.slots[*slot][0].at()] == set).collect();
        let value = |slot: &usize, names: &NameSet| {
            let there = self.slots[*slot].iter().positions(|option| names.contains(*option)).collect_vec();
            match there[..] {
                [] => Some(0),
                [one] => u16::try_from(one + 1).ok(),
                // Two of a group of which a unit has one.
                _ => None,
            }
        };
        let row =
            |names: &NameSet| Some((slots.iter().map(|slot| value(slot, names)).collect::<Option<Box<[u16]>>>()?, ()));
        let rows = builds.iter().filter_map(row).collect();
        self.tables.push(Table { slots, rows });
    }

    fn constraints(&mut self, placed: impl Fn(NameId) -> bool) -> Option<()> {
        let frame = self.frame;
        let plant = frame.plant;
        let holds = |when: u32, names: &NameSet| plant.conditions[when as usize].holds(names);
        let names_of = |when: u32| plant.conditions[when as usize].names().collect_vec();
        for package in frame.options().filter(|option| !placed(*option)) {
            for inner in &plant.options[package.at()].includes {
                self.add(&[package, *inner], |names| !names.contains(package) || names.contains(*inner))?;
            }
        }
        for rule in &plant.rules {
            for added in rule.adds.iter().filter(|option| !placed(**option)) {
                let about = names_of(rule.when).into_iter().chain([*added]).collect_vec();
                self.add(&about, |names| !holds(rule.when, names) || names.contains(*added))?;
            }
            if let Some(must) = rule.must {
                let about = names_of(rule.when).into_iter().chain(names_of(must)).collect_vec();
                self.add(&about, |names| !holds(rule.when, names) || holds(must, names))?;
            }
        }
        for option in frame.options().filter(|option| !frame.offers(*option) && !placed(*option)) {
            let packages = frame
                .options()
                .filter(|p| *p != option && plant.options[p.at()].includes.contains(&option))
                .collect_vec();
            let rules =
                plant.rules.iter().filter(|rule| rule.adds.contains(&option)).map(|rule| rule.when).collect_vec();
            let about = rules.iter().flat_map(|when| names_of(*when)).chain(packages.iter().copied()).chain([option]);
            let brought = |names: &NameSet| {
                packages.iter().any(|package| names.contains(*package)) || rules.iter().any(|when| holds(*when, names))
            };
            self.add(&about.collect_vec(), |names| !names.contains(option) || brought(names))?;
        }
        Some(())
    }

    fn add(&mut self, about: &[NameId], allows: impl Fn(&NameSet) -> bool) -> Option<()> {
        let slots = self.slots_of(about.iter().copied());
        let table = self.table(&slots, |names| allows(names).then_some(()))?;
        self.tables.push(table);
        Some(())
    }

    fn slots_of(&self, names: impl Iterator<Item = NameId>) -> Vec<usize> {
        names.filter_map(|name| *self.slot_of.get(name.at())?).sorted_unstable().dedup().collect()
    }

    /// The table of some slots: what each of their values together comes to.
    fn table<S>(&self, slots: &[usize], value: impl Fn(&NameSet) -> Option<S>) -> Option<Table<S>> {
        let sizes = slots.iter().map(|slot| self.slots[*slot].len() + 1).collect_vec();
        let all = sizes.iter().try_fold(1_usize, |all, size| all.checked_mul(*size).filter(|all| *all <= MOST_ROWS))?;
        let mut rows = Vec::new();
        for number in 0..all {
            let (mut rest, mut names, mut values) = (number, self.frame.given.clone(), Vec::new());
            for (slot, size) in slots.iter().zip(&sizes) {
                let at = rest % size;
                rest /= size;
                if at > 0 {
                    names.insert(self.slots[*slot][at - 1]);
                }
                values.push(u16::try_from(at).ok()?);
            }
            rows.extend(value(&names).map(|value| (values.into_boxed_slice(), value)));
        }
        Some(Table { slots: slots.to_vec(), rows })
    }

    /// How many builds there are.
    pub fn count(&self) -> Option<BigUint> {
        let one = BigUint::from(1_u32);
        match sum(self.valued(&one), &one)? {
            Outcome::Nothing => Some(BigUint::from(0_u32)),
            Outcome::Of(count) => Some(count),
        }
    }

    /// The least and the most that terms come to, each a number for the builds for which all of its conditions hold.
    pub fn range(&self, terms: &[(Vec<u32>, i128)]) -> Option<Range> {
        let plant = self.frame.plant;
        let names =
            |whens: &[u32]| whens.iter().flat_map(|when| plant.conditions[*when as usize].names()).collect_vec();
        let scoped = terms.iter().map(|(whens, number)| (self.slots_of(names(whens).into_iter()), (whens, *number)));
        let grouped: BTreeMap<Vec<usize>, Vec<(&Vec<u32>, i128)>> =
            scoped.into_group_map().into_iter().sorted().collect();
        let mut tables = self.valued(&Range::at(0));
        let mut always = Range::at(0);
        for (slots, terms) in grouped {
            let value = |names: &NameSet| {
                let hold = terms
                    .iter()
                    .filter(|(whens, _)| whens.iter().all(|when| plant.conditions[*when as usize].holds(names)));
                Range::at(hold.map(|(_, number)| number).sum())
            };
            if slots.is_empty() {
                always = always.with(&value(&self.frame.given));
            } else {
                tables.push(self.table(&slots, |names| Some(value(names)))?);
            }
        }
        match sum(tables, &always)? {
            Outcome::Nothing => None,
            Outcome::Of(range) => Some(range),
        }
    }

    fn valued<S: Sum>(&self, unit: &S) -> Vec<Table<S>> {
        let valued = |table: &Table<()>| Table {
            slots: table.slots.clone(),
            rows: table.rows.iter().map(|(row, ())| (row.clone(), unit.clone())).collect(),
        };
        self.tables.iter().filter(|table| !table.slots.is_empty() || table.rows.is_empty()).map(valued).collect()
    }
}

/// A slot for each group of which a unit has one, and for each other option.
fn slots(frame: &Frame<'_>) -> (Vec<Vec<NameId>>, Vec<Option<usize>>) {
    let plant = frame.plant;
    let mut slots: Vec<Vec<NameId>> = Vec::new();
    let mut of_group = vec![None; plant.groups.len()];
    let mut slot_of = vec![None; plant.options.len()];
    for option in frame.options() {
        let group = plant.options[option.at()].group.filter(|id| plant.groups[id.at()].choose != Choose::Any);
        let slot = match group {
            Some(group) => *of_group[group.at()].get_or_insert(slots.len()),
            None => slots.len(),
        };
        if slot == slots.len() {
            slots.push(Vec::new());
        }
        slots[slot].push(option);
        slot_of[option.at()] = Some(slot);
    }
    (slots, slot_of)
}
