//! The smallest change of a unit's options that would make conditions hold, found by really configuring changed orders.

use super::asked::Asked;
use super::facts::OrderChange;
use crate::base::NameId;
use crate::check::{Choose, Plant, Unit};
use crate::configure;
use crate::expression::NameSet;
use itertools::Itertools;
use std::collections::BTreeSet;

/// So many options are added or taken away at once, at most.
const MOST: usize = 3;
/// So many changed orders are configured for one answer, at most.
pub const ORDERS: usize = 30_000;
/// Of up to so many names of the conditions every combination is looked at first.
const NAMES: usize = 12;

/// One change of an order.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Step {
    /// Order an option that is offered.
    Order(NameId),
    /// Leave out what is ordered, or the taking away of a standard.
    Leave(NameId),
    /// Take away a standard.
    Take(NameId),
}

/// The fewest options added or taken away after which all conditions hold and the order is right; of equals, those that the
/// conditions name before others, then in the order of the book. `left` counts down the orders that may still be tried.
pub fn smallest(asked: &Asked<'_>, conditions: &BTreeSet<u32>, left: &mut usize) -> OrderChange {
    let unit = &asked.plant.units[asked.unit.at()];
    let none = |tried| OrderChange {
        found: false,
        order: vec![],
        leave_out: vec![],
        take_away: vec![],
        options: String::new(),
        tried,
    };
    if !possible(asked, conditions) {
        return none(MOST);
    }
    let steps = steps(asked, conditions);
    for size in 1..=MOST {
        for change in steps.iter().copied().combinations(size) {
            let Some(rest) = left.checked_sub(1) else { return none(size - 1) };
            *left = rest;
            let changed = changed(unit, &change);
            if configure::order(asked.plant, &changed).is_some_and(|has| all_hold(asked.plant, conditions, &has)) {
                return told(asked.plant, unit, &changed, &change, size);
            }
        }
    }
    none(MOST)
}

fn all_hold(plant: &Plant, conditions: &BTreeSet<u32>, has: &NameSet) -> bool {
    conditions.iter().all(|condition| plant.conditions[*condition as usize].holds(has))
}

/// Whether any options at all could make the conditions hold on the unit's floorplan and line.
fn possible(asked: &Asked<'_>, conditions: &BTreeSet<u32>) -> bool {
    let plant = asked.plant;
    let names = named(plant, conditions);
    let options: Vec<NameId> = names.iter().copied().filter(|name| name.at() < plant.options.len()).collect();
    let fixed: Vec<NameId> = names.iter().copied().filter(|name| !options.contains(name) && asked.is(*name)).collect();
    let every = |chosen: Vec<NameId>| {
        let mut has = NameSet::new(plant.names);
        fixed.iter().chain(&chosen).for_each(|name| {
            has.insert(*name);
        });
        all_hold(plant, conditions, &has)
    };
    options.len() > NAMES || options.iter().copied().powerset().any(every)
}

fn named(plant: &Plant, conditions: &BTreeSet<u32>) -> BTreeSet<NameId> {
    conditions.iter().flat_map(|condition| plant.conditions[*condition as usize].names()).collect()
}

/// The changes that can matter: of the options that conditions name, and of all that groups, packages and rules join to them.
fn steps(asked: &Asked<'_>, conditions: &BTreeSet<u32>) -> Vec<Step> {
    let plant = asked.plant;
    let direct = named(plant, conditions);
    let mut joined = direct.clone();
    while let Some(more) = more(plant, &joined) {
        joined.extend(more);
    }
    let later = joined.iter().copied().filter(|name| !direct.contains(name));
    let options = direct.iter().copied().chain(later).filter(|name| name.at() < plant.options.len());
    options.flat_map(|option| steps_of(asked, option)).collect()
}

/// Names joined to some that are not among them yet.
fn more(plant: &Plant, names: &BTreeSet<NameId>) -> Option<BTreeSet<NameId>> {
    let mut found = BTreeSet::new();
    let single = |group: crate::base::GroupId| plant.groups[group.at()].choose != Choose::Any;
    let groups: BTreeSet<_> = names.iter().filter_map(|name| plant.options.get(name.at())?.group).collect();
    for (i, option) in plant.options.iter().enumerate() {
        let id = NameId::of(i);
        let in_group = option.group.is_some_and(|group| single(group) && groups.contains(&group));
        if in_group || option.includes.iter().any(|inner| names.contains(inner)) {
            found.insert(id);
        }
        if names.contains(&id) {
            found.extend(&option.includes);
        }
    }
    for rule in &plant.rules {
        let asks = [Some(rule.when), rule.must].into_iter().flatten();
        let asks = asks.flat_map(|condition| plant.conditions[condition as usize].names());
        let speaks: BTreeSet<NameId> = asks.chain(rule.adds.iter().copied()).collect();
        if !speaks.is_disjoint(names) {
            found.extend(speaks);
        }
    }
    found.retain(|name| name.at() < plant.options.len() && !names.contains(name));
    (!found.is_empty()).then_some(found)
}

/// What can be changed about one option; one that is ordered and standard is left out and taken away.
fn steps_of(asked: &Asked<'_>, option: NameId) -> Vec<Step> {
    let plant = asked.plant;
    let unit = &plant.units[asked.unit.at()];
    let Ok(floorplan) = &unit.floorplan else { return Vec::new() };
    let floorplan = &plant.floorplans[floorplan.at()];
    let ordered = unit.ordered.iter().any(|(ordered, _)| *ordered == option);
    let mut steps = Vec::new();
    if ordered {
        steps.push(Step::Leave(option));
    } else if !asked.is(option) && floorplan.offers[option.at()] {
        steps.push(Step::Order(option));
    }
    if asked.is(option) && floorplan.standards.contains(&option) {
        steps.push(Step::Take(option));
    }
    steps
}

/// The unit with a changed order.
fn changed(unit: &Unit, change: &[Step]) -> Unit {
    let mut unit = unit.clone();
    for step in change {
        match step {
            Step::Order(option) => unit.ordered.push((*option, false)),
            Step::Take(option) => unit.ordered.push((*option, true)),
            Step::Leave(option) => unit.ordered.retain(|(ordered, _)| ordered != option),
        }
    }
    unit
}

fn told(plant: &Plant, before: &Unit, after: &Unit, change: &[Step], tried: usize) -> OrderChange {
    let code = |option: &NameId| plant.options[option.at()].code.clone();
    let word = |(option, away): &(NameId, bool)| format!("{}{}", if *away { "-" } else { "" }, code(option));
    let mut told = OrderChange {
        found: true,
        order: Vec::new(),
        leave_out: Vec::new(),
        take_away: Vec::new(),
        options: after.ordered.iter().map(word).join(" "),
        tried,
    };
    for step in change {
        match step {
            Step::Order(option) => told.order.push(code(option)),
            Step::Take(option) => told.take_away.push(code(option)),
            Step::Leave(option) => told.leave_out.extend(before.ordered.iter().filter(|(o, _)| o == option).map(word)),
        }
    }
    told
}
