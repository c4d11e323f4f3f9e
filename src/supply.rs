//! Supply: every demand part by part against what there is, the balance by day, and which units are clear to build.

use crate::base::OwnerId;
use crate::base::{Date, Moment, PartId, Quantity, fold};
use crate::check::{Part, Plant, Receipt, Source};
use crate::line::Owner;
use crate::netting::{Cover, Demand, Lot, Netting, Peg, Stocks, in_order};
use std::collections::{BTreeMap, HashMap};

/// One day of a bought part's balance.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Balance {
    /// The part.
    pub part: PartId,
    /// The day.
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
    /// The balance, for bought parts.
    pub balances: Vec<Balance>,
    /// What is demanded later than the demands that are kept.
    pub later: Quantity,
}

impl Supply {
    /// All that is demanded.
    pub fn asked(&self) -> Quantity {
        self.demands.iter().map(|demand| demand.qty).sum::<Quantity>() + self.later
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

impl Peg {
    /// How well this piece is covered.
    pub fn covered(&self, need: Moment) -> Covered {
        match (self.cover, self.available) {
            (Cover::None, _) => Covered::Short,
            (_, Some(available)) if available > need => Covered::Late,
            _ => Covered::InTime,
        }
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
        by_part[receipt.part.at()].push(i as u32);
    }
    for list in &mut by_part {
        list.sort_by_cached_key(|i| order_taken(&plant.receipts[*i as usize]));
    }
    by_part
}

/// The order in which receipts of a part are taken.
pub fn order_taken(receipt: &Receipt) -> (Moment, String, u32) {
    (receipt.available, fold(&receipt.order), receipt.row)
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
    supply_ordered(plant, owners, part, demands, stocks, &[], lots)
}

/// Covers the demands of a part that is not made; they are in order already, and so are its receipts, by their index.
pub fn supply_ordered(
    plant: &Plant,
    owners: &[Owner],
    part: PartId,
    demands: Vec<Demand>,
    stocks: Stocks,
    open: &[(u32, &Receipt)],
    lots: HashMap<OwnerId, Vec<Lot>>,
) -> Supply {
    let on_hand = stocks.usable();
    let mut netting = Netting::new(stocks, owners).with_receipts(open.iter().copied()).with_lots(lots);
    let mut pegs = Vec::with_capacity(demands.len());
    for (i, demand) in demands.iter().enumerate() {
        let short = netting.serve(i as u32, demand, &mut pegs);
        if short.is_positive() {
            pegs.push(Peg { demand: i as u32, qty: short, cover: Cover::None, available: None });
        }
    }
    merge_alike(&mut pegs, open);
    let known = plant.part(part);
    let balances = if known.source == Source::Buy {
        let open = open.iter().map(|(_, receipt)| (receipt.day, receipt.qty));
        balances(part, known, plant.as_of.date(), on_hand, &demands, open)
    } else {
        Vec::new()
    };
    Supply { demands, pegs, balances, later: Quantity::ZERO }
}

/// Pegs of one demand alike in all but quantity are one, in the place of the first.
fn merge_alike(pegs: &mut Vec<Peg>, open: &[(u32, &Receipt)]) {
    let order = |i: u32| open.iter().find(|(other, _)| *other == i).map(|(_, receipt)| fold(&receipt.order));
    let alike = |one: &Peg, other: &Peg| match (one.cover, other.cover) {
        (Cover::Receipt(a), Cover::Receipt(b)) => one.available == other.available && (a == b || order(a) == order(b)),
        (a, b) => a == b && one.available == other.available,
    };
    let (mut kept, mut first) = (0, 0);
    for i in 0..pegs.len() {
        let peg = pegs[i];
        if kept == 0 || pegs[kept - 1].demand != peg.demand {
            first = kept;
        }
        match pegs[first..kept].iter_mut().rev().find(|other| alike(other, &peg)) {
            Some(other) => other.qty += peg.qty,
            None => {
                pegs[kept] = peg;
                kept += 1;
            }
        }
    }
    pegs.truncate(kept);
}

/// A bought part's balance by day, with orders planned where it would fall below the safety stock.
fn balances(
    id: PartId,
    part: &Part,
    today: Date,
    on_hand: Quantity,
    demands: &[Demand],
    receipts: impl Iterator<Item = (Date, Quantity)>,
) -> Vec<Balance> {
    let mut days: BTreeMap<Date, (Quantity, Quantity)> = BTreeMap::from([(today, Default::default())]);
    for of_day in demands.chunk_by(|a, b| a.need.date() == b.need.date()) {
        let gross = of_day.iter().map(|demand| demand.qty).sum::<Quantity>();
        days.entry(of_day[0].need.date().max(today)).or_default().0 += gross;
    }
    let mut later = Quantity::ZERO;
    for (date, qty) in receipts {
        days.entry(date.max(today)).or_default().1 += qty;
        later += qty;
    }
    let mut balance = on_hand;
    let mut out = Vec::new();
    for (&date, &(gross, arriving)) in &days {
        later -= arriving;
        balance = balance + arriving - gross;
        let lack = part.safety_stock - balance - later;
        let mut planned = Quantity::ZERO;
        if lack.is_positive() {
            let until = date.plus(i32::try_from(part.cover_days).unwrap_or(i32::MAX) - 1);
            let covered: Quantity =
                days.range(date.plus(1)..).take_while(|(day, _)| **day <= until).map(|(_, (gross, _))| *gross).sum();
            let least = (lack + covered).max(part.minimum_buy);
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
    out
}
