//! Which options each unit has: what was ordered, packages, standards and rules, and what is wrong with an order.

use crate::base::{Finding, Findings, FloorplanId, GroupId, NameId, UnitId, nearest};
use crate::book::Table;
use crate::check::{Choose, Plant, Unit, kinds};
use crate::expression::NameSet;
use itertools::Itertools;

/// Each unit's names that are true: its options, its floorplan, series and line. `None` for units that are done, held, or
/// whose order is wrong.
pub type Configured = Vec<Option<NameSet>>;

/// Works out the options of all units; the findings are those of single units.
pub fn configure(plant: &Plant) -> (Configured, Findings) {
    let mut findings = Findings::default();
    let configured = plant.units.iter().map(|unit| {
        if unit.done {
            return None;
        }
        match order_of(plant, unit, &mut ()) {
            Ok(names) => Some(names).filter(|_| unit.hold.is_none()),
            Err(wrong) => {
                findings.extend(wrong.into_iter().map(|finding| of_unit(plant, unit, finding)));
                None
            }
        }
    });
    (configured.collect(), findings)
}

/// A finding as one of the unit; of a unit on hold it is only a warning.
fn of_unit(plant: &Plant, unit: &Unit, finding: Finding) -> Finding {
    if unit.hold.is_none() {
        return finding.of_unit(&unit.code);
    }
    let message = format!("unit {} is on hold, and its order is wrong: {}", unit.code, finding.message);
    let place = plant.place(Table::Sequence, unit.row, "options");
    Finding { kind: &kinds::HELD_ORDER, place, message, ..finding }
}

/// What a unit would have, held or not; `None` where its order is wrong.
pub fn order(plant: &Plant, unit: &Unit) -> Option<NameSet> {
    order_of(plant, unit, &mut ()).ok()
}

/// What a unit would have, held or not, and where each option comes from; `None` where its order is wrong.
pub fn traced(plant: &Plant, unit: &Unit) -> Option<(NameSet, Origins)> {
    let mut origins = Origins::default();
    let names = order_of(plant, unit, &mut origins).ok()?;
    let ordered = unit.ordered.iter().filter(|(_, taken_away)| !taken_away);
    ordered.for_each(|(option, _)| origins.chosen.push((*option, Origin::Ordered)));
    Some((names, origins))
}

fn order_of(plant: &Plant, unit: &Unit, trace: &mut impl Trace) -> Result<NameSet, Vec<Finding>> {
    let options_cell = || plant.place(Table::Sequence, unit.row, "options");
    let mut wrong = Vec::new();
    for option in &unit.unknown_options {
        let near = nearest(option, plant.options.iter().map(|option| option.code.as_str()));
        let message = format!("unit {} has an option ordered that does not exist", unit.code);
        wrong.push(Finding::new(&kinds::UNKNOWN_OPTION, options_cell(), option, message).near(near));
    }
    let floorplan = match &unit.floorplan {
        Ok(floorplan) => *floorplan,
        Err(text) => {
            let near = nearest(text, plant.floorplans.iter().map(|floorplan| floorplan.code.as_str()));
            let place = plant.place(Table::Sequence, unit.row, "floorplan");
            let message = format!("unit {} is of a floorplan that does not exist", unit.code);
            wrong.push(Finding::new(&kinds::UNKNOWN_FLOORPLAN, place, text, message).near(near));
            return Err(wrong);
        }
    };
    let mut order = Order::new(plant, unit, floorplan, trace);
    order.take_ordered(&mut wrong);
    order.apply_rules();
    order.check(&mut wrong);
    if wrong.is_empty() { Ok(order.has) } else { Err(wrong) }
}

/// Where an option of a unit comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// It was ordered.
    Ordered,
    /// It is in another option that the unit has.
    Package(NameId),
    /// It is standard on the floorplan.
    Standard,
    /// A rule added it, by its index.
    Rule(usize),
}

/// Is told where options come from while an order is worked out. The plan asks for nothing: `()` notes nothing.
trait Trace {
    /// An option joins.
    fn note(&mut self, option: NameId, origin: Origin);
    /// Standards are taken afresh (`true`), or are all there.
    fn standards(&mut self, begin: bool);
}

impl Trace for () {
    fn note(&mut self, _: NameId, _: Origin) {}
    fn standards(&mut self, _: bool) {}
}

/// Where the options of one unit come from.
#[derive(Debug, Default)]
pub struct Origins {
    chosen: Vec<(NameId, Origin)>,
    standard: Vec<(NameId, Origin)>,
    of_standards: bool,
}

impl Trace for Origins {
    fn note(&mut self, option: NameId, origin: Origin) {
        let list = if self.of_standards { &mut self.standard } else { &mut self.chosen };
        list.push((option, origin));
    }

    fn standards(&mut self, begin: bool) {
        self.of_standards = begin;
        if begin {
            self.standard.clear();
        }
    }
}

impl Origins {
    /// Where an option comes from; what was ordered counts before all else.
    pub fn of(&self, option: NameId) -> Option<Origin> {
        let chosen = self.chosen.iter().rev().find(|(known, _)| *known == option);
        chosen.or_else(|| self.standard.iter().find(|(known, _)| *known == option)).map(|(_, origin)| *origin)
    }
}

/// One unit's order while it is worked out.
struct Order<'a, T> {
    plant: &'a Plant,
    unit: &'a Unit,
    floorplan: FloorplanId,
    /// Ordered, with packages, and added by rules.
    chosen: NameSet,
    /// All it has: the chosen and the standards.
    has: NameSet,
    removed: Vec<NameId>,
    /// Indices of the rules that added something.
    rules: Vec<usize>,
    /// Is told where each option comes from.
    trace: &'a mut T,
}

impl<'a, T: Trace> Order<'a, T> {
    fn new(plant: &'a Plant, unit: &'a Unit, floorplan: FloorplanId, trace: &'a mut T) -> Self {
        let mut chosen = NameSet::new(plant.names);
        let plan = &plant.floorplans[floorplan.at()];
        let names = [Some(plan.as_name), plan.series, Some(plant.lines[unit.line.at()].as_name)];
        names.into_iter().flatten().for_each(|name| {
            chosen.insert(name);
        });
        let has = chosen.clone();
        Self { plant, unit, floorplan, chosen, has, removed: Vec::new(), rules: Vec::new(), trace }
    }

    fn finding(&self, kind: &'static crate::base::Kind, value: &str, message: String) -> Finding {
        let place = self.plant.place(Table::Sequence, self.unit.row, "options");
        Finding::new(kind, place, value, format!("unit {} {message}", self.unit.code))
    }

    /// Step 1: what was ordered, each offered, with its packages; what was taken away, each standard.
    fn take_ordered(&mut self, wrong: &mut Vec<Finding>) {
        let plan = &self.plant.floorplans[self.floorplan.at()];
        for &(option, taken_away) in &self.unit.ordered {
            let code = &self.plant.options[option.at()].code;
            if taken_away && !plan.standards.contains(&option) {
                let message = format!("has {code} taken away, which is not standard on {}", plan.code);
                wrong.push(self.finding(&kinds::NOT_STANDARD, code, message));
            } else if taken_away {
                self.removed.push(option);
            } else {
                if !plan.offers[option.at()] {
                    let message = format!("has {code} ordered, which {} does not offer", plan.code);
                    wrong.push(self.finding(&kinds::NOT_OFFERED, code, message));
                }
                unfold(self.plant, &mut self.chosen, option, Origin::Ordered, self.trace);
            }
        }
    }

    /// Step 2: the standards, from the chosen alone.
    fn add_standards(&mut self) {
        self.has = self.chosen.clone();
        self.trace.standards(true);
        for &option in &self.plant.floorplans[self.floorplan.at()].standards {
            let group = self.plant.options[option.at()].group.filter(|group| self.single(*group));
            let taken = group.is_some_and(|group| self.of_group(group).next().is_some());
            if !taken && !self.removed.contains(&option) {
                unfold(self.plant, &mut self.has, option, Origin::Standard, self.trace);
            }
        }
        self.trace.standards(false);
    }

    /// Step 3: rules one at a time, the standards afresh after each.
    fn apply_rules(&mut self) {
        self.add_standards();
        while let Some(at) = self.next_rule() {
            self.rules.push(at);
            for &option in &self.plant.rules[at].adds {
                unfold(self.plant, &mut self.chosen, option, Origin::Rule(at), self.trace);
            }
            self.add_standards();
        }
    }

    fn next_rule(&self) -> Option<usize> {
        self.plant
            .rules
            .iter()
            .position(|rule| rule.adds.iter().any(|option| !self.has.contains(*option)) && self.holds(rule.when))
    }

    fn holds(&self, condition: u32) -> bool {
        self.plant.conditions[condition as usize].holds(&self.has)
    }

    fn single(&self, group: GroupId) -> bool {
        self.plant.groups[group.at()].choose != Choose::Any
    }

    /// The options of a group that the unit has.
    fn of_group(&self, group: GroupId) -> impl Iterator<Item = &'a str> {
        let members = self.plant.options.iter().enumerate().filter(move |(_, option)| option.group == Some(group));
        members.filter(|(i, _)| self.has.contains(NameId::of(*i))).map(|(_, option)| option.code.as_str())
    }

    /// Step 4.
    fn check(&self, wrong: &mut Vec<Finding>) {
        self.check_groups(wrong);
        for &option in self.removed.iter().filter(|option| self.has.contains(**option)) {
            let code = &self.plant.options[option.at()].code;
            wrong.push(self.finding(
                &kinds::CAME_BACK,
                code,
                format!("has {code} taken away, but it came back with something else ordered"),
            ));
        }
        for rule in &self.plant.rules {
            if rule.must.is_some_and(|must| self.holds(rule.when) && !self.holds(must)) {
                let place = self.plant.place(Table::Rules, rule.row, "must");
                wrong.push(self.finding(
                    &kinds::MUST_BROKEN,
                    "",
                    format!("breaks a rule: {} ({place})", told(&rule.message)),
                ));
            }
        }
        for &at in self.rules.iter().unique().filter(|at| !self.holds(self.plant.rules[**at].when)) {
            let rule = &self.plant.rules[at];
            let place = self.plant.place(Table::Rules, rule.row, "when");
            let message =
                format!("has options added by a rule that no longer applies: {} ({place})", told(&rule.message));
            wrong.push(self.finding(&kinds::RULE_UNDONE, "", message));
        }
    }

    fn check_groups(&self, wrong: &mut Vec<Finding>) {
        let offers = &self.plant.floorplans[self.floorplan.at()].offers;
        for (i, group) in self.plant.groups.iter().enumerate().filter(|(_, group)| group.choose != Choose::Any) {
            let id = GroupId::of(i);
            let has: Vec<&str> = self.of_group(id).collect();
            if has.len() > 1 {
                let message =
                    format!("has {} of the group {}, of which it may have one", has.join(" and "), group.code);
                wrong.push(self.finding(&kinds::TWO_CHOSEN, &has.join(" "), message));
            }
            let offered =
                self.plant.options.iter().zip(offers).any(|(option, offered)| option.group == Some(id) && *offered);
            if has.is_empty() && offered && group.choose == Choose::One {
                let message = format!("has no option of the group {}, of which it needs one", group.code);
                wrong.push(self.finding(&kinds::NONE_CHOSEN, "", message));
            }
        }
    }
}

fn told(message: &str) -> &str {
    if message.is_empty() { "no message" } else { message }
}

/// Adds an option and what its packages include, and so on down.
fn unfold(plant: &Plant, set: &mut NameSet, option: NameId, origin: Origin, trace: &mut impl Trace) {
    let mut open = vec![(option, origin)];
    while let Some((option, origin)) = open.pop() {
        if set.insert(option) {
            trace.note(option, origin);
            open.extend(plant.options[option.at()].includes.iter().map(|inner| (*inner, Origin::Package(option))));
        }
    }
}

/// A unit's options in code order.
pub fn options_of(plant: &Plant, names: &NameSet) -> Vec<NameId> {
    let has = (0..plant.options.len()).map(NameId::of).filter(|option| names.contains(*option));
    has.sorted_by_cached_key(|option| plant.options[option.at()].code.to_lowercase()).collect()
}

/// Whether a unit is set aside: planned, but without a valid order.
pub fn set_aside(plant: &Plant, configured: &Configured, unit: UnitId) -> bool {
    let row = &plant.units[unit.at()];
    !row.done && row.hold.is_none() && configured[unit.at()].is_none()
}
