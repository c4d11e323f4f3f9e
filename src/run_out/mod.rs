//! A change that is still to come, begun with each unit ahead instead: what is left of the parts that go out, what of them is short, and
//! whether the parts that come in are there. Only these parts are covered anew; the sequence, the shops' jobs and the runs don't depend on
//! them.
//!
//! Rule `run-out`.

mod asked;
mod parts;

pub use parts::Parts;

use crate::base::{ChangeId, OwnerId, PartId, Quantity, Total, UnitId};
use crate::plan::Plan;
use crate::supply::Covered;
use asked::OfPart;
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::HashMap;

/// A change is begun with so many units at most, the first ahead for which it makes a difference.
pub const MOST_BEGINS: usize = 400;
/// So many demands are covered for all changes together at most, about.
const MOST_COVERED: usize = 10_000_000;

/// With which unit a change begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Begin {
    /// As the book says.
    AsItIs,
    /// With this unit, and on other lines with what enters no earlier.
    With(UnitId),
    /// With none of the sequence.
    Never,
}

/// What it comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// With which unit the change begins.
    pub begin: Begin,
    /// For each part that goes out what is left of stock and all receipts when the sequence has taken what it needs; below 0 what is short.
    pub left: Vec<Quantity>,
    /// What is left of them at cost, as far as prices are known.
    pub cost: Total,
    /// The first piece of a part that comes in that is not there when it is needed, whose it is and how it stands.
    pub waits: Option<(PartId, OwnerId, Covered)>,
}

impl Row {
    /// Whether anything of a part that goes out is short.
    pub fn short(&self) -> bool {
        self.left.iter().any(|left| *left < Quantity::ZERO)
    }

    /// Whether neither an old nor a new part is missing.
    pub fn good(&self) -> bool {
        !self.short() && self.waits.is_none()
    }
}

/// A change that is not reached by all yet.
#[derive(Clone, Debug)]
pub struct RunOut {
    /// A change that some unit on the plan has not reached.
    pub change: ChangeId,
    /// Its parts.
    pub parts: Parts,
    /// As it is; begun with each unit ahead for which it makes a difference, by rank; never.
    pub rows: Vec<Row>,
    /// How many units more there are with which it could begin.
    pub more: usize,
    /// Whether quantities are too large to be told; there are no rows then.
    pub too_large: bool,
}

impl RunOut {
    /// The rows of units, with their places.
    fn of_units(&self) -> impl Iterator<Item = (usize, &Row)> {
        self.rows.iter().enumerate().filter(|(_, row)| matches!(row.begin, Begin::With(_)))
    }

    /// The first unit with which an old part is short.
    pub fn first_short(&self) -> Option<usize> {
        self.of_units().find(|(_, row)| row.short()).map(|(at, _)| at)
    }

    /// The first unit with which all new parts are there; `None` where the change brings none.
    pub fn first_there(&self) -> Option<usize> {
        let brings = !self.parts.new.is_empty();
        self.of_units().filter(|_| brings).find(|(_, row)| row.waits.is_none()).map(|(at, _)| at)
    }

    /// The unit with which least is left at cost where no old part is short and all new ones are there; of equals the first.
    pub fn best(&self) -> Option<usize> {
        self.of_units().filter(|(_, row)| row.good()).min_by_key(|(at, row)| (row.cost, *at)).map(|(at, _)| at)
    }
}

/// All changes that are not reached by all yet, in the order of the book.
pub fn run_outs(plan: &Plan<'_>) -> Vec<RunOut> {
    let ahead: Vec<ChangeId> =
        (0..plan.plant.changes.len()).map(ChangeId::of).filter(|change| is_ahead(plan, *change)).collect();
    let share = MOST_COVERED / ahead.len().max(1);
    ahead.into_par_iter().map(|change| run_out(plan, change, share)).collect()
}

/// The units on the plan, by rank.
fn planned<'p>(plan: &'p Plan<'_>) -> impl Iterator<Item = UnitId> + 'p {
    plan.pace.owners.iter().filter(|owner| owner.planned).filter_map(|owner| owner.unit)
}

/// Whether there are units that have not reached a change.
fn is_ahead(plan: &Plan<'_>, change: ChangeId) -> bool {
    planned(plan).any(|unit| !plan.pace.reached(plan.plant, unit, change))
}

fn run_out(plan: &Plan<'_>, change: ChangeId, share: usize) -> RunOut {
    let parts = parts::of(plan.plant, change);
    let mut found = RunOut { change, parts, rows: Vec::new(), more: 0, too_large: false };
    let all: Vec<PartId> = found.parts.old.iter().chain(&found.parts.new).copied().sorted().dedup().collect();
    let Ok(asked) = asked::asked(plan, change, &all) else {
        found.too_large = true;
        return found;
    };
    let line = plan.plant.changes[change.at()].from_unit.map(|unit| plan.plant.units[unit.at()].line);
    let differs = |owner: usize| all.iter().filter_map(|part| asked.get(part)).any(|of| of.differs[owner]);
    let on_line = |unit: &UnitId| line.is_none_or(|line| plan.plant.units[unit.at()].line == line);
    let owners = plan.pace.owners.iter().enumerate().filter(|(at, owner)| owner.planned && differs(*at));
    let mut begins: Vec<UnitId> = owners.filter_map(|(_, owner)| owner.unit).filter(on_line).collect();
    let demands: usize = all.iter().filter_map(|part| asked.get(part)).map(|of| of.owners.len()).sum();
    let most = MOST_BEGINS.min(share / demands.max(1)).max(1);
    found.more = begins.len().saturating_sub(most);
    begins.truncate(most);
    let begins = [Begin::AsItIs].into_iter().chain(begins.into_iter().map(Begin::With)).chain([Begin::Never]);
    let begins: Vec<Begin> = begins.collect();
    found.rows = begins.into_par_iter().map(|begin| row(plan, &found.parts, &asked, change, begin)).collect();
    found
}

/// For each owner whether it has reached the change.
fn reached(plan: &Plan<'_>, change: ChangeId, begin: Begin) -> Vec<bool> {
    let plant = plan.plant;
    let enters = |unit: UnitId| plan.pace.enters(plant, unit);
    let inside = |unit: UnitId| match begin {
        Begin::AsItIs => plan.pace.reached(plant, unit, change),
        Begin::Never => false,
        Begin::With(first) if plant.units[unit.at()].line == plant.units[first.at()].line => {
            plant.units[unit.at()].seq >= plant.units[first.at()].seq
        }
        Begin::With(first) => enters(unit) >= enters(first),
    };
    let owners = plan.pace.owners.iter();
    owners.map(|owner| owner.planned && owner.unit.is_some_and(inside)).collect()
}

fn row(plan: &Plan<'_>, parts: &Parts, asked: &HashMap<PartId, OfPart>, change: ChangeId, begin: Begin) -> Row {
    let reached = reached(plan, change, begin);
    let supply = |part: &PartId| Some(plan.supply_for(*part, asked.get(part)?.demands(*part, &reached)));
    let mut row = Row { begin, left: Vec::new(), cost: Total::ZERO, waits: None };
    for part in &parts.old {
        let Some(supply) = supply(part) else { continue };
        let open: Quantity = plan.deliveries.of_part(*part).iter().map(|delivery| delivery.open).sum();
        let left = supply.begins + open - supply.asked();
        row.left.push(left);
        if let Some(cost) = plan.plant.part(*part).cost.filter(|_| left.is_positive()) {
            row.cost += Total::at(cost, left);
        }
    }
    let mut first = None;
    for part in &parts.new {
        let Some(supply) = supply(part) else { continue };
        let pegged = supply.pegged();
        let waits = pegged
            .pieces()
            .filter(|(demand, peg)| reached[demand.owner.at()] && peg.covered(demand.need) != Covered::InTime);
        let found =
            waits.map(|(demand, peg)| ((demand.need, *part), (*part, demand.owner, peg.covered(demand.need)))).next();
        first = first.into_iter().chain(found).min_by_key(|(at, _)| *at);
    }
    row.waits = first.map(|(_, waits)| waits);
    row
}
