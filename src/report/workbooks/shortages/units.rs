//! The sheet `units`: which units are clear to build and which are not and since when, on hand and as promised.

use super::facts::Facts;
use super::text::{mark, more};
use crate::plan::{Lacks, UnitPlan, UnitState};
use crate::report::listing::{listing, widths};
use crate::report::names::unit_status;
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;

/// How many units are clear on hand, how many as promised, and the first that is not clear on hand.
#[derive(Default)]
pub struct Clear {
    /// On hand.
    pub on_hand: usize,
    /// As promised.
    pub promised: usize,
    /// The first, by rank, that is not clear on hand.
    pub first_not_on_hand: Option<String>,
}

/// How both sheets are read.
const HOW_TO_READ: &str = "On hand: only stock counts, no receipt that has yet to come; what a shop builds late is late both ways. As promised: \
every receipt comes when the plan takes it to, which for overdue ones nobody has promised. 'Since' is the need of the first piece that is not there.";

pub fn sheet<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("units", &widths::<Units>());
    sheet.text(Look::Title, "Units clear to build, on hand and as promised");
    sheet.paragraph(Look::Plain, HOW_TO_READ);
    sheet.gap();
    let lacks = lacks(facts);
    let order = [UnitState::SetAside].into_iter().chain([UnitState::Clear]).chain([UnitState::Hold]);
    let of_kind = |kind: UnitState| facts.plan.units.iter().filter(move |unit| kind_of(unit.state) == kind);
    let units: Vec<&UnitPlan> = order.flat_map(of_kind).collect();
    let first = sheet.next_row() + 1;
    let lines: Vec<_> = units.iter().map(|unit| line(facts, unit, lacks[unit.unit.at()])).collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "The sequence has no units.");
        return sheet;
    }
    sheet.table(Some("units".to_owned()), lines);
    for (i, unit) in units.iter().enumerate().filter(|(_, unit)| unit.state != UnitState::Clear) {
        mark(&mut sheet, first + i as u32, 0, Look::Strong);
        mark(&mut sheet, first + i as u32, if unit.times.is_some() { 9 } else { 5 }, Look::Wrong);
    }
    sheet
}

/// So many units stand on the printed sheet.
const PRINTED: usize = 28;

/// The sheet of units that are not clear as promised, to print.
pub fn not_clear<'p>(facts: &Facts<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("not clear", &widths::<Units>());
    sheet.text(Look::Title, "Units that are not clear to build, and since when");
    let clear = clear(facts);
    let all = facts.plan.units.iter().filter(|unit| kind_of(unit.state) == UnitState::Clear).count();
    sheet.text(
        Look::Strong,
        format!("Of {all} units on the plan {} are clear on hand, {} as promised.", clear.on_hand, clear.promised),
    );
    sheet.paragraph(Look::Plain, HOW_TO_READ);
    sheet.gap();
    let lacks = lacks(facts);
    let order = [UnitState::SetAside].into_iter().chain([UnitState::Clear]).chain([UnitState::Hold]);
    let of_kind = |kind: UnitState| facts.plan.units.iter().filter(move |unit| kind_of(unit.state) == kind);
    let units: Vec<&UnitPlan> = order.flat_map(of_kind).filter(|unit| unit.state != UnitState::Clear).collect();
    let shown = units.len().min(PRINTED);
    if units.is_empty() {
        sheet.text(Look::Plain, "As promised all units are clear.");
        return sheet;
    }
    let lines = units[..shown].iter().map(|unit| line(facts, unit, lacks[unit.unit.at()])).collect();
    sheet.table(Some("not_clear".to_owned()), lines);
    more(&mut sheet, shown, units.len(), "'units'");
    sheet
}

/// The three parts of the list: set aside, on the line, held.
fn kind_of(state: UnitState) -> UnitState {
    match state {
        UnitState::SetAside | UnitState::Hold => state,
        _ => UnitState::Clear,
    }
}

/// Counts the units that are clear.
pub fn clear(facts: &Facts<'_>) -> Clear {
    let lacks = lacks(facts);
    let mut clear = Clear::default();
    for unit in facts.plan.units.iter().filter(|unit| kind_of(unit.state) == UnitState::Clear) {
        clear.promised += usize::from(unit.state == UnitState::Clear);
        match lacks[unit.unit.at()].0.first {
            None => clear.on_hand += 1,
            Some(_) if clear.first_not_on_hand.is_none() => {
                clear.first_not_on_hand = Some(facts.plan.plant.units[unit.unit.at()].code.clone());
            }
            Some(_) => {}
        }
    }
    clear
}

/// What each unit lacks on hand, and as promised.
fn lacks(facts: &Facts<'_>) -> Vec<(Lacks, Lacks)> {
    let plan = facts.plan;
    let mut lacks = vec![(Lacks::default(), Lacks::default()); plan.plant.units.len()];
    for (owner, lack) in plan.pace.owners.iter().zip(&plan.lacks).filter(|(owner, _)| owner.planned) {
        if let Some(unit) = owner.unit {
            lacks[unit.at()] = *lack;
        }
    }
    lacks
}

listing! {
    /// A unit, and how it stands.
    Units: fn line<'p>(facts: &Facts<'p>, planned: &'p UnitPlan, (on_hand, promised): (Lacks, Lacks)) {
        let plant = facts.plan.plant;
        let unit = &plant.units[planned.unit.at()];
        let floorplan = unit.floorplan.as_ref().map_or_else(String::as_str, |id| plant.floorplans[id.at()].code.as_str());
        let supplied = kind_of(planned.state) == UnitState::Clear;
        let word = match (supplied, on_hand.first) {
            (false, _) => unit_status(planned.state),
            (true, None) => "clear",
            (true, Some(_)) => "not clear",
        };
        let part = |lacks: Lacks| Value::from(lacks.first.map(|(_, part)| plant.part(part).code.as_str()));
        let clear_at = if let UnitState::Late(_, at) = planned.state { Some(at) } else { None };
        let parts = |lacks: Lacks| Value::from(Some(lacks.parts).filter(|parts| *parts > 0));
    }
    look: Look::Plain;
    "unit", 10, Text => unit.code.as_str();
    "line", 6, Text => plant.lines[unit.line.at()].code.as_str();
    "floorplan", 14, Text => floorplan;
    "enters", 17, Moment => planned.times.map(|times| times.0);
    "leaves", 17, Moment => planned.times.map(|times| times.1);
    "on hand", 9, Text => word;
    "first part not on hand", 14, Wrapped => part(on_hand);
    "not on hand since", 17, Moment => on_hand.first.map(|(need, _)| need);
    "parts not on hand", 7, Whole => parts(on_hand);
    "as promised", 9, Text => unit_status(planned.state);
    "first part late or short", 14, Wrapped => part(promised);
    "waits since", 17, Moment => promised.first.map(|(need, _)| need);
    "parts late or short", 7, Whole => parts(promised);
    "clear at", 17, Moment => clear_at;
}
