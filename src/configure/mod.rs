//! Which options each unit has: what was ordered, packages, standards and rules, and what is wrong with an order.
//!
//! Rules `chosen`, `standards`, `added-by-rules`, `order-checks`.

mod choices;
mod has;
mod order;
mod placing;
mod rules;

pub use placing::{Placed, Placing};

use crate::base::{Finding, Findings, NameId, UnitId};
use crate::book::Table;
use crate::check::{Plant, Unit, kinds};
use crate::expression::NameSet;
use choices::Choices;
use itertools::Itertools;

/// Each unit's names that are true: its options, its floorplan, series and line. `None` for units that are done, held, or
/// whose order is wrong.
pub type Configured = Vec<Option<NameSet>>;

/// Works out the options of all units; the findings are those of single units.
pub fn configure(plant: &Plant) -> (Configured, Findings) {
    let mut findings = Findings::default();
    let choices = Choices::of(plant);
    let configured = plant.units.iter().map(|unit| {
        if unit.done {
            return None;
        }
        match choices.order_of(unit, &mut ()) {
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

/// What some units have or would have, held and done ones too; `None` for all others, and where the order is wrong.
pub fn orders(plant: &Plant, units: &[UnitId]) -> Configured {
    let choices = Choices::of(plant);
    let mut configured = vec![None; plant.units.len()];
    for unit in units {
        configured[unit.at()] = choices.order_of(&plant.units[unit.at()], &mut ()).ok();
    }
    configured
}

/// What a unit would have, held or not; `None` where its order is wrong.
pub fn order(plant: &Plant, unit: &Unit) -> Option<NameSet> {
    Choices::of(plant).order_of(unit, &mut ()).ok()
}

/// What units would have, held, done or not: what is known of the plant for that is looked up once.
pub struct Orders<'p>(Choices<'p>);

impl<'p> Orders<'p> {
    /// Of a plant.
    pub fn of(plant: &'p Plant) -> Self {
        Self(Choices::of(plant))
    }

    /// What a unit would have; `None` where its order is wrong.
    pub fn has(&self, unit: &Unit) -> Option<NameSet> {
        self.0.order_of(unit, &mut ()).ok()
    }
}

/// What a unit would have, held or not, and where each option comes from; `None` where its order is wrong.
pub fn traced(plant: &Plant, unit: &Unit) -> Option<(NameSet, Origins)> {
    let mut origins = Origins::default();
    let names = Choices::of(plant).order_of(unit, &mut origins).ok()?;
    let ordered = unit.ordered.iter().filter(|(_, taken_away)| !taken_away);
    ordered.for_each(|(option, _)| origins.chosen.push((*option, Origin::Ordered)));
    Some((names, origins))
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
pub trait Trace {
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
