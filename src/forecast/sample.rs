//! From which units of the sequence it is taken what one behind it will need, and what each of them takes of each bought part.
//!
//! Rule `sample`.

use crate::base::{ChangeId, Date, FloorplanId, Moment, PartId, Quantity, UnitId, add_equals, fold, numbered};
use crate::check::Plant;
use crate::configure::{self, Configured};
use crate::explode;
use crate::line::Pace;
use crate::plan::{Plan, Sampled, UnitState};
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// For each floorplan of which units are forecast the last units of the sequence, and what they have.
pub(super) fn samples(plan: &Plan<'_>) -> (Vec<Sampled>, Configured) {
    let plant = plan.plant;
    let mut forecast: BTreeMap<FloorplanId, u64> = BTreeMap::new();
    for row in plant.forecast.iter().filter(|row| row.units > 0) {
        *forecast.entry(row.floorplan).or_default() += u64::from(row.units);
    }
    let of = |floorplan| {
        (0..plant.units.len()).map(UnitId::of).filter(move |unit| plant.units[unit.at()].floorplan == Ok(floorplan))
    };
    let all: Vec<UnitId> = forecast.keys().flat_map(|floorplan| of(*floorplan)).collect();
    let mut configured = configure::orders(plant, &all);
    let set_aside = plan.units.iter().filter(|row| row.state == UnitState::SetAside);
    set_aside.for_each(|row| configured[row.unit.at()] = None);
    let most = plant.sample_units as usize;
    let samples = forecast.into_iter().map(|(floorplan, forecast)| {
        let units = in_order(plant, &plan.pace, of(floorplan));
        let (mut units, wrong): (Vec<UnitId>, Vec<UnitId>) =
            units.into_iter().partition(|unit| configured[unit.at()].is_some());
        units.drain(..units.len().saturating_sub(most));
        Sampled { floorplan, units, wrong: wrong.len(), forecast }
    });
    let samples: Vec<Sampled> = samples.collect();
    let wanted: Vec<UnitId> = samples.iter().flat_map(|sample| sample.units.iter().copied()).sorted().collect();
    let taken = |unit: usize| wanted.binary_search(&UnitId::of(unit)).is_ok();
    configured.iter_mut().enumerate().filter(|(unit, _)| !taken(*unit)).for_each(|(_, names)| *names = None);
    (samples, configured)
}

/// Units in the order in which they are built: those that are done, counted back from the end of their line; then by entry, a held
/// one with the next that enters behind it, or last.
fn in_order(plant: &Plant, pace: &Pace, units: impl Iterator<Item = UnitId>) -> Vec<UnitId> {
    let seqs = plant.units.iter().filter(|unit| unit.done).map(|unit| (unit.line, unit.seq)).sorted().collect_vec();
    let up_to = |line, seq| seqs.partition_point(|done| *done <= (line, seq));
    let ends = |line| seqs.partition_point(|(other, _)| *other <= line);
    let done = |line, seq| ends(line) - up_to(line, seq);
    let key = |id: &UnitId| {
        let unit = &plant.units[id.at()];
        let behind = if unit.done { done(unit.line, unit.seq) } else { 0 };
        let entry = pace.leads(*id).and_then(|leads| pace.enters(plant, leads)).unwrap_or(Moment::NEVER);
        let line = fold(&plant.lines[unit.line.at()].code);
        (!unit.done, std::cmp::Reverse(behind), if unit.done { Moment::BEFORE_ALL } else { entry }, line, unit.seq)
    };
    units.sorted_by_cached_key(key).collect()
}

/// Whether a change is reached by units that start on a day behind the sequence.
pub(super) fn reached(plant: &Plant, change: ChangeId, from: Date) -> bool {
    let change = &plant.changes[change.at()];
    change.from_unit.is_some() || change.from_date.is_some_and(|date| date <= from)
}

/// What units of one floorplan take of a part: the amounts in millionths, each with how many units took it, in order.
pub(super) type OfPart = Vec<(i64, u32)>;

/// For each part and floorplan what its units take; nothing where none takes any.
pub(super) type Takes = Vec<BTreeMap<FloorplanId, OfPart>>;

/// What the units of all samples would take of each bought part if they were built from a day on: their own options, and the changes
/// that are reached by then. A unit whose bill comes to more than a quantity holds is left out.
pub(super) fn takes(plan: &Plan<'_>, samples: &[Sampled], configured: &Configured, from: Date) -> Takes {
    let plant = plan.plant;
    let mut takes: Takes = vec![BTreeMap::new(); plant.parts.len()];
    let inside = |_: UnitId, change: ChangeId| reached(plant, change, from);
    let Ok(mut explosions) = explode::explode_as(plant, configured, &plan.pace, &inside) else { return takes };
    for sample in samples {
        let at_stations: Vec<_> = sample.units.par_iter().map(|unit| explosions.at_stations(*unit, 0)).collect();
        let asked = sample.units.iter().zip(at_stations).filter_map(|(unit, open)| {
            let mut asked: Vec<(PartId, Quantity)> = Vec::new();
            explosions.bought_below(*unit, open.ok()?, &mut asked).ok()?;
            Some(asked)
        });
        let mut asked = asked.collect_vec();
        asked.par_iter_mut().for_each(|asked| {
            asked.sort_unstable();
            add_equals(asked);
        });
        let units = asked.len();
        let mut amounts: Vec<Vec<i64>> = vec![Vec::new(); plant.parts.len()];
        asked.into_iter().flatten().for_each(|(part, qty)| amounts[part.at()].push(qty.millionths()));
        takes.par_iter_mut().zip(amounts).filter(|(_, amounts)| !amounts.is_empty()).for_each(
            |(of_part, mut amounts)| {
                amounts.resize(units, 0);
                amounts.sort_unstable();
                let counted = amounts.chunk_by(|a, b| a == b).map(|same| (same[0], numbered(same.len()))).collect();
                of_part.insert(sample.floorplan, counted);
            },
        );
    }
    takes
}
