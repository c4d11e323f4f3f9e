//! Figures of a floorplan over all its builds: how many there are, weights, shop minutes, the most that one unit takes.

use super::bill::Bill;
use super::exact::{self, OfSet};
use super::limit::Limit;
use super::model::Model;
use super::space::Space;
use super::states::State;
use super::totals::{Bound, reaches};
use super::witness::Shown;
use crate::base::{FloorplanId, LineId, PartId, Quantity, Ratio, ShopId, Total};
use crate::check::Source;
use crate::configure::Placing;
use itertools::Itertools;
use num_bigint::BigUint;
use std::collections::{BTreeMap, HashMap};

/// So many builds are counted one by one where they can't be counted at once.
const MOST_ONE_BY_ONE: usize = 1_000;

/// How many there are.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Count {
    /// Exactly so many.
    Exactly(BigUint),
    /// More than so many; the work that is allowed for counting did not do.
    MoreThan(usize),
}

/// A number over all builds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over<T> {
    /// It is this.
    Is(T),
    /// It is at least this; the work that is allowed for it did not do.
    AtLeast(T),
    /// The work that is allowed for it did not do.
    Unknown,
}

/// Figures of a floorplan on a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figures {
    /// Whose builds are counted.
    pub floorplan: FloorplanId,
    /// The line, where orders differ by it.
    pub line: Option<LineId>,
    /// How many builds there are.
    pub builds: Count,
    /// Kilograms of all bought parts of the lightest build and of the heaviest, by their weights in the book.
    pub weight: Over<(Total, Total)>,
    /// How many of its bought parts have no weight.
    pub weights_unknown: usize,
    /// For each shop that builds something for it the most minutes, set-up included, each line by itself.
    pub minutes: Vec<(ShopId, Over<Ratio>)>,
    /// For each part the most that one unit takes.
    pub most: Vec<(PartId, Over<Quantity>)>,
    /// What is not known of it, in words, and what stopped it.
    pub not_known: BTreeMap<&'static str, Limit>,
}

/// Minutes are summed in parts of a million millionths.
const PARTS: i64 = 1_000_000_000_000;

/// Works them out.
pub fn of(
    model: &mut Model<'_>,
    placing: &Placing<'_>,
    bill: &Bill,
    states: &[State],
    line: Option<LineId>,
) -> Figures {
    let frame = model.frame;
    let sets: BTreeMap<usize, OfSet> = exact::sets(frame, placing);
    let mut not_known = BTreeMap::new();
    // Where builds can't be counted, sums over them can't be taken either.
    let counted = Space::of(frame, &sets).and_then(|space| space.count().map(|count| (space, count)));
    let (space, builds) = match counted {
        Ok((space, count)) => (Ok(space), Count::Exactly(count)),
        Err(limit) => (Err(limit), one_by_one(frame, placing)),
    };
    if let (Err(limit), Count::MoreThan(_)) = (&space, &builds) {
        not_known.insert("how many builds it has", *limit);
    }
    let plant = frame.plant;
    let bought = || bill.ways.iter().filter(|way| !way.gives && plant.part(way.part).bought());
    let weights_unknown =
        bought().filter(|way| plant.part(way.part).weight.is_none()).map(|way| way.part).unique().count();
    let kilograms = |way: &super::bill::Way| {
        let weight = plant.part(way.part).weight?;
        plant.part(way.part).bought().then(|| Total::at(weight, way.qty).millionths())
    };
    let mut known =
        |what, found: Result<(i128, i128), Limit>| found.map_err(|limit| not_known.insert(what, limit)).ok();
    let weight = known("what its builds weigh", extremes(space.as_ref(), bill, states, kilograms))
        .map_or(Over::Unknown, |(least, most)| Over::Is((Total::from_millionths(least), Total::from_millionths(most))));
    let shops = bill.ways.iter().filter_map(|way| shop(plant.part(way.part).source)).unique().sorted();
    let minutes = shops.map(|shop_id| {
        let time = |way: &super::bill::Way| {
            let part = plant.part(way.part);
            (shop(part.source) == Some(shop_id)).then(|| minutes_of(part.setup, part.minutes, way.qty)).flatten()
        };
        let most = known("the most minutes of its shops", extremes(space.as_ref(), bill, states, time));
        (shop_id, most.and_then(|(_, most)| Ratio::new(most, PARTS.into())).map_or(Over::Unknown, Over::Is))
    });
    let minutes = minutes.collect();
    let (most, stopped) = most_of_each(model, placing, bill, states);
    not_known.extend(stopped.map(|limit| ("the most that it takes of some parts", limit)));
    Figures { floorplan: frame.floorplan, line, builds, weight, weights_unknown, minutes, most, not_known }
}

fn shop(source: Source) -> Option<ShopId> {
    match source {
        Source::Make(shop) => Some(shop),
        Source::Buy | Source::Phantom | Source::ByProduct => None,
    }
}

/// In millionths of millionths of a minute, of which what is smaller is cut.
fn minutes_of(setup: Ratio, each: Ratio, qty: Quantity) -> Option<i128> {
    let qty = Ratio::new(qty.millionths().into(), Quantity::SCALE.into())?;
    let all = each.times(qty)?.plus(setup)?.times(Ratio::whole(PARTS))?;
    Some(all.numerator() / all.denominator())
}

/// The least and the most of a sum over the lines that count, over all builds and states of the changes.
fn extremes(
    space: Result<&Space<'_>, &Limit>,
    bill: &Bill,
    states: &[State],
    of: impl Fn(&super::bill::Way) -> Option<i128>,
) -> Result<(i128, i128), Limit> {
    let space = space.map_err(|limit| *limit)?;
    let mut by_guard = vec![0_i128; bill.guards.len()];
    for way in bill.ways.iter().filter(|way| !way.gives) {
        by_guard[way.guard as usize] += of(way).unwrap_or(0);
    }
    let mut known: Vec<Vec<(Vec<u32>, i128)>> = Vec::new();
    let mut both: Option<(i128, i128)> = None;
    for state in states {
        let open = bill
            .guards
            .iter()
            .zip(&by_guard)
            .filter(|(guard, sum)| **sum != 0 && guard.in_state(|change| state.reached[change.at()]));
        let terms = open.map(|(guard, sum)| (guard.whens.clone(), *sum)).collect_vec();
        if known.contains(&terms) {
            continue;
        }
        let range = space.range(&terms)?;
        known.push(terms);
        let widened = |range: super::sums::Range| {
            both.map_or((range.least, range.most), |(a, b)| (a.min(range.least), b.max(range.most)))
        };
        both = range.map(widened).or(both);
    }
    Ok(both.unwrap_or_default())
}

/// Counts builds by ruling out each that was found.
fn one_by_one(frame: &super::frame::Frame<'_>, placing: &Placing<'_>) -> Count {
    let mut model = Model::of(frame, false);
    for found in 0..=MOST_ONE_BY_ONE {
        let witness = match model.show(placing, &[]) {
            Shown::By(witness) => witness,
            Shown::Never => return Count::Exactly(BigUint::from(found)),
            Shown::Unknown(_) => return Count::MoreThan(found.saturating_sub(1)),
        };
        let other = frame.options().map(|option| {
            let has = model.has[option.at()];
            if witness.names.contains(option) { !has } else { has }
        });
        let other = other.collect_vec();
        model.solver.clause(&other);
    }
    Count::MoreThan(MOST_ONE_BY_ONE)
}

/// The most that terms come to, each a number where a guard holds, and what stopped the search.
type MostOfTerms = HashMap<Vec<(u32, i128)>, (i128, Option<Limit>)>;

/// For each part the most of it that one unit takes, and what stopped that for some.
fn most_of_each(
    model: &mut Model<'_>,
    placing: &Placing<'_>,
    bill: &Bill,
    states: &[State],
) -> (Vec<(PartId, Over<Quantity>)>, Option<Limit>) {
    let mut of_part: BTreeMap<PartId, BTreeMap<u32, i128>> = BTreeMap::new();
    for way in bill.ways.iter().filter(|way| !way.gives) {
        *of_part.entry(way.part).or_default().entry(way.guard).or_default() += i128::from(way.qty.millionths());
    }
    let mut known = MostOfTerms::new();
    let mut all_stopped = None;
    let mut each = Vec::new();
    for (part, terms) in of_part {
        let (mut most, mut stopped) = (0, None);
        for state in states {
            let open = |guard: u32| bill.guards[guard as usize].in_state(|change| state.reached[change.at()]);
            let terms: Vec<(u32, i128)> =
                terms.iter().map(|(a, b)| (*a, *b)).filter(|(guard, _)| open(*guard)).collect();
            let (of_state, limit) = match known.get(&terms) {
                Some(known) => *known,
                None => *known.entry(terms.clone()).or_insert(most_of(model, placing, bill, &terms)),
            };
            most = most.max(of_state);
            stopped = stopped.or(limit);
        }
        all_stopped = all_stopped.or(stopped);
        let most = i64::try_from(most).ok().map(Quantity::from_millionths);
        let over = if stopped.is_some() { Over::AtLeast } else { Over::Is };
        each.push((part, most.map_or(Over::Unknown, over)));
    }
    (each, all_stopped)
}

/// The most that some terms come to, or the most that was found until something stopped the search; each step finds a build that
/// has more, until none has.
fn most_of(model: &mut Model<'_>, placing: &Placing<'_>, bill: &Bill, terms: &[(u32, i128)]) -> (i128, Option<Limit>) {
    let all: i128 = terms.iter().map(|(_, number)| number).sum();
    let lits = terms.iter().map(|(guard, number)| (model.guard(&bill.guards[*guard as usize]), *number)).collect_vec();
    let together = lits.iter().map(|(lit, _)| *lit).collect_vec();
    if terms.iter().all(|(guard, _)| *guard == 0) || matches!(model.show(placing, &together), Shown::By(_)) {
        return (all, None);
    }
    let mut most = 0;
    loop {
        let more = match most {
            0 => Some(model.solver.any(&together)),
            _ => reaches(&mut model.solver, &lits, Bound::Above(most)),
        };
        let Some(more) = more else { return (most, Some(Limit::Numbers)) };
        let witness = match model.show(placing, &[more]) {
            Shown::By(witness) => witness,
            Shown::Never => return (most, None),
            Shown::Unknown(limit) => return (most, Some(limit)),
        };
        let plant = model.frame.plant;
        let holds = |guard: u32| {
            bill.guards[guard as usize].whens.iter().all(|when| plant.conditions[*when as usize].holds(&witness.names))
        };
        most = terms.iter().filter(|(guard, _)| holds(*guard)).map(|(_, number)| number).sum();
    }
}
