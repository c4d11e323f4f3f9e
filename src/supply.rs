//! Supply: every demand part by part against what there is, the balance by day, and which units are clear to build.
//!
//! Rules `cover-order`, `receipts`.

use crate::base::OwnerId;
use crate::base::{Date, DestId, Moment, PartId, Quantity, fold, numbered};
use crate::check::{Part, Plant, Receipt, Source};
use crate::line::Owner;
use crate::netting::{Cover, Demand, Lot, Netting, Peg, Stocks, in_order};
use rayon::prelude::*;
use std::cmp::Ordering;
use std::collections::HashMap;

/// One day of a bought part's balance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Balance {
    /// A bought part.
    pub part: PartId,
    /// A day on which something is needed, comes, or is to be ordered.
    pub date: Date,
    /// What is needed on it.
    pub gross: Quantity,
    /// What open receipts bring on it.
    pub receipts: Quantity,
    /// What is left at its end, the planned order included.
    pub available: Quantity,
    /// The order planned for it.
    pub planned: Quantity,
    /// When that order is to be released.
    pub release: Option<Date>,
}

/// One part's demands, what covers them, and its balance.
#[derive(Clone, Debug, Default)]
pub struct Supply {
    /// The demands in the order they are served.
    pub demands: Vec<Demand>,
    /// What covers them, in the order it is taken.
    pub pegs: Vec<Peg>,
    /// Where the balance begins: the stock that the demands can use, which is all that lies in the stores, and of reserved and
    /// lineside stock what they take of it.
    pub begins: Quantity,
    /// The balance, for bought parts.
    pub balances: Vec<Balance>,
}

impl Supply {
    /// All that is demanded.
    pub fn asked(&self) -> Quantity {
        self.demands.iter().map(|demand| demand.qty).sum()
    }

    /// Who needs it first by when, and how the worst piece of that need is covered.
    pub fn first(&self) -> Option<(Moment, OwnerId, Covered)> {
        let demand = self.demands.first()?;
        let covered = self.pegged().pegs_of(0).iter().map(|peg| peg.covered(demand.need)).max();
        Some((demand.need, demand.owner, covered.unwrap_or_default()))
    }

    /// When the first delivery is there of which something is taken.
    pub fn comes(&self) -> Option<Moment> {
        let delivered = self.pegs.iter().filter(|peg| matches!(peg.cover, Cover::Receipt(_)));
        delivered.filter_map(|peg| peg.available).min()
    }

    /// The demands with what covers them.
    pub fn pegged(&self) -> Pegged<'_> {
        Pegged { demands: &self.demands, pegs: &self.pegs }
    }
}

/// Demands of one part in the order they are served, and what covers them.
#[derive(Clone, Copy, Debug)]
pub struct Pegged<'s> {
    /// In order of need, rank and place.
    pub demands: &'s [Demand],
    /// What covers them, in the order of the demands.
    pub pegs: &'s [Peg],
}

impl<'s> Pegged<'s> {
    /// Every piece: a demand and what covers so much of it.
    pub fn pieces(self) -> impl Iterator<Item = (&'s Demand, &'s Peg)> + Clone {
        self.pegs.iter().map(move |peg| (&self.demands[peg.demand as usize], peg))
    }

    /// What covers a demand, by its number.
    pub fn pegs_of(self, demand: u32) -> &'s [Peg] {
        let first = self.pegs.partition_point(|peg| peg.demand < demand);
        let count = self.pegs[first..].partition_point(|peg| peg.demand == demand);
        &self.pegs[first..first + count]
    }

    /// The number of the demand of somebody at a place by a moment.
    pub fn find(self, need: Moment, owner: OwnerId, to: DestId) -> Option<u32> {
        let found =
            self.demands.binary_search_by_key(&(need, owner, to), |demand| (demand.need, demand.owner, demand.to));
        found.ok().map(numbered)
    }

    /// What is needed before a moment.
    #[must_use]
    pub fn before(self, until: Moment) -> Self {
        let demands = self.demands.partition_point(|demand| demand.need < until);
        let pegs = self.pegs.partition_point(|peg| (peg.demand as usize) < demands);
        Self { demands: &self.demands[..demands], pegs: &self.pegs[..pegs] }
    }
}

/// How well something is covered; the worst counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Covered {
    /// In time.
    #[default]
    InTime,
    /// There after it is needed.
    Late,
    /// Never there.
    Short,
}

impl Covered {
    /// In a word or two.
    pub fn word(self) -> &'static str {
        match self {
            Self::InTime => "in time",
            Self::Late => "late",
            Self::Short => "short",
        }
    }

    /// How well something is covered that is needed by a moment.
    pub fn of(cover: Cover, available: Option<Moment>, need: Moment) -> Self {
        match (cover, available) {
            (Cover::None, _) => Self::Short,
            (_, Some(available)) if available > need => Self::Late,
            _ => Self::InTime,
        }
    }
}

impl Peg {
    /// How well this piece is covered.
    pub fn covered(&self, need: Moment) -> Covered {
        Covered::of(self.cover, self.available, need)
    }

    /// Whether it is on hand, so that it is always in time.
    pub fn on_hand(&self) -> bool {
        matches!(self.cover, Cover::Reserved | Cover::Lineside | Cover::Stock)
    }

    /// By how many minutes it is late, rounded up; 0 where it is not.
    pub fn late_minutes(&self, need: Moment) -> i64 {
        self.available.map_or(0, |available| need.minutes_until(available))
    }
}

/// For each part its receipts, by their index, in the order in which they are taken.
pub fn receipts_by_part(plant: &Plant) -> Vec<Vec<u32>> {
    let mut by_part: Vec<Vec<u32>> = vec![Vec::new(); plant.parts.len()];
    for (i, receipt) in plant.receipts.iter().enumerate() {
        by_part[receipt.part.at()].push(numbered(i));
    }
    let receipt = |i: &u32| &plant.receipts[*i as usize];
    by_part.par_iter_mut().for_each(|list| list.sort_by(|one, other| order_taken(receipt(one), receipt(other))));
    by_part
}

/// The order in which receipts of a part are taken: by when they are there, order and row.
pub fn order_taken(one: &Receipt, other: &Receipt) -> Ordering {
    let by_order = || fold(&one.order).cmp(&fold(&other.order));
    one.available.cmp(&other.available).then_with(by_order).then(one.row.cmp(&other.row))
}

/// Covers the demands for a by-product.
pub fn supply(
    plant: &Plant,
    owners: &[Owner],
    part: PartId,
    mut demands: Vec<Demand>,
    stocks: Stocks,
    lots: HashMap<OwnerId, Vec<Lot>>,
) -> Supply {
    in_order(&mut demands);
    let mut supply = Supply { demands, ..Supply::default() };
    cover(plant, part, Netting::new(stocks, owners).with_lots(lots), &[], &mut supply);
    supply
}

/// Covers the demands of a part that is not made, in a supply that holds them already, in order, and nothing else that counts.
/// Its receipts come in the order in which they are taken, by their index.
pub fn cover_bought(
    plant: &Plant,
    owners: &[Owner],
    part: PartId,
    stocks: Stocks,
    open: &[(u32, &Receipt)],
    supply: &mut Supply,
) {
    let netting = Netting::new(stocks, owners).with_receipts(open.iter().copied());
    cover(plant, part, netting, open, supply);
}

fn cover(plant: &Plant, part: PartId, mut netting: Netting<'_>, open: &[(u32, &Receipt)], supply: &mut Supply) {
    let Supply { demands, pegs, begins, balances } = supply;
    serve(demands, &mut netting, open, pegs);
    balances.clear();
    *begins = netting.on_hand();
    let known = plant.part(part);
    if known.source == Source::Buy {
        let days = days(plant.as_of.date(), demands, open);
        balance(part, known, *begins, &days, balances);
    }
}

/// Covers the first demands of a part that is not made, all that come before the others: pegs for these, in order.
pub fn cover_first(
    owners: &[Owner],
    stocks: Stocks,
    open: &[(u32, &Receipt)],
    demands: &[Demand],
    pegs: &mut Vec<Peg>,
) {
    serve(demands, &mut Netting::new(stocks, owners).with_receipts(open.iter().copied()), open, pegs);
}

/// Serves demands one after the other.
fn serve(demands: &[Demand], netting: &mut Netting<'_>, open: &[(u32, &Receipt)], pegs: &mut Vec<Peg>) {
    pegs.clear();
    let mut taken_up_to = 0;
    for (i, demand) in demands.iter().enumerate().map(|(i, demand)| (numbered(i), demand)) {
        let first = pegs.len();
        let short = netting.serve(i, demand, pegs);
        if short.is_positive() {
            pegs.push(Peg { demand: i, qty: short, cover: Cover::None, available: None });
        }
        if pegs.len() > first + 1 {
            merge_alike(pegs, first, open, &mut taken_up_to);
        }
    }
}

/// Pegs of one demand alike in all but quantity are one: from its first peg on. Those alike stand side by side, since receipts
/// are taken by when they are there and order, and by-products by when they are free. `at` is where the receipts of the pegs
/// before end among the open ones.
fn merge_alike(pegs: &mut Vec<Peg>, first: usize, open: &[(u32, &Receipt)], at: &mut usize) {
    let mut order_of = |peg: &Peg| {
        let Cover::Receipt(i) = peg.cover else { return None };
        *at += open[*at..].iter().position(|(other, _)| *other == i)?;
        Some(open[*at].1.order.as_str())
    };
    let mut kept = first;
    let mut last_order = order_of(&pegs[first]);
    for i in first + 1..pegs.len() {
        let peg = pegs[i];
        let order = order_of(&peg);
        let last = &mut pegs[kept];
        let alike = match (last_order, order) {
            (Some(one), Some(other)) => one == other || fold(one) == fold(other),
            _ => last.cover == peg.cover,
        };
        if alike && last.available == peg.available {
            last.qty += peg.qty;
        } else {
            kept += 1;
            pegs[kept] = peg;
        }
        last_order = order;
    }
    pegs.truncate(kept + 1);
}

/// What is needed on a day, and what receipts bring on it.
struct Day {
    date: Date,
    gross: Quantity,
    arriving: Quantity,
}

/// The days on which something is needed or comes, today in any case; what was before that is today's.
fn days(today: Date, demands: &[Demand], open: &[(u32, &Receipt)]) -> Vec<Day> {
    let mut days = vec![Day { date: today, gross: Quantity::ZERO, arriving: Quantity::ZERO }];
    let mut left = demands;
    while let Some(first) = left.first() {
        let date = first.need.date();
        let end = date.plus(1).midnight();
        let more = left[1..].iter().take_while(|demand| demand.need < end).count();
        let (of_day, after) = left.split_at(1 + more);
        let gross = of_day.iter().map(|demand| demand.qty).sum();
        days.push(Day { date: date.max(today), gross, arriving: Quantity::ZERO });
        left = after;
    }
    let arriving = open.iter().map(|(_, receipt)| (receipt.day.max(today), receipt.qty));
    days.extend(arriving.map(|(date, arriving)| Day { date, gross: Quantity::ZERO, arriving }));
    days.sort_by_key(|day| day.date);
    days.dedup_by(|later, first| {
        let same = later.date == first.date;
        if same {
            first.gross += later.gross;
            first.arriving += later.arriving;
        }
        same
    });
    days
}

/// A bought part's balance by day, with orders planned where it would fall below the safety stock.
fn balance(id: PartId, part: &Part, begins: Quantity, days: &[Day], out: &mut Vec<Balance>) {
    let mut later = days.iter().map(|day| day.arriving).sum::<Quantity>();
    let mut balance = begins;
    for (i, &Day { date, gross, arriving }) in days.iter().enumerate() {
        later -= arriving;
        balance = balance + arriving - gross;
        let lack = part.safety_stock - balance - later;
        let mut planned = Quantity::ZERO;
        if lack.is_positive() {
            let until = date.plus(i32::try_from(part.cover_days).unwrap_or(i32::MAX) - 1);
            let covered = days[i + 1..].iter().take_while(|day| day.date <= until).map(|day| day.gross);
            let least = (lack + covered.sum::<Quantity>()).max(part.minimum_buy);
            planned = match part.buy_multiple {
                Some(multiple) => least.up_to_multiple(multiple),
                None => least.round_up(part.decimals),
            };
            balance += planned;
        }
        if gross.is_positive() || arriving.is_positive() || planned.is_positive() {
            let release = planned.is_positive().then(|| date.plus(-(part.lead_days as i32)));
            out.push(Balance { part: id, date, gross, receipts: arriving, available: balance, planned, release });
        }
    }
}
