//! What units that start after the sequence ends are expected to take of each bought part, and what to order for them by when.
//!
//! Rule `past-the-sequence`.

mod sample;
mod spread;

pub use spread::{MOST_STEPS, ONE, Spread, Taken};

use crate::base::{ChangeId, Date, FloorplanId, PartId, Quantity, Total};
use crate::check::limits::MOST_OF_A_PART;
use crate::check::{Part, Plant};
use crate::plan::{Expected, Foreseen, Plan};
use rayon::prelude::*;
use sample::{Takes, reached, samples, takes};
use spread::{Shape, Steps, power};
use std::collections::{BTreeMap, HashMap};
use std::sync::{Mutex, PoisonError};

/// The periods, by first and last day, and how many units of which floorplans start in each.
type Periods = BTreeMap<(Date, Date), BTreeMap<FloorplanId, u32>>;

/// What is expected behind the sequence; worked out once. Without a forecast that is nothing.
pub fn foreseen<'p>(plan: &'p Plan<'_>) -> &'p Foreseen {
    plan.foreseen.get_or_init(|| if plan.plant.forecast.is_empty() { Foreseen::default() } else { of(plan) })
}

fn of(plan: &Plan<'_>) -> Foreseen {
    let plant = plan.plant;
    let (samples, configured) = samples(plan);
    let periods = periods(plant);
    // Periods from whose first days on the same changes are reached share what units take.
    let mut states: Vec<(Vec<bool>, Takes)> = Vec::new();
    let mut of_period = Vec::new();
    for (from, _) in periods.keys() {
        let state: Vec<bool> = (0..plant.changes.len()).map(|at| reached(plant, ChangeId::of(at), *from)).collect();
        let known = states.iter().position(|(other, _)| *other == state);
        of_period.push(known.unwrap_or_else(|| {
            states.push((state, takes(plan, &samples, &configured, *from)));
            states.len() - 1
        }));
    }
    let known = Known::default();
    let bought = (0..plant.parts.len()).filter(|part| plant.parts[*part].bought());
    let found: Vec<(PartId, Option<Vec<Expected>>)> = bought
        .collect::<Vec<_>>()
        .into_par_iter()
        .map(|part| {
            let of_part = periods.iter().zip(&of_period).map(|(period, state)| (period, &states[*state].1[part]));
            (PartId::of(part), rows(plan, PartId::of(part), of_part.collect(), &known))
        })
        .collect();
    let too_large = found.iter().filter(|(_, rows)| rows.is_none()).map(|(part, _)| *part).collect();
    let rows = found.into_iter().filter_map(|(_, rows)| rows).flatten().collect();
    Foreseen { rows, samples, too_large, within: within(plant, &periods) }
}

fn periods(plant: &Plant) -> Periods {
    let mut periods = Periods::new();
    for row in plant.forecast.iter().filter(|row| row.units > 0) {
        // A floorplan has no two rows of one period: its periods share no days.
        periods.entry((row.from, row.to)).or_default().insert(row.floorplan, row.units);
    }
    periods
}

/// Changes that begin within a period, by date.
fn within(plant: &Plant, periods: &Periods) -> Vec<(ChangeId, (Date, Date))> {
    let begins = |(change, date): (ChangeId, Date)| {
        let inside = periods.keys().filter(move |(from, to)| *from < date && date <= *to);
        inside.map(move |period| (change, *period))
    };
    let ahead = plant.changes.iter().enumerate().filter(|(_, change)| change.from_unit.is_none());
    let dated = ahead.filter_map(|(at, change)| Some((ChangeId::of(at), change.from_date?)));
    dated.flat_map(begins).collect()
}

/// A period, its units, and what units of each floorplan take of a part in it.
type OfPeriod<'f> = ((&'f (Date, Date), &'f BTreeMap<FloorplanId, u32>), &'f BTreeMap<FloorplanId, sample::OfPart>);

/// The rows of a part; `None` where no quantity holds what it comes to.
fn rows(plan: &Plan<'_>, part: PartId, periods: Vec<OfPeriod<'_>>, known: &Known) -> Option<Vec<Expected>> {
    let most: Total = periods.iter().map(|((_, units), takes)| at_most(units, takes)).sum();
    if most >= MOST_OF_A_PART.into() {
        return None;
    }
    let row = plan.plant.part(part);
    let ends = plan.account(part).ends;
    let mut spreads: HashMap<(FloorplanId, u32, usize), Spread> = HashMap::new();
    let (mut before, mut ordered) = (Quantity::ZERO, Quantity::ZERO);
    let mut rows = Vec::new();
    for (&(&(from, to), units), takes) in periods.iter().map(|(period, takes)| (period, takes)) {
        let taking = units.iter().filter_map(|(floorplan, units)| Some((*floorplan, *units, takes.get(floorplan)?)));
        let taking: Vec<_> = taking.filter(|(.., of)| of.last().is_some_and(|(most, _)| *most > 0)).collect();
        if taking.is_empty() {
            continue;
        }
        let one = |(floorplan, units, of): &(FloorplanId, u32, &sample::OfPart)| {
            // The same list of amounts for the same number of units comes again in most periods.
            let key = (*floorplan, *units, std::ptr::from_ref(*of).addr());
            spreads
                .entry(key)
                .or_insert_with(|| Spread::with(of, *units, &mut |shape, units| known.power(shape, units)))
                .clone()
        };
        let all = Spread::sum(taking.iter().map(one).collect());
        let nearly_all = quantity(all.enough(950));
        let left = ends - before;
        let to_order = order(row, row.safety_stock + before + nearly_all - ends - ordered);
        before += nearly_all;
        ordered += to_order;
        let order_by = to_order.is_positive().then(|| from.plus(-(row.lead_days as i32)));
        let mean = taking.iter().map(|(_, units, of)| mean(of, *units)).sum();
        rows.push(Expected {
            part,
            from,
            to,
            mean,
            half: quantity(all.enough(500)),
            nearly_all,
            left,
            to_order,
            order_by,
        });
    }
    Some(rows)
}

/// What is ordered where so much is lacking: at least the minimum, up to the multiple.
///
/// Rule `planned-orders`.
fn order(part: &Part, lack: Quantity) -> Quantity {
    if !lack.is_positive() {
        return Quantity::ZERO;
    }
    let least = lack.max(part.minimum_buy);
    part.buy_multiple.map_or(least.round_up(part.decimals), |multiple| least.up_to_multiple(multiple))
}

/// What units would take if each took the most that one has taken.
fn at_most(units: &BTreeMap<FloorplanId, u32>, takes: &BTreeMap<FloorplanId, sample::OfPart>) -> Total {
    let most = |(floorplan, units): (&FloorplanId, &u32)| {
        let (most, _) = takes.get(floorplan)?.last()?;
        Some(Total::times(Quantity::from_millionths(*most), *units as usize))
    };
    units.iter().filter_map(most).sum()
}

/// The mean of what so many units take, cut at the sixth place.
fn mean(of: &Taken, units: u32) -> Quantity {
    let all: i128 = of.iter().map(|(amount, count)| i128::from(*amount) * i128::from(*count)).sum();
    let count: i128 = of.iter().map(|(_, count)| i128::from(*count)).sum();
    quantity(all * i128::from(units) / count.max(1))
}

/// So many millionths. What a part comes to is below the range of a quantity.
fn quantity(millionths: i128) -> Quantity {
    Total::from_millionths(millionths).as_quantity().unwrap_or(MOST_OF_A_PART)
}

/// Above the least amount: the amounts, how many units of the list took each, and how many units there are.
type Key = (Vec<(i64, u32)>, u32);

/// What was worked out once is kept for so many lists of amounts at most, of no more than so many amounts.
const MOST_KNOWN: usize = 4_096;
const MOST_AMOUNTS: usize = 8;

/// What was worked out once: many parts are taken alike.
#[derive(Default)]
struct Known(Mutex<HashMap<Key, Steps>>);

impl Known {
    fn power(&self, shape: &Shape, units: u32) -> Steps {
        if shape.above.len() > MOST_AMOUNTS {
            return power(shape, units);
        }
        let key = (shape.above.clone(), units);
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner).get(&key).cloned();
        known.unwrap_or_else(|| {
            let found = power(shape, units);
            let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            if all.len() < MOST_KNOWN {
                all.insert(key, found.clone());
            }
            found
        })
    }
}
