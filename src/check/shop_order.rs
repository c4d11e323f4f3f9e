//! The order in which shops are planned: after those they supply, and after those whose by-products they use.

use super::Draft;
use super::kinds::SHOP_CIRCLE;
use super::plant::{BillLine, Plant, Source};
use crate::base::{Finding, Findings, PartId, ShopId};
use crate::book::Table;
use std::collections::{BTreeMap, BTreeSet};

/// Which shop must be planned before which.
type Edges = BTreeSet<(ShopId, ShopId)>;

impl Draft {
    pub(super) fn order_shops(&mut self, findings: &mut Findings) {
        let edges = edges(&self.plant);
        let mut waiting: BTreeSet<ShopId> = (0..self.plant.shops.len()).map(ShopId::of).collect();
        while !waiting.is_empty() {
            let free = |shop: &&ShopId| !edges.iter().any(|(before, after)| after == *shop && waiting.contains(before));
            let Some(&next) = waiting.iter().find(free) else {
                return report_circle(&self.plant, &edges, &waiting, findings);
            };
            waiting.remove(&next);
            self.plant.shop_order.push(next);
        }
    }
}

fn edges(plant: &Plant) -> Edges {
    let mut edges = Edges::new();
    let mut givers: BTreeMap<PartId, BTreeSet<ShopId>> = BTreeMap::new();
    let mut users: BTreeMap<PartId, BTreeSet<ShopId>> = BTreeMap::new();
    for part in &plant.parts {
        let Source::Make(shop) = part.source else { continue };
        for line in below(plant, &plant.bills[part.bill.clone()]) {
            match plant.part(line.part).source {
                Source::Make(supplier) if supplier != shop => {
                    edges.insert((shop, supplier));
                }
                Source::ByProduct if line.gives => {
                    givers.entry(line.part).or_default().insert(shop);
                }
                Source::ByProduct => {
                    users.entry(line.part).or_default().insert(shop);
                }
                _ => {}
            }
        }
    }
    for (part, shops) in &givers {
        let takers = users.get(part).into_iter().flatten();
        edges.extend(takers.flat_map(|taker| shops.iter().map(|giver| (*giver, *taker))));
    }
    edges
}

/// The lines of a bill, phantoms followed down.
pub(super) fn below<'a>(plant: &'a Plant, lines: &'a [BillLine]) -> Vec<&'a BillLine> {
    let mut found = Vec::new();
    let mut phantoms = BTreeSet::new();
    let mut open: Vec<&BillLine> = lines.iter().collect();
    while let Some(line) = open.pop() {
        let part = plant.part(line.part);
        if part.source != Source::Phantom {
            found.push(line);
        } else if phantoms.insert(line.part) {
            open.extend(&plant.bills[part.bill.clone()]);
        }
    }
    found
}

fn report_circle(plant: &Plant, edges: &Edges, waiting: &BTreeSet<ShopId>, findings: &mut Findings) {
    // Every waiting shop has a waiting shop before it: walking back must come around.
    let mut path: Vec<ShopId> = waiting.first().copied().into_iter().collect();
    let start = loop {
        let Some(&last) = path.last() else { return };
        let before = edges.iter().find(|(before, after)| *after == last && waiting.contains(before));
        let Some((before, _)) = before else { return };
        if let Some(at) = path.iter().position(|shop| shop == before) {
            path.push(*before);
            break at;
        }
        path.push(*before);
    };
    let names: Vec<&str> = path[start..].iter().map(|shop| plant.shop_dest(*shop).code.as_str()).collect();
    let message =
        format!("these shops feed each other in a circle: {}; enter the benches as two shops", names.join(" > "));
    findings.add(Finding::new(&SHOP_CIRCLE, plant.place(Table::Shops, 0, ""), names[0], message));
}
