//! The order in which shops are planned: after those they supply, and after those whose by-products they use.
//!
//! Rule `shop-order`.

use super::Draft;
use super::follow::without_phantoms;
use super::kinds::SHOP_CIRCLE;
use super::plant::{Plant, Source};
use crate::base::{Finding, Findings, PartId, ShopId};
use crate::book::Table;
use std::collections::{BTreeMap, BTreeSet};

impl Draft {
    pub(super) fn order_shops(&mut self, findings: &mut Findings) {
        let before = Before::of(&self.plant);
        let order = before.order();
        if order.len() < self.plant.shops.len() {
            report_circle(&self.plant, &before, &order, findings);
        }
        self.plant.shop_order = order;
    }
}

/// Which shop must be planned before which: for each shop those that it supplies, and those whose by-products it uses.
#[derive(Default)]
struct Before {
    /// For each shop those whose material it makes.
    supplied: Vec<BTreeSet<ShopId>>,
    /// The by-products that each shop uses.
    used: Vec<BTreeSet<PartId>>,
    /// The shops that give each by-product.
    givers: BTreeMap<PartId, BTreeSet<ShopId>>,
}

impl Before {
    fn of(plant: &Plant) -> Self {
        // In a book with errors a part may name a shop that is not there.
        let shops = plant.shops.len();
        let there = |shop: ShopId| shop.at() < shops;
        let mut before =
            Self { supplied: vec![BTreeSet::new(); shops], used: vec![BTreeSet::new(); shops], ..Self::default() };
        for part in &plant.parts {
            let Source::Make(shop) = part.source else { continue };
            if !there(shop) {
                continue;
            }
            for line in without_phantoms(plant, part.bill.clone()) {
                match plant.part(line.part).source {
                    Source::Make(supplier) if supplier != shop && there(supplier) => {
                        _ = before.supplied[supplier.at()].insert(shop)
                    }
                    Source::ByProduct if line.gives => _ = before.givers.entry(line.part).or_default().insert(shop),
                    Source::ByProduct => _ = before.used[shop.at()].insert(line.part),
                    _ => {}
                }
            }
        }
        before
    }

    /// The shops in order, of those that can come next always the first of the table; where some wait for each other, without
    /// these and what comes after them.
    fn order(&self) -> Vec<ShopId> {
        let mut supplies: Vec<Vec<ShopId>> = vec![Vec::new(); self.supplied.len()];
        let mut users: BTreeMap<PartId, Vec<ShopId>> = BTreeMap::new();
        let mut waits_for: Vec<usize> = Vec::new();
        for (i, (supplied, used)) in self.supplied.iter().zip(&self.used).enumerate() {
            supplied.iter().for_each(|before| supplies[before.at()].push(ShopId::of(i)));
            let used = used.iter().filter(|part| self.givers.contains_key(part));
            let used = used.map(|part| users.entry(*part).or_default().push(ShopId::of(i))).count();
            waits_for.push(supplied.len() + used);
        }
        // A by-product is there when the last shop that gives it has its place.
        let mut gives: Vec<Vec<PartId>> = vec![Vec::new(); self.supplied.len()];
        let mut not_given: BTreeMap<PartId, usize> = BTreeMap::new();
        for (part, givers) in &self.givers {
            givers.iter().for_each(|shop| gives[shop.at()].push(*part));
            not_given.insert(*part, givers.len());
        }
        let mut free: BTreeSet<ShopId> = (0..waits_for.len()).filter(|i| waits_for[*i] == 0).map(ShopId::of).collect();
        let mut order = Vec::new();
        while let Some(next) = free.pop_first() {
            order.push(next);
            let mut served = supplies[next.at()].clone();
            for part in &gives[next.at()] {
                let left = not_given.entry(*part).and_modify(|left| *left -= 1).or_default();
                if *left == 0 {
                    served.extend(users.get(part).into_iter().flatten());
                }
            }
            for shop in served {
                waits_for[shop.at()] -= 1;
                if waits_for[shop.at()] == 0 {
                    free.insert(shop);
                }
            }
        }
        order
    }
}

/// Tells a circle among the shops that have no place in the order.
fn report_circle(plant: &Plant, before: &Before, order: &[ShopId], findings: &mut Findings) {
    let mut waits = vec![true; plant.shops.len()];
    order.iter().for_each(|shop| waits[shop.at()] = false);
    let first = |shops: &BTreeSet<ShopId>| shops.iter().copied().find(|shop| waits[shop.at()]);
    let first_givers: BTreeMap<PartId, ShopId> =
        before.givers.iter().filter_map(|(part, givers)| Some((*part, first(givers)?))).collect();
    // Every waiting shop has a waiting shop before it: walking back must come around.
    let mut path: Vec<ShopId> = Vec::new();
    let mut place: Vec<Option<usize>> = vec![None; plant.shops.len()];
    let mut next = waits.iter().position(|waits| *waits).map(ShopId::of);
    while let Some(shop) = next.filter(|shop| place[shop.at()].is_none()) {
        place[shop.at()] = Some(path.len());
        path.push(shop);
        let givers = before.used[shop.at()].iter().filter_map(|part| first_givers.get(part).copied());
        next = first(&before.supplied[shop.at()]).into_iter().chain(givers).min();
    }
    let Some((last, start)) = next.and_then(|last| Some((last, place[last.at()]?))) else { return };
    let circle = path[start..].iter().chain([&last]);
    let names: Vec<&str> = circle.map(|shop| plant.shop_dest(*shop).code.as_str()).collect();
    let message =
        format!("these shops feed each other in a circle: {}; enter the benches as two shops", names.join(" > "));
    findings.add(Finding::new(&SHOP_CIRCLE, plant.place(Table::Shops, 0, ""), names[0], message));
}
