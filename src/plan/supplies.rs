//! Each part's supply, worked out part by part: kept where a plan is small, and made again where it is wanted.

use super::Plan;
use super::demands::{Demands, Desk};
use super::goods::Goods;
use super::packed::{self, Packed};
use super::slots::Slot;
use super::standing::Standing;
use crate::base::{Moment, PartId, numbered};
use crate::check::{Plant, Source};
use crate::line::Owner;
use crate::netting::{Cover, Demand, Lots, Peg, Stocks};
use crate::supply::{self, Balance, Supply};
use crate::waves::{InTurn, Runs};
use itertools::Itertools;
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::HashMap;
use std::ops::Range;

/// How many demands are kept; of a plan with more, only those that come first, and what is late or short.
const MOST_KEPT: usize = 1_500_000;

/// Parts worked out at a time.
const AT_A_TIME: usize = 64;

/// Parts that are worth a walk of their own.
const PIECE: usize = 64;

/// What every part's supply is made from.
#[derive(Debug, Default)]
pub(super) struct Supplies {
    pub(super) demands: Demands,
    stocks: Vec<Stocks>,
    receipts: Vec<Vec<u32>>,
    /// The supplies of parts that are not bought.
    made: HashMap<PartId, Supply>,
    /// Up to when needs are kept; always, where there is none.
    pub(super) kept_up_to: Option<Moment>,
}

/// What a walk over all parts finds.
pub(super) struct Found {
    pub(super) kept: Vec<Supply>,
    pub(super) standing: Standing,
    pub(super) pulls: Vec<Vec<Packed>>,
    /// Pieces that are not there when the picking of their run starts, or that a job or a by-product covers.
    pub(super) doubtful: Vec<(Demand, Peg)>,
}

/// What the supplies of a plan are worked out against.
#[derive(Clone, Copy)]
pub(super) struct Ground<'g> {
    pub(super) plant: &'g Plant,
    pub(super) owners: &'g [Owner],
    pub(super) runs: &'g Runs,
}

impl Supplies {
    /// With what the shops make and the by-products that come off, which are worked out at once.
    pub(super) fn of(ground: Ground<'_>, demands: Demands, mut made: HashMap<PartId, Supply>, lots: Lots) -> Self {
        let plant = ground.plant;
        let stocks = Stocks::of_all(plant);
        let receipts = supply::receipts_by_part(plant);
        let mut of_part: HashMap<PartId, HashMap<_, _>> = HashMap::new();
        #[expect(clippy::iter_over_hash_type, reason = "each goes to a place of its own")]
        for ((owner, part), list) in lots {
            of_part.entry(part).or_default().insert(owner, list);
        }
        for part in (0..plant.parts.len()).map(PartId::of) {
            if plant.part(part).source == Source::ByProduct {
                let asked = made.remove(&part).unwrap_or_default().demands;
                let lots = of_part.remove(&part).unwrap_or_default();
                let stocks = stocks[part.at()].clone();
                let supply = supply::supply(plant, ground.owners, part, asked, stocks, lots);
                made.insert(part, supply);
            }
        }
        Self { demands, stocks, receipts, made, kept_up_to: None }
    }

    /// Puts a part's supply into one that is there, and the slots of its demands on the desk where it is bought.
    fn put_part(&self, ground: Ground<'_>, part: PartId, desk: &mut Desk, supply: &mut Supply) {
        if !ground.plant.part(part).bought() {
            desk.slots.clear();
            *supply = self.made.get(&part).cloned().unwrap_or_default();
            return;
        }
        self.demands.of_part(part, desk, &mut supply.demands);
        let receipts = self.receipts[part.at()].iter().map(|i| (*i, &ground.plant.receipts[*i as usize])).collect_vec();
        supply::cover_bought(ground.plant, ground.owners, part, self.stocks[part.at()].clone(), &receipts, supply);
    }

    /// A part's supply.
    fn of_part(&self, ground: Ground<'_>, part: PartId) -> Supply {
        let mut supply = Supply::default();
        self.put_part(ground, part, &mut Desk::default(), &mut supply);
        supply
    }

    /// A bought part's supply with other stock and receipts.
    fn with_goods(&self, ground: Ground<'_>, part: PartId, goods: &Goods<'_>) -> Supply {
        let mut supply = Supply::default();
        self.demands.of_part(part, &mut Desk::default(), &mut supply.demands);
        let own = self.receipts[part.at()].iter().map(|i| (*i, goods.receipts.at(*i as usize)));
        let added = goods.receipts.added().map(|(i, row)| (numbered(i), row)).filter(|(_, row)| row.part == part);
        let mut receipts = own.chain(added).collect_vec();
        receipts.sort_by(|(_, one), (_, other)| supply::order_taken(one, other));
        let stocks = Stocks::of_rows(ground.plant, goods.stock_of(part));
        supply::cover_bought(ground.plant, ground.owners, part, stocks, &receipts, &mut supply);
        supply
    }

    /// Works out all parts once: what is kept, how everything stands, and all pulls.
    pub(super) fn walk(&mut self, ground: Ground<'_>, keep: Option<usize>, least: Moment) -> Found {
        self.kept_up_to = self.horizon(keep.unwrap_or(MOST_KEPT), least);
        let parts = ground.plant.parts.len();
        let pieces = (parts / PIECE).clamp(1, rayon::current_num_threads() * 4);
        let found =
            (0..pieces).into_par_iter().map(|i| self.walk_some(ground, parts * i / pieces..parts * (i + 1) / pieces));
        let mut found: Vec<Found> = found.collect();
        let mut all = found.remove(0);
        for more in found {
            all.kept.extend(more.kept);
            all.pulls.extend(more.pulls);
            all.doubtful.extend(more.doubtful);
            all.standing.join(more.standing);
        }
        all
    }

    fn walk_some(&self, ground: Ground<'_>, parts: Range<usize>) -> Found {
        let standing = Standing::new(ground.owners.len());
        let (kept, pulls) = (Vec::with_capacity(parts.len()), Vec::with_capacity(parts.len()));
        let mut found = Found { kept, standing, pulls, doubtful: Vec::new() };
        let (mut desk, mut supply, mut pulls) = (Desk::default(), Supply::default(), Vec::new());
        for part in parts {
            let id = PartId::of(part);
            self.put_part(ground, id, &mut desk, &mut supply);
            found.take(ground, &supply);
            packed::pulls(id, &ground.plant.parts[part], &supply, &desk.slots, ground.runs, &mut pulls);
            found.pulls.push(pulls.clone());
            found.kept.push(self.kept(&supply));
        }
        found
    }

    /// Up to when needs are kept: as far as there is room, and at least up to a moment.
    fn horizon(&self, keep: usize, least: Moment) -> Option<Moment> {
        let all = self.demands.at_most();
        if all <= keep {
            return None;
        }
        Some(self.demands.share_of_needs(keep, all).map_or(least, |need| need.date().midnight().max(least)))
    }

    /// The part of a supply that is kept.
    fn kept(&self, supply: &Supply) -> Supply {
        let Some(until) = self.kept_up_to else { return supply.clone() };
        let (demands, later) = supply.demands.split_at(supply.demands.partition_point(|demand| demand.need < until));
        let pegs = supply.pegs.partition_point(|peg| (peg.demand as usize) < demands.len());
        let soon = |date: crate::base::Date| date.midnight() < until;
        let days = supply.balances.iter().filter(|day| soon(day.date) || day.release.is_some_and(soon));
        let mut balances: Vec<Balance> = days.copied().collect();
        balances.shrink_to_fit();
        let later = later.iter().map(|demand| demand.qty).sum();
        Supply { demands: demands.to_vec(), pegs: supply.pegs[..pegs].to_vec(), balances, later }
    }
}

impl Found {
    /// Takes in how a part's demands are covered.
    fn take(&mut self, ground: Ground<'_>, supply: &Supply) {
        let mut runs = ground.runs.in_turn();
        for (demand, peg) in not_on_hand(supply) {
            self.standing.take(ground.plant, demand, peg);
            if is_doubtful(demand, peg, &mut runs) {
                self.doubtful.push((*demand, *peg));
            }
        }
    }
}

/// The pieces of a part that are not on hand, in order of need.
fn not_on_hand(supply: &Supply) -> impl Iterator<Item = (&Demand, &Peg)> {
    let pegs = supply.pegs.iter().filter(|peg| !peg.on_hand());
    pegs.map(|peg| (&supply.demands[peg.demand as usize], peg))
}

/// Whether a piece is not there when the picking of its run starts, or a job or a by-product covers it.
fn is_doubtful(demand: &Demand, peg: &Peg, runs: &mut InTurn<'_>) -> bool {
    match (peg.cover, peg.available) {
        (Cover::Receipt(_), Some(at)) => at > runs.serving(demand.need).map_or(demand.need, |run| run.picked),
        (cover, _) => matches!(cover, Cover::None | Cover::Job(_) | Cover::ByProduct),
    }
}

/// The pieces of a part that are not there when the picking of their run starts, or that a job or a by-product covers.
pub(super) fn doubtful(supply: &Supply, runs: &Runs) -> Vec<(Demand, Peg)> {
    let mut runs = runs.in_turn();
    let doubtful = not_on_hand(supply).filter(|(demand, peg)| is_doubtful(demand, peg, &mut runs));
    doubtful.map(|(demand, peg)| (*demand, *peg)).collect()
}

impl Plan<'_> {
    /// Shows every part's whole supply, in the order of parts.
    pub fn each_supply(&self, mut visit: impl FnMut(&Supply)) {
        self.some_supplies(|some| some.iter().for_each(&mut visit));
    }

    /// The same, the supplies of some parts at a time.
    pub fn some_supplies(&self, mut visit: impl FnMut(&[Supply])) {
        if self.source.kept_up_to.is_none() {
            return visit(&self.supplies);
        }
        let ground = self.ground();
        let parts = self.supplies.len();
        let mut some = vec![Supply::default(); AT_A_TIME];
        for from in (0..parts).step_by(AT_A_TIME) {
            let some = &mut some[..AT_A_TIME.min(parts - from)];
            some.par_iter_mut().enumerate().for_each_init(Desk::default, |desk, (i, supply)| {
                self.source.put_part(ground, PartId::of(from + i), desk, supply);
            });
            visit(some);
        }
    }

    /// A part's whole supply, kept or made again.
    pub fn supply(&self, part: PartId) -> Cow<'_, Supply> {
        match self.source.kept_up_to {
            None => Cow::Borrowed(&self.supplies[part.at()]),
            Some(_) => Cow::Owned(self.source.of_part(self.ground(), part)),
        }
    }

    /// A bought part's whole supply with other stock and receipts.
    pub(super) fn supply_with(&self, part: PartId, goods: &Goods<'_>) -> Supply {
        self.source.with_goods(self.ground(), part, goods)
    }

    /// How many demands there are at most.
    pub fn demands_at_most(&self) -> usize {
        self.source.demands.at_most()
    }

    /// Up to when the demands that a plan keeps reach, where it does not keep all: see [`Plan::supplies`].
    pub fn kept_up_to(&self) -> Option<Moment> {
        self.source.kept_up_to
    }

    /// The demands of a part that is not bought.
    pub(super) fn made_demands(&self, part: PartId) -> Option<&[Demand]> {
        let made = self.source.made.get(&part).filter(|_| !self.plant.part(part).bought());
        made.map(|supply| supply.demands.as_slice())
    }

    /// A moment at which somebody needs bought parts, by its number.
    pub(super) fn slot(&self, number: u32) -> Slot {
        self.source.demands.slot(number)
    }

    fn ground(&self) -> Ground<'_> {
        Ground { plant: self.plant, owners: &self.pace.owners, runs: &self.runs }
    }
}
