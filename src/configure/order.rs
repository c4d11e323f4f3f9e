//! One unit's order while it is worked out, step by step.
//!
//! Rules `chosen`, `standards`, `order-checks`.

use super::choices::Choices;
use super::has::Has;
use super::rules::Waiting;
use super::{Origin, Trace};
use crate::base::{Finding, FloorplanId, GroupId, Kind, NameId};
use crate::book::Table;
use crate::check::{Choose, Unit, kinds};
use crate::expression::NameSet;
use itertools::Itertools;

/// An order.
pub struct Order<'a, T> {
    choices: &'a Choices<'a>,
    unit: &'a Unit,
    floorplan: FloorplanId,
    /// Ordered, with packages, and added by rules.
    chosen: Has,
    /// All it has: the chosen and the standards.
    has: Has,
    /// For each group the standard that is there because nothing else of the group was.
    filled_by: Vec<Option<NameId>>,
    removed: Vec<NameId>,
    taken_away: NameSet,
    /// Indices of the rules that added something.
    rules: Vec<usize>,
    /// Is told where each option comes from.
    trace: &'a mut T,
}

impl<'a, T: Trace> Order<'a, T> {
    /// A unit's, of a floorplan.
    pub fn new(choices: &'a Choices<'a>, unit: &'a Unit, floorplan: FloorplanId, trace: &'a mut T) -> Self {
        let plant = choices.plant;
        let mut chosen = Has::nothing(plant);
        let plan = &plant.floorplans[floorplan.at()];
        let names = [Some(plan.as_name), plan.series, Some(plant.lines[unit.line.at()].as_name)];
        names.into_iter().flatten().for_each(|name| _ = chosen.names.insert(name));
        let has = chosen.clone();
        let (filled_by, taken_away) = (vec![None; plant.groups.len()], NameSet::new(plant.names));
        let (removed, rules) = (Vec::new(), Vec::new());
        Self { choices, unit, floorplan, chosen, has, filled_by, removed, taken_away, rules, trace }
    }

    /// The rules that added something, by index.
    pub fn fired(&self) -> &[usize] {
        &self.rules
    }

    /// All it has.
    pub fn into_names(self) -> NameSet {
        self.has.names
    }

    fn finding(&self, kind: &'static Kind, value: &str, message: String) -> Finding {
        let place = self.choices.plant.place(Table::Sequence, self.unit.row, "options");
        Finding::new(kind, place, value, format!("unit {} {message}", self.unit.code))
    }

    /// Step 1: what was ordered, each offered, with its packages; what was taken away, each standard.
    pub fn take_ordered(&mut self, wrong: &mut Vec<Finding>) {
        let plant = self.choices.plant;
        let plan = &plant.floorplans[self.floorplan.at()];
        for &(option, taken_away) in &self.unit.ordered {
            let code = &plant.options[option.at()].code;
            if taken_away && !self.choices.is_standard(self.floorplan, option) {
                let message = format!("has {code} taken away, which is not standard on {}", plan.code);
                wrong.push(self.finding(&kinds::NOT_STANDARD, code, message));
            } else if taken_away {
                self.removed.push(option);
                self.taken_away.insert(option);
            } else {
                if !plan.offers[option.at()] {
                    let message = format!("has {code} ordered, which {} does not offer", plan.code);
                    wrong.push(self.finding(&kinds::NOT_OFFERED, code, message));
                }
                self.chosen.unfold(plant, option, Origin::Ordered, self.trace);
            }
        }
    }

    /// Step 2: the standards, from the chosen alone.
    fn add_standards(&mut self) {
        let plant = self.choices.plant;
        self.has.clone_from(&self.chosen);
        self.filled_by.fill(None);
        self.trace.standards(true);
        for &option in &plant.floorplans[self.floorplan.at()].standards {
            let group = self.choices.single_group(option);
            let taken = group.is_some_and(|group| self.has.of_group(group) > 0);
            if !taken && !self.taken_away.contains(option) {
                self.has.unfold(plant, option, Origin::Standard, self.trace);
                if let Some(group) = group {
                    self.filled_by[group.at()] = Some(option);
                }
            }
        }
        self.trace.standards(false);
    }

    /// Step 3: rules one at a time, the standards afresh after each.
    pub fn apply_rules(&mut self) {
        let choices = self.choices;
        self.add_standards();
        let mut waiting = Waiting::of(choices, &self.has.names);
        while let Some(at) = waiting.first() {
            self.rules.push(at);
            let mut added = Vec::new();
            for &option in &choices.plant.rules[at].adds {
                added.extend(self.chosen.unfold(choices.plant, option, Origin::Rule(at), self.trace));
            }
            let changed = self.standards_after(&added);
            changed.into_iter().for_each(|name| waiting.look_again(choices, &self.has.names, name));
        }
    }

    /// The standards afresh, when these options have joined the chosen; gives what joined and left. What is chosen of a group
    /// takes the place of the group's standard and changes nothing else, unless packages come with that standard.
    fn standards_after(&mut self, added: &[NameId]) -> Vec<NameId> {
        let plant = self.choices.plant;
        let groups = added.iter().filter_map(|option| self.choices.single_group(*option));
        let replaced: Vec<NameId> = groups.filter_map(|group| self.filled_by[group.at()].take()).collect();
        if replaced.iter().any(|option| !plant.options[option.at()].includes.is_empty()) {
            let before = self.has.names.clone();
            self.add_standards();
            return before.differing(&self.has.names).collect();
        }
        let mut changed = Vec::new();
        for &option in &replaced {
            self.has.remove(plant, option);
            changed.push(option);
        }
        for &option in added {
            // What packages include is among the added.
            changed.extend(self.has.unfold(plant, option, Origin::Ordered, &mut ()));
        }
        changed
    }

    fn holds(&self, condition: u32) -> bool {
        self.choices.plant.conditions[condition as usize].holds(&self.has.names)
    }

    /// Step 4.
    pub fn check(&self, wrong: &mut Vec<Finding>) {
        let plant = self.choices.plant;
        self.check_groups(wrong);
        for &option in self.removed.iter().filter(|option| self.has.names.contains(**option)) {
            let code = &plant.options[option.at()].code;
            wrong.push(self.finding(
                &kinds::CAME_BACK,
                code,
                format!("has {code} taken away, but it came back with something else ordered"),
            ));
        }
        for rule in &plant.rules {
            if rule.must.is_some_and(|must| self.holds(rule.when) && !self.holds(must)) {
                let place = plant.place(Table::Rules, rule.row, "must");
                wrong.push(self.finding(
                    &kinds::MUST_BROKEN,
                    "",
                    format!("breaks a rule: {} ({place})", told(&rule.message)),
                ));
            }
        }
        for &at in self.rules.iter().unique().filter(|at| !self.holds(plant.rules[**at].when)) {
            let rule = &plant.rules[at];
            let place = plant.place(Table::Rules, rule.row, "when");
            let message =
                format!("has options added by a rule that no longer applies: {} ({place})", told(&rule.message));
            wrong.push(self.finding(&kinds::RULE_UNDONE, "", message));
        }
    }

    fn check_groups(&self, wrong: &mut Vec<Finding>) {
        let plant = self.choices.plant;
        for (i, group) in plant.groups.iter().enumerate().filter(|(_, group)| group.choose != Choose::Any) {
            let id = GroupId::of(i);
            let number = self.has.of_group(id);
            if number > 1 {
                let there = self.choices.members[i].iter().filter(|option| self.has.names.contains(**option));
                let has: Vec<&str> = there.map(|option| plant.options[option.at()].code.as_str()).collect();
                let message =
                    format!("has {} of the group {}, of which it may have one", has.join(" and "), group.code);
                wrong.push(self.finding(&kinds::TWO_CHOSEN, &has.join(" "), message));
            }
            if number == 0 && group.choose == Choose::One && self.choices.offers_any(self.floorplan, id) {
                let message = format!("has no option of the group {}, of which it needs one", group.code);
                wrong.push(self.finding(&kinds::NONE_CHOSEN, "", message));
            }
        }
    }
}

fn told(message: &str) -> &str {
    if message.is_empty() { "no message" } else { message }
}
