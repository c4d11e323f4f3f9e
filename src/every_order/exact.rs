//! Whether clauses say exactly which builds there are; where rules undo each other, all orders of their options are placed.

use super::frame::Frame;
use crate::base::NameId;
use crate::configure::Placing;
use crate::expression::{NameSet, Node};
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

/// So many orders of the options of one set are placed one by one.
pub const MOST_ORDERS: u64 = 60_000;

/// What can be built of a set of options that belong together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum OfSet {
    /// What packages, groups and rules say, whatever was ordered.
    AsWritten,
    /// These only: each order was placed.
    These(Vec<NameSet>),
    /// There are too many orders to place, and rules among them that undo each other.
    TooMany,
}

/// What can be built of each set.
pub fn sets(frame: &Frame<'_>, placing: &Placing<'_>) -> BTreeMap<usize, OfSet> {
    let members = frame.options().map(|option| (frame.part_of[option.at()], option)).into_group_map();
    let members: BTreeMap<usize, Vec<NameId>> = members.into_iter().sorted().collect();
    let of = |(set, options): (usize, Vec<NameId>)| {
        let found =
            if as_written(frame, set, &options) { OfSet::AsWritten } else { placed(frame, placing, set, &options) };
        (set, found)
    };
    members.into_iter().map(of).collect()
}

/// Names as they stand in a condition: those that help it to be true, and those that hinder it.
fn poles(frame: &Frame<'_>, condition: u32) -> (BTreeSet<NameId>, BTreeSet<NameId>) {
    type Poles = (BTreeSet<NameId>, BTreeSet<NameId>);
    let join = |a: Poles, b: Poles| (&a.0 | &b.0, &a.1 | &b.1);
    let whole = frame.plant.conditions[condition as usize].fold(|piece: Node<Poles>| match piece {
        Node::Name(name) => (BTreeSet::from([name]), BTreeSet::new()),
        Node::Not((for_it, against)) => (against, for_it),
        Node::And(a, b) | Node::Or(a, b) => join(a, b),
    });
    whole.unwrap_or_default()
}

/// What can't be ordered comes only with packages and rules. Where none of it brings itself about, and no rule that looks
/// whether such is missing stands before one that may bring it, the order that names all of a build leads to that build.
fn as_written(frame: &Frame<'_>, set: usize, options: &[NameId]) -> bool {
    let brought: BTreeSet<NameId> = options.iter().copied().filter(|option| !frame.offers(*option)).collect();
    if brought.is_empty() {
        return true;
    }
    let rules = || frame.plant.rules.iter().enumerate();
    let adding = rules().filter(|(_, rule)| rule.adds.first().is_some_and(|added| frame.part_of[added.at()] == set));
    let adding = adding.map(|(i, rule)| (i, rule, poles(frame, rule.when))).collect_vec();
    // For each option that is brought: what brings it, and the last rule that may have a part in it.
    let mut needs: BTreeMap<NameId, BTreeSet<NameId>> = BTreeMap::new();
    let mut last_rule: BTreeMap<NameId, usize> = BTreeMap::new();
    for package in options.iter().filter(|option| brought.contains(option)) {
        for inner in frame.plant.options[package.at()].includes.iter().filter(|inner| brought.contains(inner)) {
            needs.entry(*inner).or_default().insert(*package);
        }
    }
    for (i, rule, (for_it, against)) in &adding {
        for added in rule.adds.iter().filter(|added| brought.contains(added)) {
            needs.entry(*added).or_default().extend((for_it | against).intersection(&brought));
            let last = last_rule.entry(*added).or_default();
            *last = (*last).max(i + 1);
        }
    }
    let Some(below) = closed(&brought, &needs) else { return false };
    let last = |name: &NameId| below[name].iter().chain([name]).filter_map(|below| last_rule.get(below)).max().copied();
    adding.iter().all(|(i, _, (_, against))| against.intersection(&brought).all(|name| last(name).unwrap_or(0) <= *i))
}

/// Of each the whole of what it needs; `None` where one needs itself.
fn closed(
    all: &BTreeSet<NameId>,
    needs: &BTreeMap<NameId, BTreeSet<NameId>>,
) -> Option<BTreeMap<NameId, BTreeSet<NameId>>> {
    let mut below: BTreeMap<NameId, BTreeSet<NameId>> = BTreeMap::new();
    for name in all {
        let mut open = needs.get(name).into_iter().flatten().copied().collect_vec();
        let mut found = BTreeSet::new();
        while let Some(next) = open.pop() {
            if found.insert(next) {
                open.extend(needs.get(&next).into_iter().flatten());
            }
        }
        if found.contains(name) {
            return None;
        }
        below.insert(*name, found);
    }
    Some(below)
}

/// What all orders of some options lead to.
fn placed(frame: &Frame<'_>, placing: &Placing<'_>, set: usize, options: &[NameId]) -> OfSet {
    let ways =
        options.iter().map(|option| 1 + u64::from(frame.offers(*option)) + u64::from(frame.standard[option.at()]));
    let ways = ways.collect_vec();
    let orders = ways.iter().try_fold(1_u64, |all, ways| all.checked_mul(*ways).filter(|all| *all <= MOST_ORDERS));
    let Some(orders) = orders else { return OfSet::TooMany };
    let mut found: Vec<NameSet> = Vec::new();
    for number in 0..orders {
        let (mut rest, mut order) = (number, Vec::new());
        for (option, ways) in options.iter().zip(&ways) {
            let way = rest % ways;
            rest /= ways;
            if way > 0 {
                // What is offered is ordered first, then taken away where it is standard.
                order.push((*option, way == 2 || !frame.offers(*option)));
            }
        }
        let placed = placing.place(frame.floorplan, frame.line, order.clone());
        let rule = |at: &usize| &frame.plant.rules[*at];
        let own = placed.fired.iter().filter(|at| rule(at).adds.first().is_some_and(|a| frame.part_of[a.at()] == set));
        let undone = own.clone().any(|at| !frame.plant.conditions[rule(at).when as usize].holds(&placed.names));
        let back = order.iter().any(|(option, away)| *away && placed.names.contains(*option));
        if !undone && !back {
            let mut own = NameSet::new(frame.plant.names);
            options.iter().filter(|option| placed.names.contains(**option)).for_each(|option| _ = own.insert(*option));
            found.push(own);
        }
    }
    found.sort_by_cached_key(|names| names.iter().collect_vec());
    found.dedup();
    OfSet::These(found)
}
