//! The order of the shops: each after those it supplies and those whose by-products it uses.
//!
//! Rule `shop-order`.

use std::collections::{BTreeMap, BTreeSet};

use super::plant::{Plant, Source};
use super::sheets::Key;

/// What the jobs of a shop may take from other shops, and the by-products they give and use.
#[derive(Default)]
struct Trade {
    supplied_by: BTreeSet<Key>,
    gives: BTreeSet<Key>,
    uses: BTreeSet<Key>,
}

pub fn shop_order(plant: &Plant) -> Vec<Key> {
    let trades: BTreeMap<Key, Trade> = plant.shops.keys().map(|shop| (shop.clone(), trade_of(plant, shop))).collect();
    let mut order: Vec<Key> = Vec::new();
    while order.len() < trades.len() {
        let mut waiting = trades.keys().filter(|shop| !order.contains(shop));
        let ready = waiting.find(|shop| earlier(&trades, shop).iter().all(|other| order.contains(other)));
        order.push(ready.expect("no circle of shops").clone());
    }
    order
}

/// The shops that must come before a shop.
fn earlier(trades: &BTreeMap<Key, Trade>, shop: &str) -> Vec<Key> {
    let uses = &trades[shop].uses;
    let comes_before =
        |other: &Trade| other.supplied_by.contains(shop) || other.gives.intersection(uses).next().is_some();
    let others = trades.iter().filter(|(_, other)| comes_before(other));
    others.map(|(key, _)| key.clone()).collect()
}

fn trade_of(plant: &Plant, shop: &str) -> Trade {
    let mut trade = Trade::default();
    for (key, part) in &plant.parts {
        if part.source == Source::Make && part.shop == shop {
            look_below(plant, key, shop, &mut trade);
        }
    }
    trade
}

fn look_below(plant: &Plant, parent: &str, shop: &str, trade: &mut Trade) {
    for line in plant.lines_of(parent) {
        let part = &plant.parts[&line.part];
        match part.source {
            Source::ByProduct if line.gives => drop(trade.gives.insert(line.part.clone())),
            Source::ByProduct => drop(trade.uses.insert(line.part.clone())),
            Source::Phantom => look_below(plant, &line.part, shop, trade),
            Source::Make if part.shop != shop => drop(trade.supplied_by.insert(part.shop.clone())),
            Source::Make | Source::Buy => {}
        }
    }
}
