//! What a random book offers: offers, packages and rules, drawn anew until orders are possible.

use super::choices::{Choices, FloorplanSketch, GROUPS, RuleSketch, single_choice};
use super::conditions::Condition;
use super::dice::Dice;
use super::places::Places;

/// Offers with at most one standard of a single-choice group among the `*` rows, and per floorplan.
pub fn offers(dice: &mut Dice, choices: &Choices) -> Vec<(String, String, String)> {
    let mut offers = Vec::new();
    let mut owners = vec![("*".to_string(), 75)];
    owners.extend(choices.floorplans.iter().map(|floorplan| (floorplan.code.clone(), 25)));
    for (owner, percent) in owners {
        let mut with_standard: Vec<String> = Vec::new();
        for option in &choices.options {
            if !dice.chance(percent) {
                continue;
            }
            let taken = single_choice(&option.group) && with_standard.contains(&option.group);
            let offer = match dice.between(1, 10) {
                1..=3 if !taken => "standard",
                4 => "not offered",
                _ => "optional",
            };
            if offer == "standard" {
                with_standard.push(option.group.clone());
            }
            offers.push((owner.clone(), option.code.clone(), offer.to_string()));
        }
    }
    dice.shuffle(&mut offers);
    offers
}

/// Packages without circles: an option includes only options further down the list.
pub fn packages(dice: &mut Dice, choices: &Choices) -> Vec<(String, String)> {
    let mut packages = Vec::new();
    let last = choices.options.len() - 1;
    for _ in 0..dice.between(0, 3) {
        let place = dice.between(0, last as i64 - 1) as usize;
        let below: Vec<String> = choices.options[place + 1..].iter().map(|option| option.code.clone()).collect();
        for included in {
            let count = dice.between(1, 3) as usize;
            dice.some_of(&below, count)
        } {
            let row = (choices.options[place].code.clone(), included);
            if !packages.contains(&row) {
                packages.push(row);
            }
        }
    }
    packages
}

pub fn rules(dice: &mut Dice, choices: &Choices, places: &Places) -> Vec<RuleSketch> {
    let names = choices.names(places);
    let codes: Vec<String> = choices.options.iter().map(|option| option.code.clone()).collect();
    let count = dice.between(0, 5);
    let mut rules = Vec::new();
    for _ in 0..count {
        let when = Condition::random(dice, &names, 2);
        let when = if dice.chance(90) { Some(when) } else { None };
        let adds_count = dice.between(1, 2) as usize;
        let adds = dice.some_of(&codes, adds_count);
        let must = Condition::random(dice, &names, 2);
        let exclusion = Condition::Name(dice.pick(&codes)).not();
        rules.push(match dice.between(1, 5) {
            1 | 2 => RuleSketch { when, adds, must: None },
            3 => RuleSketch { when, adds: vec![], must: Some(exclusion) },
            4 => RuleSketch { when, adds: vec![], must: Some(must) },
            _ => RuleSketch { when, must: Some(Condition::Name(adds[0].clone())), adds },
        });
    }
    rules
}

impl Choices {
    /// Finds for each floorplan options with which it may be ordered; false where there are none.
    pub fn find_bases(&mut self, dice: &mut Dice, places: &Places) -> bool {
        for place in 0..self.floorplans.len() {
            let mut found = false;
            for _ in 0..8 {
                let base = self.likely_base(dice, &self.floorplans[place]);
                if self.is_safe(places, &self.floorplans[place], &base, &[]) {
                    self.floorplans[place].base = base;
                    found = true;
                    break;
                }
            }
            if !found {
                return false;
            }
        }
        true
    }

    fn likely_base(&self, dice: &mut Dice, floorplan: &FloorplanSketch) -> Vec<String> {
        let mut base = Vec::new();
        for (group, _) in GROUPS.iter().filter(|(_, choose)| *choose == "one") {
            let options = self.options.iter().filter(|option| option.group == *group);
            let codes: Vec<String> = options.map(|option| option.code.clone()).collect();
            let has_standard = codes.iter().any(|code| self.offer(floorplan, code) == "standard");
            let offered = |code: &&String| self.offer(floorplan, code) != "not offered";
            let offered: Vec<String> = codes.iter().filter(offered).cloned().collect();
            if !has_standard {
                base.extend(dice.pick_or_none(&offered));
            }
        }
        base
    }
}
