//! Says of an order, before anything is planned, that it is surely free of errors.

use std::collections::BTreeSet;

use super::choices::{Choices, FloorplanSketch, GROUPS, RuleSketch, single_choice};
use super::places::Places;

type Names = BTreeSet<String>;

/// What surely holds for an order, and all that may hold.
struct Outlook<'a> {
    choices: &'a Choices,
    floorplan: &'a FloorplanSketch,
    /// What surely holds before any rule adds something.
    at_first: Names,
    sure: Names,
    possible: Names,
}

impl Choices {
    /// How an option is offered, a floorplan's own standard making others optional.
    pub fn offer(&self, floorplan: &FloorplanSketch, option: &str) -> String {
        let row = |owner: &str| {
            let found = self.offers.iter().find(|row| row.0 == owner && row.1 == option);
            found.map(|row| row.2.clone())
        };
        let group = self.group(option);
        let own_standard = |row: &&(String, String, String)| {
            row.0 == floorplan.code && row.2 == "standard" && self.group(&row.1) == group
        };
        let gives_way = single_choice(&group) && self.offers.iter().any(|row| own_standard(&row));
        match (row(&floorplan.code), row("*")) {
            _ if self.offers.is_empty() => "optional".to_string(),
            (Some(own), _) => own,
            (None, Some(general)) if general == "standard" && gives_way => "optional".to_string(),
            (None, general) => general.unwrap_or("not offered".to_string()),
        }
    }

    pub fn group(&self, option: &str) -> String {
        let found = self.options.iter().find(|known| known.code == option);
        found.expect("an option").group.clone()
    }

    /// Whether an order is surely right on every line of its floorplan.
    pub fn is_safe(&self, places: &Places, floorplan: &FloorplanSketch, ordered: &[String], taken: &[String]) -> bool {
        floorplan.lines.iter().all(|line| {
            let names = [&floorplan.code, &floorplan.series, &places.lines[*line].code];
            let names: Names = names.into_iter().cloned().collect();
            Outlook { choices: self, floorplan, at_first: Names::new(), sure: names.clone(), possible: names }
                .comes_out_right(ordered, taken)
        })
    }

    fn unfolded(&self, option: &str) -> Vec<String> {
        let included = self.packages.iter().filter(|row| row.0 == option);
        let below = included.flat_map(|row| self.unfolded(&row.1));
        std::iter::once(option.to_string()).chain(below).collect()
    }

    /// Whether an option may give way without anything else changing with it.
    fn is_plain(&self, option: &str) -> bool {
        let in_rule = self.rules.iter().any(|rule| {
            let names = rule.when.iter().chain(&rule.must).flat_map(|condition| condition.names());
            names.chain(rule.adds.iter().cloned()).any(|name| name == option)
        });
        !in_rule && !self.packages.iter().any(|row| row.0 == option || row.1 == option)
    }
}

impl Outlook<'_> {
    fn comes_out_right(mut self, ordered: &[String], taken: &[String]) -> bool {
        let offer = |option: &String| self.choices.offer(self.floorplan, option);
        if ordered.iter().any(|option| offer(option) == "not offered")
            || taken.iter().any(|option| offer(option) != "standard")
        {
            return false;
        }
        ordered.iter().for_each(|option| self.surely(option));
        let ordered_groups: Vec<String> = self.sure_options().iter().map(|option| self.choices.group(option)).collect();
        let mut yielding = Vec::new();
        for option in &self.choices.options {
            let (code, group) = (&option.code, &option.group);
            let is_standard = offer_is_standard(&self, code) && !taken.contains(code);
            if !is_standard || (single_choice(group) && ordered_groups.contains(group)) {
                continue;
            }
            if single_choice(group) && self.choices.is_plain(code) {
                yielding.push(code.clone());
            } else {
                self.surely(code);
            }
        }
        self.possible.extend(yielding.iter().cloned());
        self.at_first = self.sure.clone();
        self.follow_rules();
        self.groups_are_right(&yielding)
            && self.rules_are_kept()
            && !taken.iter().any(|code| self.possible.contains(code))
    }

    fn surely(&mut self, option: &str) {
        self.sure.extend(self.choices.unfolded(option));
        self.possible.extend(self.choices.unfolded(option));
    }

    fn sure_options(&self) -> Vec<String> {
        let options = self.choices.options.iter().map(|option| option.code.clone());
        options.filter(|code| self.sure.contains(code)).collect()
    }

    /// Lets rules add first all that they may add, then what they surely add.
    fn follow_rules(&mut self) {
        for _ in 0..=self.choices.rules.len() {
            for rule in &self.choices.rules {
                if self.value(&rule.when) != Some(false) {
                    let added = rule.adds.iter().flat_map(|option| self.choices.unfolded(option));
                    self.possible.extend(added.collect::<Vec<String>>());
                }
            }
        }
        for _ in 0..=self.choices.rules.len() {
            for rule in &self.choices.rules {
                if self.value(&rule.when) == Some(true) {
                    rule.adds.iter().for_each(|option| self.surely(option));
                }
            }
        }
    }

    fn value(&self, condition: &Option<super::conditions::Condition>) -> Option<bool> {
        condition.as_ref().map_or(Some(true), |condition| condition.value(&self.sure, &self.possible))
    }

    fn rules_are_kept(&self) -> bool {
        self.choices.rules.iter().all(|rule| {
            let when = self.value(&rule.when);
            let kept = rule.must.is_none() || self.value(&rule.must) == Some(true);
            let adds_well = rule.adds.is_empty() || when == Some(true) || self.is_idle(rule);
            adds_well && (kept || when == Some(false))
        })
    }

    /// Whether a rule's `when` holds at no time, whatever other rules add.
    fn is_idle(&self, rule: &RuleSketch) -> bool {
        let when = rule.when.as_ref();
        when.is_some_and(|when| when.value(&self.at_first, &self.possible) == Some(false))
    }

    fn groups_are_right(&self, yielding: &[String]) -> bool {
        GROUPS.iter().filter(|(group, _)| single_choice(group)).all(|(group, choose)| {
            let own = self.choices.options.iter().filter(|option| option.group == *group);
            let codes: Vec<&String> = own.map(|option| &option.code).collect();
            let offered = codes.iter().any(|code| self.choices.offer(self.floorplan, code) != "not offered");
            let possible: Vec<&&String> = codes.iter().filter(|code| self.possible.contains(**code)).collect();
            let firm = possible.iter().filter(|code| !yielding.contains(code)).count();
            let sure = possible.iter().any(|code| self.sure.contains(**code) || yielding.contains(code));
            firm <= 1 && (*choose != "one" || !offered || sure)
        })
    }
}

fn offer_is_standard(outlook: &Outlook, option: &str) -> bool {
    outlook.choices.offer(outlook.floorplan, option) == "standard"
}
