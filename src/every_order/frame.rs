//! What orders of one floorplan on one line can be about: which options it can have at all, and which of them belong together.

use crate::base::{FloorplanId, LineId, NameId};
use crate::check::{Choose, Plant};
use crate::expression::NameSet;

/// A floorplan on a line.
#[derive(Clone, Debug)]
pub struct Frame<'a> {
    /// What the book offers, includes and forbids.
    pub plant: &'a Plant,
    /// Of which orders are placed.
    pub floorplan: FloorplanId,
    /// On which they are built, since conditions may name it.
    pub line: LineId,
    /// The floorplan, its series and the line: what is true whatever is ordered.
    pub given: NameSet,
    /// For each option whether an order can lead to it: offered, or brought by a package or a rule.
    pub reachable: Vec<bool>,
    /// For each option whether it is standard.
    pub standard: Vec<bool>,
    /// For each option the set of options it belongs to: what becomes of an order within one depends on nothing else.
    pub part_of: Vec<usize>,
}

impl<'a> Frame<'a> {
    /// That of a floorplan on a line.
    pub fn of(plant: &'a Plant, floorplan: FloorplanId, line: LineId) -> Self {
        let plan = &plant.floorplans[floorplan.at()];
        let mut given = NameSet::new(plant.names);
        let names = [Some(plan.as_name), plan.series, Some(plant.lines[line.at()].as_name)];
        names.into_iter().flatten().for_each(|name| _ = given.insert(name));
        let mut standard = vec![false; plant.options.len()];
        plan.standards.iter().for_each(|option| standard[option.at()] = true);
        let reachable = reachable(plant, &plan.offers);
        Self { plant, floorplan, line, given, reachable, standard, part_of: together(plant) }
    }

    /// Whether an option is offered.
    pub fn offers(&self, option: NameId) -> bool {
        self.plant.floorplans[self.floorplan.at()].offers[option.at()]
    }

    /// The options it can have.
    pub fn options(&self) -> impl Iterator<Item = NameId> + '_ {
        (0..self.reachable.len()).filter(|option| self.reachable[*option]).map(NameId::of)
    }

    /// The order that names all a build has that is offered, and takes all else away.
    pub fn whole_order(&self, has: &NameSet) -> Vec<(NameId, bool)> {
        let mention = |option: NameId| {
            let there = has.contains(option);
            let named = if there { self.offers(option) } else { self.standard[option.at()] };
            named.then_some((option, !there))
        };
        self.options().filter_map(mention).collect()
    }
}

fn reachable(plant: &Plant, offers: &[bool]) -> Vec<bool> {
    let mut reachable = offers.to_vec();
    reachable.resize(plant.options.len(), false);
    let mut open: Vec<NameId> = (0..reachable.len()).filter(|option| reachable[*option]).map(NameId::of).collect();
    open.extend(plant.rules.iter().flat_map(|rule| &rule.adds));
    let mut seen = vec![false; reachable.len()];
    while let Some(option) = open.pop() {
        reachable[option.at()] = true;
        if !std::mem::replace(&mut seen[option.at()], true) {
            open.extend(&plant.options[option.at()].includes);
        }
    }
    reachable
}

/// Joins the options of packages, of groups of which a unit has one, and of rules that add something.
fn together(plant: &Plant) -> Vec<usize> {
    let mut sets = Sets((0..plant.options.len()).collect());
    for (i, option) in plant.options.iter().enumerate() {
        option.includes.iter().for_each(|inner| sets.join(i, inner.at()));
    }
    let mut first = vec![None; plant.groups.len()];
    for (i, option) in plant.options.iter().enumerate() {
        if let Some(group) = option.group.filter(|group| plant.groups[group.at()].choose != Choose::Any) {
            sets.join(*first[group.at()].get_or_insert(i), i);
        }
    }
    for rule in &plant.rules {
        let Some(added) = rule.adds.first() else { continue };
        let named = plant.conditions[rule.when as usize].names().filter(|name| name.at() < plant.options.len());
        named.chain(rule.adds.iter().copied()).for_each(|option| sets.join(added.at(), option.at()));
    }
    (0..plant.options.len()).map(|option| sets.root(option)).collect()
}

/// Sets that are joined, each told by one of its members.
struct Sets(Vec<usize>);

impl Sets {
    fn root(&mut self, mut at: usize) -> usize {
        while self.0[at] != at {
            self.0[at] = self.0[self.0[at]];
            at = self.0[at];
        }
        at
    }

    fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.root(a), self.root(b));
        self.0[a.max(b)] = a.min(b);
    }
}
