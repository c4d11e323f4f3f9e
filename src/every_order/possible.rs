//! Which bill lines, offers, rules and musts some build has.

use super::bill::Bill;
use super::limit::Limit;
use super::model::Model;
use super::solver::Lit;
use super::states::State;
use super::witness::Shown;
use crate::base::{NameId, numbered};
use crate::check::Plant;
use crate::configure::Placing;
use crate::expression::NameSet;

/// What is known of something.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seen {
    /// It is not about this floorplan.
    #[default]
    Elsewhere,
    /// No build has it.
    Never,
    /// The work that is allowed for it did not do.
    Unknown(Limit),
    /// A build has it.
    Some,
}

/// What the builds of one floorplan on one line have.
#[derive(Debug, Default)]
pub struct Possible {
    /// For each guard of its bill.
    pub guards: Vec<Seen>,
    /// For each option.
    pub options: Vec<Seen>,
    /// For each rule its condition.
    pub rules: Vec<Seen>,
    /// For each rule what it asks for.
    pub musts: Vec<Seen>,
}

impl Possible {
    /// The same of everything.
    pub fn all(plant: &Plant, bill: &Bill, seen: Seen) -> Self {
        let (guards, options) = (vec![seen; bill.guards.len()], vec![seen; plant.options.len()]);
        Self { guards, options, rules: vec![seen; plant.rules.len()], musts: vec![seen; plant.rules.len()] }
    }
}

/// Something to be shown, and where it stands among its kind.
enum Goal {
    Guard(usize),
    Option(usize),
    Rule(usize),
    Must(usize),
}

/// Looks for builds that have each, one build showing many.
pub fn look(model: &mut Model<'_>, placing: &Placing<'_>, bill: &Bill, states: &[State]) -> Possible {
    let plant = model.frame.plant;
    let mut found = Possible::all(plant, bill, Seen::Elsewhere);
    let ever: Vec<bool> =
        bill.guards.iter().map(|guard| states.iter().any(|state| guard.in_state(|c| state.reached[c.at()]))).collect();
    let offered = (0..plant.options.len()).filter(|option| model.frame.offers(NameId::of(*option)));
    let goals = (0..bill.guards.len()).map(Goal::Guard).chain(offered.map(Goal::Option));
    let rules = (0..plant.rules.len()).map(Goal::Rule);
    let musts = (0..plant.rules.len()).filter(|rule| plant.rules[*rule].must.is_some()).map(Goal::Must);
    for goal in goals.chain(rules).chain(musts) {
        if *slot(&mut found, &goal) != Seen::Elsewhere {
            continue;
        }
        let lit = lit(model, bill, &ever, &goal);
        *slot(&mut found, &goal) = match model.show(placing, &[lit]) {
            Shown::By(witness) => {
                note(&mut found, model, bill, &ever, &witness.names);
                Seen::Some
            }
            Shown::Never => Seen::Never,
            Shown::Unknown(limit) => Seen::Unknown(limit),
        };
    }
    found
}

fn slot<'f>(found: &'f mut Possible, goal: &Goal) -> &'f mut Seen {
    match goal {
        Goal::Guard(i) => &mut found.guards[*i],
        Goal::Option(i) => &mut found.options[*i],
        Goal::Rule(i) => &mut found.rules[*i],
        Goal::Must(i) => &mut found.musts[*i],
    }
}

fn lit(model: &mut Model<'_>, bill: &Bill, ever: &[bool], goal: &Goal) -> Lit {
    let rules = &model.frame.plant.rules;
    match goal {
        Goal::Guard(i) if ever[*i] => model.guard(&bill.guards[*i]),
        Goal::Guard(_) => model.solver.no(),
        Goal::Option(i) => model.has[*i],
        Goal::Rule(i) => model.condition(rules[*i].when),
        Goal::Must(i) => model.condition(rules[*i].must.unwrap_or_default()),
    }
}

/// All that one build has.
fn note(found: &mut Possible, model: &Model<'_>, bill: &Bill, ever: &[bool], names: &NameSet) {
    let plant = model.frame.plant;
    let truths: Vec<bool> = plant.conditions.iter().map(|condition| condition.holds(names)).collect();
    for (i, guard) in bill.guards.iter().enumerate() {
        if ever[i] && guard.whens.iter().all(|when| truths[*when as usize]) {
            found.guards[i] = Seen::Some;
        }
    }
    for (i, seen) in found.options.iter_mut().enumerate() {
        if names.contains(NameId(numbered(i))) {
            *seen = Seen::Some;
        }
    }
    for (i, rule) in plant.rules.iter().enumerate() {
        if truths[rule.when as usize] {
            found.rules[i] = Seen::Some;
        }
        if rule.must.is_some_and(|must| truths[must as usize]) {
            found.musts[i] = Seen::Some;
        }
    }
}
