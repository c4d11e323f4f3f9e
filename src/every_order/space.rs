//! The builds of a floorplan as slots and tables, to be summed over.

use super::exact::OfSet;
use super::frame::Frame;
use super::gates::Truth;
use super::limit::Limit;
use super::says::Says;
use super::sums::{Outcome, Range, Sum, Table, sum};
use crate::base::{NameId, numbered};
use crate::check::Choose;
use crate::expression::NameSet;
use itertools::Itertools;
use num_bigint::BigUint;
use std::collections::BTreeMap;

/// What is said of slots that have at most so many values together is one table; else further slots tell it.
const MOST_AT_ONCE: usize = 4_096;

/// Slots, and what their values may be together.
#[derive(Clone)]
pub struct Space<'a> {
    pub(super) frame: &'a Frame<'a>,
    /// Each slot's options: its value is 0 for none of them, or the place of the one that is there. Further slots have none.
    pub(super) slots: Vec<Vec<NameId>>,
    /// How many values each slot has.
    pub(super) sizes: Vec<usize>,
    pub(super) slot_of: Vec<Option<usize>>,
    pub(super) tables: Vec<Table<()>>,
}

impl Sum for () {
    fn with(&self, (): &Self) {}
    fn or(&self, (): &Self) {}
}

impl<'a> Space<'a> {
    /// A floorplan's, where tables can say exactly which builds there are.
    pub fn of(frame: &'a Frame<'a>, sets: &BTreeMap<usize, OfSet>) -> Result<Self, Limit> {
        let (slots, slot_of) = slots(frame);
        let sizes = slots.iter().map(|options| options.len() + 1).collect();
        let mut space = Self { frame, slots, sizes, slot_of, tables: Vec::new() };
        for slot in 0..space.slots.len() {
            space.group(slot);
        }
        for (set, of) in sets {
            match of {
                OfSet::AsWritten => {}
                OfSet::These(builds) => space.these(*set, builds),
                OfSet::TooMany => return Err(Limit::Orders),
            }
        }
        space.constraints(|option| !matches!(sets[&frame.part_of[option.at()]], OfSet::AsWritten));
        Ok(space)
    }

    /// A slot of its own for what follows from others.
    pub(super) fn further_slot(&mut self) -> usize {
        self.slots.push(Vec::new());
        self.sizes.push(2);
        self.slots.len() - 1
    }

    /// A slot's own values: a group of which a unit has exactly one may not have none, where any is offered.
    fn group(&mut self, slot: usize) {
        let plant = self.frame.plant;
        let needed = plant.options[self.slots[slot][0].at()].group.filter(|group| {
            let members = (0..plant.options.len()).filter(|option| plant.options[*option].group == Some(*group));
            plant.groups[group.at()].choose == Choose::One && members.map(NameId::of).any(|o| self.frame.offers(o))
        });
        let rows = (usize::from(needed.is_some())..self.sizes[slot]).map(|value| ([numbered(value)].into(), ()));
        self.tables.push(Table { slots: vec![slot], rows: rows.collect() });
    }

    /// The builds of options that belong together, where each order of them was placed.
    fn these(&mut self, set: usize, builds: &[NameSet]) {
        let of_set = |slot: &usize| self.frame.part_of[self.slots[*slot][0].at()] == set;
        let slots: Vec<usize> = (0..self.slots.len()).filter(of_set).collect();
        let value = |slot: &usize, names: &NameSet| {
            let there = self.slots[*slot].iter().positions(|option| names.contains(*option)).collect_vec();
            match there[..] {
                [] => Some(0),
                [one] => Some(numbered(one + 1)),
                // Two of a group of which a unit has one.
                _ => None,
            }
        };
        let row =
            |names: &NameSet| Some((slots.iter().map(|slot| value(slot, names)).collect::<Option<Box<[u32]>>>()?, ()));
        let rows = builds.iter().filter_map(row).collect();
        self.tables.push(Table { slots, rows });
    }

    /// What packages and rules say, and that what can't be ordered is brought by one.
    fn constraints(&mut self, placed: impl Fn(NameId) -> bool) {
        let frame = self.frame;
        let plant = frame.plant;
        for package in frame.options().filter(|option| !placed(*option)) {
            for inner in &plant.options[package.at()].includes {
                self.must(&Says::brings(Says::Name(package), Says::Name(*inner)));
            }
        }
        for rule in &plant.rules {
            for added in rule.adds.iter().filter(|option| !placed(**option)) {
                self.must(&Says::brings(Says::When(rule.when), Says::Name(*added)));
            }
            if let Some(must) = rule.must {
                self.must(&Says::brings(Says::When(rule.when), Says::When(must)));
            }
        }
        for option in frame.options().filter(|option| !frame.offers(*option) && !placed(*option)) {
            let packages = frame.options().filter(|p| *p != option && plant.options[p.at()].includes.contains(&option));
            let rules = plant.rules.iter().filter(|rule| rule.adds.contains(&option)).map(|rule| rule.when);
            let brought = packages.map(Says::Name).chain(rules.map(Says::When)).collect();
            self.must(&Says::brings(Says::Name(option), Says::Any(brought)));
        }
    }

    /// Only builds of which something is true.
    fn must(&mut self, says: &Says) {
        let slots = self.slots_of(says);
        if let Some(table) = self.at_once(&slots, |names| says.holds(self.frame.plant, names).then_some(())) {
            self.tables.push(table);
            return;
        }
        let table = match self.truth(says) {
            Truth::Always(true) => return,
            Truth::Always(false) => Table { slots: Vec::new(), rows: Vec::new() },
            Truth::By(slot, so) => {
                let rows = so.iter().positions(|so| *so).map(|value| ([numbered(value)].into(), ()));
                Table { slots: vec![slot], rows: rows.collect() }
            }
        };
        self.tables.push(table);
    }

    fn slots_of(&self, says: &Says) -> Vec<usize> {
        let mut names = Vec::new();
        says.names(self.frame.plant, &mut names);
        names.into_iter().filter_map(|name| *self.slot_of.get(name.at())?).sorted_unstable().dedup().collect()
    }

    /// The table of some slots, what each of their values together comes to; `None` where they have too many.
    fn at_once<S>(&self, slots: &[usize], value: impl Fn(&NameSet) -> Option<S>) -> Option<Table<S>> {
        let sizes = slots.iter().map(|slot| self.sizes[*slot]).collect_vec();
        let all =
            sizes.iter().try_fold(1_usize, |all, size| all.checked_mul(*size).filter(|all| *all <= MOST_AT_ONCE))?;
        let mut rows = Vec::new();
        for number in 0..all {
            let (mut rest, mut names, mut values) = (number, self.frame.given.clone(), Vec::new());
            for (slot, size) in slots.iter().zip(&sizes) {
                let at = rest % size;
                rest /= size;
                if at > 0 {
                    names.insert(self.slots[*slot][at - 1]);
                }
                values.push(numbered(at));
            }
            rows.extend(value(&names).map(|value| (values.into_boxed_slice(), value)));
        }
        Some(Table { slots: slots.to_vec(), rows })
    }

    /// How many builds there are.
    pub fn count(&self) -> Result<BigUint, Limit> {
        let one = BigUint::from(1_u32);
        Ok(match sum(valued(&self.tables, &one), &one)? {
            Outcome::Nothing => BigUint::from(0_u32),
            Outcome::Of(count) => count,
        })
    }

    /// The least and the most that terms come to, each a number for the builds for which all of its conditions hold; `None` where
    /// there are no builds.
    pub fn range(&self, terms: &[(Vec<u32>, i128)]) -> Result<Option<Range>, Limit> {
        let mut space = self.clone();
        let term = |(whens, number): &(Vec<u32>, i128)| {
            let says = Says::All(whens.iter().copied().map(Says::When).collect());
            (self.slots_of(&says), (says, *number))
        };
        let grouped: BTreeMap<Vec<usize>, Vec<(Says, i128)>> =
            terms.iter().map(term).into_group_map().into_iter().collect();
        let mut always = Range::at(0);
        let mut tables = Vec::new();
        for (slots, terms) in &grouped {
            let value = |names: &NameSet| {
                let hold = terms.iter().filter(|(says, _)| says.holds(self.frame.plant, names));
                Range::at(hold.map(|(_, number)| number).sum())
            };
            if slots.is_empty() {
                always = always.with(&value(&self.frame.given));
            } else if let Some(table) = self.at_once(slots, |names| Some(value(names))) {
                tables.push(table);
            } else {
                terms.iter().for_each(|(says, number)| space.weigh(says, *number, &mut always, &mut tables));
            }
        }
        tables.extend(valued(&space.tables, &Range::at(0)));
        Ok(match sum(tables, &always)? {
            Outcome::Nothing => None,
            Outcome::Of(range) => Some(range),
        })
    }

    /// What something that speaks of many slots adds where it is true.
    fn weigh(&mut self, says: &Says, number: i128, always: &mut Range, tables: &mut Vec<Table<Range>>) {
        let value = |so: bool| Range::at(if so { number } else { 0 });
        match self.truth(says) {
            Truth::Always(so) => *always = always.with(&value(so)),
            Truth::By(slot, so) => {
                let rows = so.iter().enumerate().map(|(at, so)| ([numbered(at)].into(), value(*so)));
                tables.push(Table { slots: vec![slot], rows: rows.collect() });
            }
        }
    }
}

/// Tables, each of whose rows comes to the same.
fn valued<S: Sum>(tables: &[Table<()>], unit: &S) -> Vec<Table<S>> {
    let valued = |table: &Table<()>| Table {
        slots: table.slots.clone(),
        rows: table.rows.iter().map(|(row, ())| (row.clone(), unit.clone())).collect(),
    };
    tables.iter().map(valued).collect()
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
