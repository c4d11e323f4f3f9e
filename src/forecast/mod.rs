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
use spread::{Shape, Steps, gcd, power};
use std::collections::{BTreeMap, HashMap};
use std::hash::Hash;
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
    let (mut before, mut ordered) = (Quantity::ZERO, Quantity::ZERO);
    let mut rows = Vec::new();
    for (&(&(from, to), units), takes) in periods.iter().map(|(period, takes)| (period, takes)) {
        let taking = units.iter().filter_map(|(floorplan, units)| Some((*units, takes.get(floorplan)?.as_slice())));
        let taking: Vec<(u32, &Taken)> =
            taking.filter(|(_, of)| of.last().is_some_and(|(most, _)| *most > 0)).collect();
        if taking.is_empty() {
            continue;
        }
        let Enough { half, nearly_all } = known.enough(&taking);
        let nearly_all = quantity(nearly_all);
        let left = ends - before;
        let to_order = order(row, row.safety_stock + before + nearly_all - ends - ordered);
        before += nearly_all;
        ordered += to_order;
        let order_by = to_order.is_positive().then(|| from.plus(-(row.lead_days as i32)));
        let mean = taking.iter().map(|(units, of)| mean(of, *units)).sum();
        rows.push(Expected { part, from, to, mean, half: quantity(half), nearly_all, left, to_order, order_by });
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

/// How many units take as a list says, for each of some lists; the amounts in a unit that measures them all.
type Taking = Vec<(u32, Vec<(i64, u32)>)>;

/// Above the least amount: the amounts, how many units of the list took each, and how many units there are.
type Key = (Vec<(i64, u32)>, u32);

/// Amounts that are enough with a chance of a half and with one of nearly all.
#[derive(Clone, Copy, Debug)]
struct Enough {
    half: i128,
    nearly_all: i128,
}

impl Enough {
    fn times(self, unit: i64) -> Self {
        let unit = i128::from(unit);
        Self { half: self.half * unit, nearly_all: self.nearly_all * unit }
    }
}

/// What was worked out once is kept for so many lists at most, of no more than so many amounts.
const MOST_KNOWN: usize = 4_096;
const MOST_AMOUNTS: usize = 8;
const MOST_AMOUNTS_IN_ALL: usize = 128;

/// What was worked out once: many parts are taken alike, if in other amounts.
#[derive(Default)]
struct Known {
    powers: Kept<Key, Steps>,
    enough: Kept<Taking, Enough>,
}

impl Known {
    /// What units take together of a part, each so many as one of a list did.
    fn enough(&self, taking: &[(u32, &Taken)]) -> Enough {
        // A list of nothing but noughts is none of these.
        let amounts = || taking.iter().flat_map(|(_, of)| of.iter());
        let unit = amounts().fold(0, |unit, (amount, _)| gcd(unit, i128::from(*amount)));
        let unit = i64::try_from(unit).ok().filter(|unit| *unit > 0).unwrap_or(1);
        let scaled = |of: &Taken| of.iter().map(|(amount, count)| (amount / unit, *count)).collect();
        let taking: Taking = taking.iter().map(|(units, of)| (*units, scaled(of))).collect();
        let found = || {
            let one = |(units, of): &(u32, Vec<(i64, u32)>)| {
                Spread::with(of, *units, &mut |shape, units| self.power(shape, units))
            };
            let all = Spread::sum(taking.iter().map(one).collect());
            Enough { half: all.enough(500), nearly_all: all.enough(950) }
        };
        let known = amounts().count() <= MOST_AMOUNTS_IN_ALL;
        if known { self.enough.get(&taking, found) } else { found() }.times(unit)
    }

    fn power(&self, shape: &Shape, units: u32) -> Steps {
        if shape.above.len() > MOST_AMOUNTS {
            return power(shape, units);
        }
        self.powers.get(&(shape.above.clone(), units), || power(shape, units))
    }
}

/// What is kept of what was worked out, for all threads.
struct Kept<K, V>(Mutex<HashMap<K, V>>);

impl<K, V> Default for Kept<K, V> {
    fn default() -> Self {
        Self(Mutex::new(HashMap::new()))
    }
}

impl<K: Clone + Eq + Hash, V: Clone> Kept<K, V> {
    /// What is known, or what is found out now; that is kept where there is room.
    fn get(&self, key: &K, find: impl FnOnce() -> V) -> V {
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner).get(key).cloned();
        known.unwrap_or_else(|| {
            let found = find();
            let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
            if all.len() < MOST_KNOWN {
                all.insert(key.clone(), found.clone());
            }
            found
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_taken_alike_is_the_same_in_other_amounts() {
        // What units of one floorplan take of a part, and of another; then three and seven times as much.
        let first: [(i64, u32); 3] = [(0, 2), (2_000_000, 5), (6_000_000, 1)];
        let second: [(i64, u32); 2] = [(1_000_000, 3), (4_000_000, 4)];
        let known = Known::default();
        for times in [1, 3, 7] {
            let scaled = |of: &Taken| of.iter().map(|(amount, count)| (amount * times, *count)).collect::<Vec<_>>();
            let (first, second) = (scaled(&first), scaled(&second));
            let sum = Spread::sum(vec![Spread::of(&first, 9), Spread::of(&second, 4)]);
            // Worked out anew, and then as it is known.
            for _ in 0..2 {
                let Enough { half, nearly_all } = known.enough(&[(9, &first), (4, &second)]);
                assert_eq!((half, nearly_all), (sum.enough(500), sum.enough(950)));
            }
        }
        assert_eq!(known.enough.0.lock().unwrap_or_else(PoisonError::into_inner).len(), 1);
        let Enough { half, nearly_all } = known.enough(&[(5, &[(3_000_000, 4)])]);
        assert_eq!((half, nearly_all), (15_000_000, 15_000_000));
    }
}
