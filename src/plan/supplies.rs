//! Each part's supply, worked out part by part: held where a plan is small, and made again where it is wanted. What is told
//! of a supply is told of the whole of it either way.

use super::Settled;
use super::account::{Account, Accounting};
use super::delays::Shops;
use super::demands::{Demands, Desk};
use super::doubts::{self, Doubt};
use super::found::{Found, Gathering, Passing};
use super::goods::Goods;
use super::packed;
use super::slots::Slot;
use crate::base::{Moment, PartId, Quantity, numbered};
use crate::check::{Plant, Receipt, Source};
use crate::line::Owner;
use crate::netting::{self, Cover, Demand, Lots, Peg, Stocks};
use crate::shops;
use crate::supply::{self, Supply};
use crate::waves::Runs;
use itertools::Itertools;
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::HashMap;
use std::ops::Range;

/// How many demands are held at most; the supplies of a plan with more are made again where they are wanted.
const MOST_HELD: usize = 1_500_000;

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
    /// All supplies, by part, where they are few enough to be held.
    held: Option<Vec<Supply>>,
}

/// That of a part nobody needs.
static NO_SUPPLY: Supply =
    Supply { demands: Vec::new(), pegs: Vec::new(), begins: Quantity::ZERO, balances: Vec::new() };

/// What the supplies of a plan are worked out against.
#[derive(Clone, Copy)]
pub(super) struct Ground<'g> {
    pub(super) plant: &'g Plant,
    pub(super) owners: &'g [Owner],
    pub(super) runs: &'g Runs,
}

/// What is wanted of a walk over all parts.
#[derive(Clone, Copy)]
pub(super) struct AskedOfWalk {
    /// How many demands there are at most where supplies are held.
    pub(super) held: Option<usize>,
    /// The needs whose pulls are packed are those before this moment.
    pub(super) pulls: Moment,
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
            } else if !plant.part(part).bought() && stocks[part.at()].in_stores().is_positive() {
                // What lies in the stores of a part that nobody asks for.
                let unasked = || Supply { begins: stocks[part.at()].in_stores(), ..Supply::default() };
                made.entry(part).or_insert_with(unasked);
            }
        }
        Self { demands, stocks, receipts, made, held: None }
    }

    /// Puts a part's supply into one that is there, and the slots of its demands on the desk where it is bought.
    fn put_part(&self, ground: Ground<'_>, part: PartId, desk: &mut Desk, supply: &mut Supply) {
        if !ground.plant.part(part).bought() {
            desk.slots.clear();
            *supply = self.made.get(&part).cloned().unwrap_or_default();
            return;
        }
        self.demands.of_part(part, desk, &mut supply.demands);
        let (stocks, receipts) = self.goods_of(ground, part);
        supply::cover_bought(ground.plant, ground.owners, part, stocks, &receipts, supply);
    }

    /// A part's usable stock, and its receipts in the order in which they are taken.
    pub(super) fn goods_of<'g>(&self, ground: Ground<'g>, part: PartId) -> (Stocks, Vec<(u32, &'g Receipt)>) {
        let receipts = self.receipts[part.at()].iter().map(|i| (*i, &ground.plant.receipts[*i as usize]));
        (self.stocks[part.at()].clone(), receipts.collect())
    }

    /// What lies in the stores of a part for anyone.
    pub(super) fn in_stores(&self, part: PartId) -> Quantity {
        self.stocks[part.at()].in_stores()
    }

    /// A part's supply.
    fn of_part(&self, ground: Ground<'_>, part: PartId) -> Supply {
        let mut supply = Supply::default();
        self.put_part(ground, part, &mut Desk::default(), &mut supply);
        supply
    }

    /// A bought part's supply with other stock and receipts, and its pieces that may not be there in time.
    fn with_goods(&self, ground: Ground<'_>, part: PartId, goods: &Goods<'_>) -> (Supply, doubts::OfPart) {
        let (mut supply, mut desk) = (Supply::default(), Desk::default());
        self.demands.of_part(part, &mut desk, &mut supply.demands);
        let own = self.receipts[part.at()].iter().map(|i| (*i, goods.receipts.at(*i as usize)));
        let added = goods.receipts.added().map(|(i, row)| (numbered(i), row)).filter(|(_, row)| row.part == part);
        let mut receipts = own.chain(added).collect_vec();
        receipts.sort_by(|(_, one), (_, other)| supply::order_taken(one, other));
        let stocks = Stocks::of_rows(ground.plant, goods.stock_of(part));
        supply::cover_bought(ground.plant, ground.owners, part, stocks, &receipts, &mut supply);
        let mut of_part = doubts::OfPart::default();
        for (number, doubt) in doubts::doubts(supply.pegged(), ground.runs) {
            of_part.push(desk.slots[number as usize], &doubt, false);
        }
        (supply, of_part)
    }

    /// The pieces that by-products cover.
    pub(super) fn by_products<'s>(&'s self, plant: &'s Plant, runs: &'s Runs) -> impl Iterator<Item = Doubt> + 's {
        let parts = (0..plant.parts.len()).map(PartId::of).filter(|part| plant.part(*part).source == Source::ByProduct);
        let made = parts.filter_map(|part| self.made.get(&part));
        let pieces = made.flat_map(|supply| doubts::doubts(supply.pegged(), runs).map(|(_, doubt)| doubt));
        pieces.filter(|doubt| doubt.cover == Cover::ByProduct)
    }

    /// Works out all parts once: how everything stands, what it comes to, and all pulls. Supplies are held, and pulls
    /// packed, as the plan is asked for.
    pub(super) fn walk(
        &mut self,
        ground: Ground<'_>,
        accounting: Accounting<'_>,
        with: Gathering<'_>,
        wanted: AskedOfWalk,
    ) -> Found {
        let hold = self.demands.at_most() <= wanted.held.unwrap_or(MOST_HELD);
        let parts = ground.plant.parts.len();
        let pieces = (parts / PIECE).clamp(1, rayon::current_num_threads() * 4);
        let piece = |i: usize| parts * i / pieces..parts * (i + 1) / pieces;
        let some = |i: usize| self.walk_some(ground, accounting, with, piece(i), hold, wanted.pulls);
        let found = (0..pieces).into_par_iter().map(some);
        let mut found: Vec<Found> = found.collect();
        let mut all = found.remove(0);
        found.into_iter().for_each(|more| all.join(more));
        self.held = hold.then(|| std::mem::take(&mut all.supplies));
        all
    }

    fn walk_some(
        &self,
        ground: Ground<'_>,
        accounting: Accounting<'_>,
        with: Gathering<'_>,
        parts: Range<usize>,
        hold: bool,
        pulls_before: Moment,
    ) -> Found {
        let mut found = Found::new(ground.owners.len());
        let (mut desk, mut supply, mut pulls) = (Desk::default(), Supply::default(), Vec::new());
        let mut passing = Passing::of(with);
        for part in parts {
            let id = PartId::of(part);
            self.put_part(ground, id, &mut desk, &mut supply);
            found.take(&mut passing, &supply, &desk.slots, self.slots_tell(ground.plant, id));
            found.accounts.push(Account::of(accounting, id, &supply));
            let pegged = supply.pegged().before(pulls_before);
            packed::pulls(id, &ground.plant.parts[part], pegged, &desk.slots, ground.runs, &mut pulls);
            found.pulls.push(pulls.clone());
            if hold {
                found.supplies.push(supply.clone());
            }
        }
        found
    }

    /// Whether a part's pieces at a station do what all do there that come at their time: each is fitted there, and no owner has two
    /// demands there.
    fn slots_tell(&self, plant: &Plant, part: PartId) -> bool {
        let known = plant.part(part);
        known.bought() && known.fit_by.is_none() && !self.demands.has_extras(part)
    }
}

impl Settled<'_> {
    /// Shows every part's whole supply, in the order of parts.
    pub fn each_supply(&self, mut visit: impl FnMut(&Supply)) {
        self.some_supplies(|some| some.iter().for_each(&mut visit));
    }

    /// The same, the supplies of some parts at a time.
    pub fn some_supplies(&self, mut visit: impl FnMut(&[Supply])) {
        if let Some(held) = &self.source.held {
            return visit(held);
        }
        let ground = self.ground();
        let parts = self.plant.parts.len();
        let mut some = vec![Supply::default(); AT_A_TIME];
        for from in (0..parts).step_by(AT_A_TIME) {
            let some = &mut some[..AT_A_TIME.min(parts - from)];
            some.par_iter_mut().enumerate().for_each_init(Desk::default, |desk, (i, supply)| {
                self.source.put_part(ground, PartId::of(from + i), desk, supply);
            });
            visit(some);
        }
    }

    /// A part's whole supply, held or made again.
    pub fn supply(&self, part: PartId) -> Cow<'_, Supply> {
        let again = || Cow::Owned(self.source.of_part(self.ground(), part));
        self.held(part).map_or_else(again, Cow::Borrowed)
    }

    /// A part's whole supply where the plan holds it: that of parts that are not bought in any case.
    pub(super) fn held(&self, part: PartId) -> Option<&Supply> {
        match &self.source.held {
            Some(held) => Some(&held[part.at()]),
            None if self.plant.part(part).bought() => None,
            None => Some(self.made(part)),
        }
    }

    /// The whole supply of a part that is not bought; nothing for one that is.
    pub fn made(&self, part: PartId) -> &Supply {
        self.source.made.get(&part).unwrap_or(&NO_SUPPLY)
    }

    /// A part's stock that is not on hold, wherever it lies and whomever it is reserved for.
    pub fn stock_not_on_hold(&self, part: PartId) -> Quantity {
        self.source.stocks[part.at()].all()
    }

    /// What a bought part's whole supply comes to.
    pub fn account(&self, part: PartId) -> &Account {
        &self.accounts[part.at()]
    }

    /// A bought part's whole supply with other stock and receipts.
    pub(super) fn supply_with(&self, part: PartId, goods: &Goods<'_>) -> (Supply, doubts::OfPart) {
        self.source.with_goods(self.ground(), part, goods)
    }

    /// A bought part's whole supply if these were its demands, in any order, no two of them alike in need, owner and place.
    pub fn supply_for(&self, part: PartId, mut demands: Vec<Demand>) -> Supply {
        netting::in_order(&mut demands);
        let mut supply = Supply { demands, ..Supply::default() };
        let ground = self.ground();
        let (stocks, receipts) = self.source.goods_of(ground, part);
        supply::cover_bought(self.plant, ground.owners, part, stocks, &receipts, &mut supply);
        supply
    }

    /// What extras ask for of a bought part.
    pub fn extras_for(&self, part: PartId) -> Vec<Demand> {
        self.source.demands.extras_for(part)
    }

    /// Whether what is needed at a moment has left the stores already.
    pub fn delivered(&self, need: Moment) -> bool {
        self.plant.delivered_to.zip(self.runs.serving(need)).is_some_and(|(to, run)| run.leaves <= to)
    }

    /// How many demands there are at most.
    pub fn demands_at_most(&self) -> usize {
        self.source.demands.at_most()
    }

    /// The demands of a part that is not bought.
    pub(super) fn made_demands(&self, part: PartId) -> Option<&[Demand]> {
        let made = self.source.made.get(&part).filter(|_| !self.plant.part(part).bought());
        made.map(|supply| supply.demands.as_slice())
    }

    /// The pieces of the parts that a job needs and that are not bought.
    pub(super) fn made_material(&self, job: u32) -> impl Iterator<Item = (&Demand, &Peg)> {
        let job = &self.jobs[job as usize];
        let (to, need) = (self.plant.shop(job.shop).dest, shops::material_need(self.plant, job));
        let parts = job.below.needs.iter().map(|(part, _)| *part).filter(|part| !self.plant.part(*part).bought());
        parts.flat_map(move |part| {
            let pegged = self.made(part).pegged();
            let pegs = pegged.find(need, job.owner, to).map_or(&[][..], |number| pegged.pegs_of(number));
            pegs.iter().map(move |peg| (&pegged.demands[peg.demand as usize], peg))
        })
    }

    /// A moment at which somebody needs bought parts, by its number.
    pub(super) fn slot(&self, number: u32) -> Slot {
        self.source.demands.slots()[number as usize]
    }

    /// All of them, in order.
    pub(super) fn slots(&self) -> &[Slot] {
        self.source.demands.slots()
    }

    /// That at which a job needs its material; none where that is issued or delivered.
    pub(super) fn slot_of_job(&self, job: u32) -> Option<u32> {
        self.source.demands.slot_of_job(job)
    }

    /// The jobs with who waits for which.
    pub(super) fn shops(&self) -> Shops<'_> {
        Shops { plant: self.plant, jobs: &self.jobs, links: &self.links }
    }

    pub(super) fn ground(&self) -> Ground<'_> {
        Ground { plant: self.plant, owners: &self.pace.owners, runs: &self.runs }
    }
}
