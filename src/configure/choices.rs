//! What a plant's options, groups and rules are looked up in, made once for all orders.

use super::Trace;
use super::order::Order;
use crate::base::{Finding, FloorplanId, GroupId, NameId, nearest};
use crate::book::Table;
use crate::check::{Choose, Plant, Unit, kinds};
use crate::expression::NameSet;
use std::cell::{Cell, OnceCell};

/// How many codes that were probably meant are looked for: where more are wrong, it is not a slip of the pen.
const MOST_SUGGESTED: u32 = 500;

/// A plant's choices.
pub struct Choices<'a> {
    /// Whose they are.
    pub plant: &'a Plant,
    /// The options of each group, in their order.
    pub members: Vec<Vec<NameId>>,
    /// The rules that speak of each name, in their condition or in what they add.
    pub rules_about: Vec<Vec<u32>>,
    /// What each floorplan offers, where it has been asked for.
    floorplans: Vec<OnceCell<Offered>>,
    suggested: Cell<u32>,
}

/// What a floorplan offers.
#[derive(Clone)]
struct Offered {
    /// Its standards.
    standards: NameSet,
    /// Whether it offers any option of a group.
    groups: Vec<bool>,
}

impl<'a> Choices<'a> {
    /// A plant's.
    pub fn of(plant: &'a Plant) -> Self {
        let mut members = vec![Vec::new(); plant.groups.len()];
        for (i, option) in plant.options.iter().enumerate() {
            if let Some(group) = option.group {
                members[group.at()].push(NameId::of(i));
            }
        }
        let mut rules_about: Vec<Vec<u32>> = vec![Vec::new(); plant.names];
        for (rule, at) in plant.rules.iter().zip(0..) {
            let names = plant.conditions[rule.when as usize].names().chain(rule.adds.iter().copied());
            for name in names {
                let rules = &mut rules_about[name.at()];
                if rules.last() != Some(&at) {
                    rules.push(at);
                }
            }
        }
        let floorplans = vec![OnceCell::new(); plant.floorplans.len()];
        Self { plant, members, rules_about, floorplans, suggested: Cell::new(0) }
    }

    /// Whether an option is standard on a floorplan.
    pub fn is_standard(&self, floorplan: FloorplanId, option: NameId) -> bool {
        self.offered(floorplan).standards.contains(option)
    }

    /// Whether a floorplan offers any option of a group.
    pub fn offers_any(&self, floorplan: FloorplanId, group: GroupId) -> bool {
        self.offered(floorplan).groups[group.at()]
    }

    fn offered(&self, floorplan: FloorplanId) -> &Offered {
        self.floorplans[floorplan.at()].get_or_init(|| Offered::on(self.plant, floorplan))
    }

    /// The group of an option of which a unit has one at most.
    pub fn single_group(&self, option: NameId) -> Option<GroupId> {
        self.plant.options[option.at()].group.filter(|group| self.plant.groups[group.at()].choose != Choose::Any)
    }

    /// What a unit has, or what is wrong with its order.
    pub fn order_of(&self, unit: &Unit, trace: &mut impl Trace) -> Result<NameSet, Vec<Finding>> {
        let plant = self.plant;
        let mut wrong = Vec::new();
        for option in &unit.unknown_options {
            let near = self.near(option, plant.options.iter().map(|option| option.code.as_str()));
            let message = format!("unit {} has an option ordered that does not exist", unit.code);
            let place = plant.place(Table::Sequence, unit.row, "options");
            wrong.push(Finding::new(&kinds::UNKNOWN_OPTION, place, option, message).near(near));
        }
        let floorplan = match &unit.floorplan {
            Ok(floorplan) => *floorplan,
            Err(text) => {
                let near = self.near(text, plant.floorplans.iter().map(|floorplan| floorplan.code.as_str()));
                let place = plant.place(Table::Sequence, unit.row, "floorplan");
                let message = format!("unit {} is of a floorplan that does not exist", unit.code);
                wrong.push(Finding::new(&kinds::UNKNOWN_FLOORPLAN, place, text, message).near(near));
                return Err(wrong);
            }
        };
        let mut order = Order::new(self, unit, floorplan, trace);
        order.take_ordered(&mut wrong);
        order.apply_rules();
        order.check(&mut wrong);
        if wrong.is_empty() { Ok(order.into_names()) } else { Err(wrong) }
    }

    /// The code that was probably meant, as long as it is worth looking for.
    fn near<'t>(&self, text: &str, codes: impl Iterator<Item = &'t str>) -> Option<&'t str> {
        self.suggested.set(self.suggested.get().saturating_add(1));
        if self.suggested.get() > MOST_SUGGESTED { None } else { nearest(text, codes) }
    }
}

impl Offered {
    fn on(plant: &Plant, floorplan: FloorplanId) -> Self {
        let plan = &plant.floorplans[floorplan.at()];
        let mut offered = Self { standards: NameSet::new(plant.names), groups: vec![false; plant.groups.len()] };
        for option in &plan.standards {
            offered.standards.insert(*option);
        }
        for (option, offers) in plant.options.iter().zip(&plan.offers) {
            if let Some(group) = option.group.filter(|_| *offers) {
                offered.groups[group.at()] = true;
            }
        }
        offered
    }
}
