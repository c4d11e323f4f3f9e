//! The projected balance of each bought part by day, and the orders it asks for.
//!
//! Rules `balance`, `planned-orders`.

use std::collections::BTreeMap;

use super::clock::day_of;
use super::numbers::{Millionths, round_up, round_up_to};
use super::plant::{Part, Plant, Source};
use super::sheets::Key;
use super::stock::Lying;
use super::supply::{Cover, Peg};
use super::wants::Demands;

/// One part on one day.
#[derive(Clone, Debug)]
pub struct Balance {
    pub part: Key,
    pub day: i64,
    pub gross: Millionths,
    pub receipts: Millionths,
    pub available: Millionths,
    pub planned: Millionths,
    pub release_day: i64,
}

/// What happens to one part, by day.
#[derive(Default)]
struct Events {
    gross: BTreeMap<i64, Millionths>,
    receipts: BTreeMap<i64, Millionths>,
}

pub fn balances(plant: &Plant, demands: &Demands, pegs: &[Peg]) -> Vec<Balance> {
    let bought = plant.parts.iter().filter(|(_, part)| part.source == Source::Buy);
    bought.flat_map(|(key, part)| balances_of(plant, key, part, demands, pegs)).collect()
}

fn balances_of(plant: &Plant, key: &str, part: &Part, demands: &Demands, pegs: &[Peg]) -> Vec<Balance> {
    let today = day_of(plant.settings.as_of);
    let events = events_of(plant, key, demands);
    let mut days: Vec<i64> = events.gross.keys().chain(events.receipts.keys()).copied().collect();
    days.push(today);
    days.sort();
    days.dedup();

    let mut balances = Vec::new();
    let mut available = in_stores(plant, key) + taken_elsewhere(pegs, key);
    for day in days {
        let gross = events.gross.get(&day).copied().unwrap_or(0);
        let receipts = events.receipts.get(&day).copied().unwrap_or(0);
        available += receipts - gross;
        let planned = planned_order(part, &events, day, available);
        available += planned;
        if gross > 0 || receipts > 0 || planned > 0 {
            let (part, release_day) = (key.to_string(), day - part.lead_days);
            balances.push(Balance { part, day, gross, receipts, available, planned, release_day });
        }
    }
    balances
}

fn events_of(plant: &Plant, key: &str, demands: &Demands) -> Events {
    let today = day_of(plant.settings.as_of);
    let mut events = Events::default();
    for (demand, qty) in demands.iter().filter(|(demand, _)| demand.part == key) {
        *events.gross.entry(day_of(demand.need).max(today)).or_default() += qty;
    }
    for row in plant.receipts.iter().filter(|row| row.part == key && row.qty > 0) {
        *events.receipts.entry(row.day).or_default() += row.qty;
    }
    events
}

/// What there is to say of reserved and lineside stock of bought parts.
pub fn cases(plant: &Plant, pegs: &[Peg]) -> Vec<&'static str> {
    let mut cases = Vec::new();
    for (key, _) in plant.parts.iter().filter(|(_, part)| part.source == Source::Buy) {
        let rows = plant.stock.iter().filter(|row| row.part == *key && plant.stock_counts(row));
        let all: Millionths = rows.map(|row| row.qty).sum();
        let taken = taken_elsewhere(pegs, key);
        let is_left = all > in_stores(plant, key) + taken;
        let is_short = pegs.iter().any(|peg| peg.demand.part == *key && peg.is_short());
        cases.extend((taken > 0).then_some("reserved or lineside stock that is taken"));
        cases.extend(is_left.then_some("reserved or lineside stock that is left"));
        cases.extend((is_left && taken > 0).then_some("reserved or lineside stock of which some is taken"));
        cases.extend((is_left && is_short).then_some("short beside reserved or lineside stock"));
    }
    cases
}

/// The stock that lies in the stores, for anybody.
pub fn in_stores(plant: &Plant, key: &str) -> Millionths {
    let rows = plant.stock.iter().filter(|row| row.part == key && plant.stock_counts(row));
    rows.filter(|row| row.unit.is_none() && row.at.is_none()).map(|row| row.qty).sum()
}

/// What demands take of reserved and lineside stock.
pub fn taken_elsewhere(pegs: &[Peg], key: &str) -> Millionths {
    let taken = |peg: &&Peg| matches!(peg.cover, Cover::Lying(Lying::Reserved | Lying::Lineside));
    pegs.iter().filter(|peg| peg.demand.part == key).filter(taken).map(|peg| peg.qty).sum()
}

/// What must be ordered for a day, all later receipts brought forward first.
fn planned_order(part: &Part, events: &Events, day: i64, available: Millionths) -> Millionths {
    let later: Millionths = events.receipts.range(day + 1..).map(|(_, qty)| qty).sum();
    let lack = part.safety_stock - available - later;
    if lack <= 0 {
        return 0;
    }
    let covered = day + 1..day + part.cover_days.max(1);
    let ahead: Millionths = events.gross.range(covered).map(|(_, qty)| qty).sum();
    let wanted = (lack + ahead).max(part.minimum_buy);
    match part.buy_multiple {
        Some(multiple) => round_up_to(wanted, multiple),
        None => round_up(wanted, part.decimals),
    }
}
