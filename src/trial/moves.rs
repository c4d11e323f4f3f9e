//! What can be run instead: for each unit that stops the line and has not entered, other places in the order, a gap, a hold.

use crate::base::{LineId, MustBe, UnitId};
use crate::check::{ExtraFor, Plant, Source, Unit};
use crate::plan::{Plan, UnitState, stops};
use itertools::Itertools;
use std::collections::BTreeSet;

/// So many clear units are tried in a unit's place, and so many places it drops behind.
const FAR: usize = 10;

/// What is done with a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// It and a clear unit behind it trade places.
    Exchange(UnitId),
    /// It drops behind so many units.
    DropBehind(usize),
    /// One more place stays empty before it.
    Gap,
    /// It is held back.
    Hold,
}

/// A change of the order that is tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Move {
    /// The unit that stops.
    pub unit: UnitId,
    /// What is done with it.
    pub kind: Kind,
}

impl Move {
    /// Changes the sequence. A place is a `seq` and the gap before it; places stay, units trade them.
    pub fn make(&self, units: &mut [Unit]) {
        match self.kind {
            Kind::Exchange(other) => trade(units, &[self.unit, other]),
            Kind::DropBehind(places) => {
                let behind: Vec<UnitId> = not_entered(units, units[self.unit.at()].line);
                let from = behind.iter().position(|unit| *unit == self.unit);
                let from = from.must("a unit that is moved has entered its line");
                for pair in behind[from..].windows(2).take(places) {
                    trade(units, &[self.unit, pair[1]]);
                }
            }
            Kind::Gap => units[self.unit.at()].gap += 1,
            Kind::Hold => units[self.unit.at()].hold = Some("tried".to_owned()),
        }
    }

    /// In words for the floor.
    pub fn words(&self, plant: &Plant) -> String {
        let code = |unit: UnitId| &plant.units[unit.at()].code;
        let unit = code(self.unit);
        match self.kind {
            Kind::Exchange(other) => format!("exchange {unit} with {}", code(other)),
            Kind::DropBehind(places) => {
                let order = not_entered(&plant.units, plant.units[self.unit.at()].line);
                let last = order.iter().skip_while(|other| **other != self.unit).nth(places);
                let last = last.map(|other| format!(", to come after {}", code(*other))).unwrap_or_default();
                format!("drop {unit} behind {places} {}{last}", if places == 1 { "place" } else { "places" })
            }
            Kind::Gap => format!("leave one place empty before {unit}"),
            Kind::Hold => format!("hold {unit}"),
        }
    }
}

fn trade(units: &mut [Unit], pair: &[UnitId; 2]) {
    let [one, other] = pair.map(UnitId::at);
    let (first, second) = ((units[one].seq, units[one].gap), (units[other].seq, units[other].gap));
    (units[one].seq, units[one].gap) = second;
    (units[other].seq, units[other].gap) = first;
}

/// The units of a line that are to enter, in order.
fn not_entered(units: &[Unit], line: LineId) -> Vec<UnitId> {
    let waiting = |unit: &Unit| unit.line == line && unit.at.is_none() && unit.on_plan();
    let waiting = units.iter().enumerate().filter(|(_, unit)| waiting(unit));
    waiting.sorted_by_key(|(_, unit)| unit.seq).map(|(i, _)| UnitId::of(i)).collect()
}

/// All that is tried, each order of the sequence once: by the order of the units that stop, then as [`Kind`] lists them. The
/// next `fixed` units of each line stay as they are.
pub fn moves(plan: &Plan<'_>, fixed: usize) -> Vec<Move> {
    let plant = plan.plant;
    let clear: BTreeSet<UnitId> =
        plan.units.iter().filter(|unit| unit.state == UnitState::Clear).map(|unit| unit.unit).collect();
    let orders: Vec<Vec<UnitId>> =
        (0..plant.lines.len()).map(|line| not_entered(&plant.units, LineId::of(line))).collect();
    let mut all = Vec::new();
    for unit in stopping(plan) {
        let order = &orders[plant.units[unit.at()].line.at()];
        let Some(place) = order.iter().position(|other| *other == unit).filter(|place| *place >= fixed) else {
            continue;
        };
        let behind = &order[place + 1..];
        let next = behind.first().filter(|next| clear.contains(next));
        let exchanges =
            behind.iter().filter(|other| clear.contains(other)).take(FAR).map(|other| Kind::Exchange(*other));
        // To drop behind one place is to exchange with the next.
        let drops = (1..=behind.len().min(FAR)).filter(|places| *places > 1 || next.is_none()).map(Kind::DropBehind);
        let hold = can_be_held(plant, unit).then_some(Kind::Hold);
        all.extend(exchanges.chain(drops).chain([Kind::Gap]).chain(hold).map(|kind| Move { unit, kind }));
    }
    all
}

/// The units that stop the line, in the order of the plan.
fn stopping(plan: &Plan<'_>) -> Vec<UnitId> {
    let owners = stops(plan).into_keys();
    owners.filter_map(|owner| plan.pace.owners[owner.at()].unit).collect()
}

/// Whether the plan could be made with a unit held: what is owed to it needs a moment of its own then, and can't be a part
/// whose bill depends on the unit.
fn can_be_held(plant: &Plant, unit: UnitId) -> bool {
    let own = plant.extras.iter().filter(|extra| extra.owner == ExtraFor::Unit(unit));
    let stands = |part| plant.part(part).configured && matches!(plant.part(part).source, Source::Make(_));
    own.clone().all(|extra| extra.needed.is_some() && !stands(extra.part))
}
