//! What is built for the first time: the parts that a new floorplan or a change brings, which no earlier unit in the book takes, and what is
//! missing for them.
//!
//! Rule `first-builds`.

mod takers;

use crate::base::{ChangeId, Date, FloorplanId, Moment, OwnerId, PartId, Quantity, UnitId};
use crate::check::follow::once;
use crate::check::{Part, Plant, Source};
use crate::configure;
use crate::plan::{Plan, UnitState};
use crate::supply::Covered;
use itertools::Itertools;
use std::collections::BTreeSet;
use takers::Takers;

/// What is new.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum New {
    /// A floorplan.
    Floorplan(FloorplanId),
    /// A change.
    Change(ChangeId),
}

/// Something of which no unit is done or on its line.
#[derive(Clone, Debug)]
pub struct FirstBuild {
    /// What it is.
    pub new: New,
    /// Its first unit, and when that enters.
    pub first: UnitId,
    /// When it enters its line.
    pub enters: Moment,
    /// The parts that no earlier unit takes, the first to act on first.
    pub parts: Vec<FirstPart>,
    /// Kinds that `Content` counts on other floorplans, and on a new one not.
    pub not_counted: Vec<u32>,
}

/// A part that no earlier unit takes.
#[derive(Clone, Debug)]
pub struct FirstPart {
    /// Bought, made or a by-product; no phantom.
    pub part: PartId,
    /// Who needs it first by when, as far as it has not left the stores.
    pub needed: Option<(Moment, OwnerId)>,
    /// What is on hand and not on hold, whomever it is for.
    pub stock: Quantity,
    /// What is open.
    pub receipts: Quantity,
    /// When the first of it is there.
    pub comes: Option<Moment>,
    /// How the first need is covered.
    pub covered: Option<Covered>,
    /// The last day to order it so that it comes in time, where it is bought and its lead days are known.
    pub order_by: Option<Date>,
    /// What is missing, in words; nothing where that is nothing.
    pub missing: Vec<String>,
}

/// All of them: floorplans in the order of the book, then changes. `None` where quantities are too large to be followed.
pub fn first_builds(plan: &Plan<'_>) -> Option<Vec<FirstBuild>> {
    let plant = plan.plant;
    let ahead: Vec<UnitId> =
        plan.pace.owners.iter().filter(|owner| owner.planned).filter_map(|owner| owner.unit).collect();
    let done: Vec<UnitId> = (0..plant.units.len()).map(UnitId::of).filter(|unit| plant.units[unit.at()].done).collect();
    let begun = |unit: &UnitId| plant.units[unit.at()].done || plant.units[unit.at()].at.is_some();
    let floorplans = (0..plant.floorplans.len()).map(|at| New::Floorplan(FloorplanId::of(at)));
    let changes = (0..plant.changes.len()).map(|at| New::Change(ChangeId::of(at)));
    let is_of = |new: New, unit: &UnitId| match new {
        New::Floorplan(floorplan) => plant.units[unit.at()].floorplan == Ok(floorplan),
        New::Change(change) => plan.pace.reached(plant, *unit, change),
    };
    let first = |new: New| {
        let any_begun = done.iter().chain(&ahead).filter(|unit| begun(unit)).any(|unit| is_of(new, unit));
        if any_begun { None } else { ahead.iter().find(|unit| is_of(new, unit)).map(|first| (new, *first)) }
    };
    let news: Vec<(New, UnitId)> = floorplans.chain(changes).filter_map(first).collect();
    if news.is_empty() {
        return Some(Vec::new());
    }
    let all: Vec<UnitId> = done.iter().chain(&ahead).copied().collect();
    let mut configured = configure::orders(plant, &all);
    let aside = plan.units.iter().filter(|unit| unit.state == UnitState::SetAside);
    aside.for_each(|unit| configured[unit.unit.at()] = None);
    let takers = Takers::of(plan, &configured).ok()?;
    let parts = (0..plant.parts.len()).map(PartId::of).filter(|part| plant.part(*part).source != Source::Phantom);
    let firsts = parts.filter_map(|part| Some((part, *all.iter().find(|unit| takers.takes(**unit, part))?)));
    let firsts: Vec<(PartId, UnitId)> = firsts.collect();
    let build = |(new, first): (New, UnitId)| {
        let brought = match new {
            New::Floorplan(_) => None,
            New::Change(change) => Some(brought(plant, change)),
        };
        let of_change = |part: PartId| brought.as_ref().is_none_or(|brought| brought.contains(&part));
        let own = firsts.iter().filter(|(part, unit)| is_of(new, unit) && of_change(*part));
        let mut parts: Vec<FirstPart> = own.map(|(part, _)| first_part(plan, *part)).collect();
        if let New::Change(change) = new {
            report_kinds(plan, change, &mut parts);
        }
        parts.sort_by_key(|one| (one.missing.is_empty(), one.act_by(), one.part));
        let enters = plan.pace.enters(plant, first).unwrap_or(plant.as_of);
        FirstBuild { new, first, enters, parts, not_counted: not_counted(plan, new) }
    };
    Some(news.into_iter().map(build).collect())
}

/// The parts of the lines from a change on, and what is below them.
fn brought(plant: &Plant, change: ChangeId) -> BTreeSet<PartId> {
    let own: BTreeSet<PartId> =
        plant.bills.iter().filter(|line| line.from == Some(change)).map(|line| line.part).collect();
    let below = once(plant, own.iter().map(|part| plant.part(*part).bill.clone()), |_| true);
    below.into_iter().map(|(_, line)| line.part).chain(own.iter().copied()).collect()
}

/// Says of the parts of a change's own lines which have no kind, where what goes out has one: `Content` counts them no longer.
fn report_kinds(plan: &Plan<'_>, change: ChangeId, parts: &mut [FirstPart]) {
    let plant = plan.plant;
    let out = plant.bills.iter().filter(|line| line.until == Some(change)).map(|line| plant.part(line.part));
    let Some((code, kind)) = out.filter_map(|part| Some((&part.code, part.kind?))).next() else { return };
    for first in parts.iter_mut().filter(|first| plant.part(first.part).kind.is_none()) {
        if plant.bills.iter().any(|line| line.from == Some(change) && line.part == first.part) {
            first
                .missing
                .push(format!("no kind for Content, where {code} is of the kind {}", plant.kinds[kind as usize]));
        }
    }
}

/// Kinds that `Content` counts on some floorplans by name or series, and not on a new one.
fn not_counted(plan: &Plan<'_>, new: New) -> Vec<u32> {
    let New::Floorplan(floorplan) = new else { return Vec::new() };
    let own = &plan.plant.floorplans[floorplan.at()];
    let holds =
        |only: Option<crate::base::NameId>| only.is_none_or(|name| name == own.as_name || Some(name) == own.series);
    let rows = &plan.plant.content;
    let kinds = rows.iter().map(|row| row.kind).sorted().dedup();
    kinds.filter(|kind| !rows.iter().any(|row| row.kind == *kind && holds(row.only))).collect()
}

impl FirstPart {
    /// By when somebody must act.
    fn act_by(&self) -> Option<Date> {
        let needed = self.needed.map(|(need, _)| need.date());
        if self.covered.is_some_and(|covered| covered != Covered::InTime) { self.order_by.or(needed) } else { needed }
    }
}

fn first_part(plan: &Plan<'_>, part: PartId) -> FirstPart {
    let row = plan.plant.part(part);
    let (need, comes) = if row.bought() {
        (plan.account(part).first, plan.account(part).comes)
    } else {
        (plan.made(part).first(), plan.made(part).comes())
    };
    let needed = need.map(|(need, owner, _)| (need, owner));
    let covered = need.map(|(.., covered)| covered);
    let deliveries = plan.deliveries.of_part(part);
    let lead = i32::try_from(row.lead_days).unwrap_or(i32::MAX);
    let order_by = needed.filter(|_| row.bought() && lead > 0).map(|(need, _)| need.date().plus(-lead));
    let mut first = FirstPart {
        part,
        needed,
        stock: plan.stock_not_on_hold(part),
        receipts: deliveries.iter().map(|delivery| delivery.open).sum(),
        comes,
        covered,
        order_by,
        missing: Vec::new(),
    };
    first.missing = missing(plan, row, &first);
    first
}

/// What is missing of a part, in words.
fn missing(plan: &Plan<'_>, row: &Part, first: &FirstPart) -> Vec<String> {
    let mut words = Vec::new();
    if row.bought() {
        let none = first.stock.is_zero() && first.receipts.is_zero();
        match first.covered {
            Some(Covered::Short) if none => words.push("nothing in stock or on order".to_owned()),
            Some(Covered::Short) => words.push("the first piece is short".to_owned()),
            Some(Covered::Late) => words.push("the first piece comes late".to_owned()),
            _ => {}
        }
        let lacks = first.covered == Some(Covered::Short);
        if lacks && first.order_by.is_some_and(|day| day < plan.plant.as_of.date()) {
            words.push("inside lead time".to_owned());
        }
        if row.supplier.is_empty() {
            words.push("no supplier".to_owned());
        }
        if row.lead_days == 0 {
            words.push("lead days not known".to_owned());
        }
        if row.weight.is_none() {
            words.push("weight not known".to_owned());
        }
    }
    if let Source::Make(_) = row.source {
        if row.minutes.is_zero() {
            words.push("no minutes".to_owned());
        }
        if row.bill.is_empty() {
            words.push("no bill".to_owned());
        }
    }
    if row.source != Source::ByProduct && row.location.is_empty() && !matches!(row.source, Source::Make(_)) {
        words.push("no location".to_owned());
    }
    words
}
