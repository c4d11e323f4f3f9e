//! The projected balance of each bought part by day, and the orders it asks for.

use std::collections::BTreeMap;

use super::clock::day_of;
use super::numbers::{Millionths, round_up, round_up_to};
use super::plant::{Part, Plant, Source};
use super::sheets::Key;
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

pub fn balances(plant: &Plant, demands: &Demands) -> Vec<Balance> {
    let bought = plant.parts.iter().filter(|(_, part)| part.source == Source::Buy);
    bought.flat_map(|(key, part)| balances_of(plant, key, part, demands)).collect()
}

fn balances_of(plant: &Plant, key: &str, part: &Part, demands: &Demands) -> Vec<Balance> {
    let today = day_of(plant.settings.as_of);
    let events = events_of(plant, key, demands);
    let mut days: Vec<i64> = events.gross.keys().chain(events.receipts.keys()).copied().collect();
    days.push(today);
    days.sort();
    days.dedup();

    let mut balances = Vec::new();
    let mut available = usable_stock(plant, key);
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

fn usable_stock(plant: &Plant, key: &str) -> Millionths {
    let rows = plant.stock.iter().filter(|row| row.part == key && plant.stock_counts(row));
    rows.map(|row| row.qty).sum()
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
