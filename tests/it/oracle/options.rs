//! Which options a unit has: what was ordered, what is standard, what rules add, and the checks.
//!
//! Rules `chosen`, `standards`, `added-by-rules`, `order-checks`.

use std::collections::BTreeSet;

use super::plant::{Catalogue, Plant, RuleRow};
use super::sequence::Unit;
use super::sheets::{Key, codes};
use super::whens::holds;

type Options = BTreeSet<Key>;

/// What is wrong with an order, or all options the unit has.
pub fn options_of(plant: &Plant, unit: &Unit) -> Result<Options, Vec<String>> {
    let Some(floorplan) = plant.floorplans.get(&unit.floorplan()) else {
        return Err(vec![format!("{}: no floorplan {}", unit.code, unit.floorplan_text)]);
    };
    let mut names = Options::from([unit.floorplan(), unit.line.clone()]);
    names.extend(Some(floorplan.series.clone()).filter(|series| !series.is_empty()));
    let chooser = Chooser { book: &plant.catalogue, floorplan: unit.floorplan(), names };
    let told = |problems: Vec<String>| -> Vec<String> {
        problems.into_iter().map(|problem| format!("{}: {problem}", unit.code)).collect()
    };
    chooser.choose(&unit.order).map_err(told)
}

/// One who makes up the options of a unit.
pub struct Chooser<'a> {
    pub book: &'a Catalogue,
    pub floorplan: Key,
    /// The unit's floorplan, series and line, which are true beside its options.
    names: BTreeSet<Key>,
}

impl Chooser<'_> {
    fn choose(&self, order: &str) -> Result<Options, Vec<String>> {
        let words = codes(order);
        let taken: Options = words.iter().filter_map(|word| word.strip_prefix('-')).map(str::to_string).collect();
        let ordered: Vec<&Key> = words.iter().filter(|word| !word.starts_with('-')).collect();
        let problems = self.problems_of_order(&ordered, &taken);
        if !problems.is_empty() {
            return Err(problems);
        }
        let mut chosen = Options::new();
        ordered.iter().for_each(|option| self.unfold(option, &mut chosen));

        let mut fired: Vec<&RuleRow> = Vec::new();
        let mut all = self.with_standards(&chosen, &taken);
        while let Some(rule) = self.first_that_adds(&all) {
            rule.adds.iter().for_each(|option| self.unfold(option, &mut chosen));
            fired.push(rule);
            all = self.with_standards(&chosen, &taken);
        }
        let problems = self.problems_of_result(&all, &taken, &fired);
        if problems.is_empty() { Ok(all) } else { Err(problems) }
    }

    fn problems_of_order(&self, ordered: &[&Key], taken: &Options) -> Vec<String> {
        let mut problems = Vec::new();
        for option in ordered {
            if !self.book.options.contains_key(*option) {
                problems.push(format!("no option {option}"));
            } else if self.offer(option) == "not offered" {
                problems.push(format!("{option} is not offered on {}", self.floorplan));
            }
        }
        let wrongly = taken.iter().filter(|option| self.offer(option) != "standard");
        problems.extend(wrongly.map(|option| format!("{option} is not standard, so -{option} is wrong")));
        problems
    }

    /// Puts an option and all that its packages include to the others, offered or not.
    fn unfold(&self, option: &Key, options: &mut Options) {
        options.insert(option.clone());
        for included in self.book.packages.get(option).into_iter().flatten() {
            if !options.contains(included) {
                self.unfold(included, options);
            }
        }
    }

    /// The chosen and the floorplan's standard options, those with packages first.
    fn with_standards(&self, chosen: &Options, taken: &Options) -> Options {
        let standards = self.standards();
        let is_package = |option: &&Key| self.book.packages.contains_key(*option);
        let packages = standards.iter().filter(is_package);
        let others = standards.iter().filter(|option| !is_package(option));
        let mut all = chosen.clone();
        for option in packages.chain(others).filter(|option| !taken.contains(*option)) {
            let group = self.single_choice_group(option);
            if group.is_none_or(|group| self.count(group, &all) == 0) {
                self.unfold(option, &mut all);
            }
        }
        all
    }

    /// How many options of a group are among these.
    fn count(&self, group: &str, options: &Options) -> usize {
        options.iter().filter(|option| self.book.options[*option].group == group).count()
    }

    fn is_true(&self, expression: &str, options: &Options) -> bool {
        let truths: BTreeSet<Key> = self.names.union(options).cloned().collect();
        holds(expression, &truths)
    }

    fn first_that_adds(&self, all: &Options) -> Option<&RuleRow> {
        let mut rules = self.book.rules.iter();
        rules.find(|rule| {
            let adds_something = rule.adds.iter().any(|option| !all.contains(option));
            adds_something && self.is_true(&rule.when, all)
        })
    }

    fn problems_of_result(&self, all: &Options, taken: &Options, fired: &[&RuleRow]) -> Vec<String> {
        let mut problems = Vec::new();
        for (group, choose) in &self.book.groups {
            let count = self.count(group, all);
            if choose != "any" && count > 1 {
                problems.push(format!("{count} options of group {group}"));
            }
            if choose == "one" && count == 0 && self.offers_any_of(group) {
                problems.push(format!("no option of group {group}"));
            }
        }
        problems.extend(taken.intersection(all).map(|option| format!("{option} came back")));
        for rule in &self.book.rules {
            if !rule.must.is_empty() && self.is_true(&rule.when, all) && !self.is_true(&rule.must, all) {
                problems.push(format!("{} (must {})", rule.message, rule.must));
            }
        }
        for rule in fired.iter().filter(|rule| !self.is_true(&rule.when, all)) {
            problems.push(format!("{} (no longer {})", rule.message, rule.when));
        }
        problems
    }
}
