//! Where a part is used: every way from a floorplan, the units ahead, and how far what is on hand lasts.

mod calls;
pub mod facts;
mod paths;

pub use calls::all as calls;

use crate::base::{Date, PartId, Quantity};
use crate::book::{Book, Table};
use crate::calls::Calls;
use crate::netting::{Demand, Netting, Stocks};
use crate::plan::Plan;
use crate::plan::words::dest_code;
use crate::supply::{Covered, Supply, receipts_by_part};
use crate::why::{self, supply};
use facts::{Day, Hit, PlaceUse, ReceiptFacts, Uses};
use std::collections::BTreeMap;

/// Where a part is used.
pub fn uses(plan: &Plan<'_>, book: &Book, part: PartId) -> Uses {
    let calls = if plan.plant.part(part).bought() { calls(plan) } else { Calls::default() };
    uses_among(plan, book, part, &calls)
}

/// The same, where the plan's calls are known.
pub fn uses_among(plan: &Plan<'_>, book: &Book, part: PartId, calls: &Calls) -> Uses {
    let plant = plan.plant;
    let supply = supply(plan, part);
    let demands = &supply.demands;
    let stocks = std::mem::take(&mut Stocks::of_all(plant)[part.at()]);
    let (paths, idle) = paths::all(plan, book, part);
    let on = |code: &String| paths.iter().any(|path| path.floorplan == *code);
    Uses {
        book: book.name.to_string(),
        as_of: plant.as_of,
        part: why::part_facts(plant, part),
        not_on: plant.floorplans.iter().map(|floorplan| floorplan.code.clone()).filter(|code| !on(code)).collect(),
        paths,
        idle,
        days: days(plan, &supply),
        places: places(plan, demands),
        total: demands.iter().map(|demand| demand.qty).sum(),
        stock: why::stock(plan, part),
        usable: supply.begins,
        receipts: receipts(plan, part),
        calls: calls::about(plan, calls, part),
        first_hit: first_hit(plan, part, demands, stocks),
        first_wrong: first_wrong(plan, &supply),
    }
}

/// What units ahead need, by day; needs before the as-of date count on it, as in the balance.
fn days(plan: &Plan<'_>, supply: &Supply) -> Vec<Day> {
    let mut days: BTreeMap<Date, Day> = BTreeMap::new();
    let date = |demand: &Demand| demand.need.date().max(plan.plant.as_of.date());
    for demand in &supply.demands {
        let date = date(demand);
        let fresh = || Day { date, qty: Quantity::ZERO, units: Vec::new(), wrong: Quantity::ZERO };
        let day = days.entry(date).or_insert_with(fresh);
        day.qty += demand.qty;
        let unit = owner(plan, demand);
        if !day.units.contains(&unit) {
            day.units.push(unit);
        }
    }
    for peg in &supply.pegs {
        let demand = &supply.demands[peg.demand as usize];
        if peg.covered(demand.need) != Covered::InTime
            && let Some(day) = days.get_mut(&date(demand))
        {
            day.wrong += peg.qty;
        }
    }
    days.into_values().collect()
}

fn owner(plan: &Plan<'_>, demand: &Demand) -> String {
    plan.pace.owners[demand.owner.at()].code.clone()
}

/// The stations and shops it is needed at, in code order.
fn places(plan: &Plan<'_>, demands: &[Demand]) -> Vec<PlaceUse> {
    let mut places = BTreeMap::new();
    for demand in demands {
        let dest = plan.plant.dest(demand.to);
        let (to, name) = (dest.code.clone(), dest.name.clone());
        let place = places.entry(demand.to).or_insert(PlaceUse { to, name, demands: 0, qty: Quantity::ZERO });
        place.demands += 1;
        place.qty += demand.qty;
    }
    places.into_values().collect()
}

fn receipts(plan: &Plan<'_>, part: PartId) -> Vec<ReceiptFacts> {
    let plant = plan.plant;
    let open = std::mem::take(&mut receipts_by_part(plant)[part.at()]);
    let without = calls::without(plan, part);
    let rows = open.into_iter().map(|i| (plan.deliveries.of_receipt(i), &plant.receipts[i as usize]));
    rows.map(|(delivery, row)| ReceiptFacts {
        purchase_order: row.order.clone(),
        supplier: row.supplier.clone(),
        qty: row.qty,
        due: row.due,
        timed: row.timed,
        available: row.available,
        overdue: row.overdue,
        not_promised: row.not_promised(),
        without: without.get(&delivery).cloned(),
        place: plant.place(Table::Receipts, row.row, ""),
    })
    .collect()
}

/// The first demand that stock alone does not serve, all demands taken in order.
fn first_hit(plan: &Plan<'_>, part: PartId, demands: &[Demand], stocks: Stocks) -> Option<Hit> {
    if !plan.plant.part(part).bought() {
        return None;
    }
    let mut netting = Netting::new(stocks, &plan.pace.owners);
    let mut missing = demands.iter().map(|demand| (demand, netting.serve(0, demand, &mut Vec::new())));
    missing.find(|(_, missing)| missing.is_positive()).map(|(demand, missing)| hit(plan, demand, missing))
}

/// The first demand that is late or short as it is.
fn first_wrong(plan: &Plan<'_>, supply: &Supply) -> Option<Hit> {
    let wrong = |number: u32| {
        let need = supply.demands[number as usize].need;
        let pegs = supply.pegs.iter().filter(move |peg| peg.demand == number);
        pegs.filter(|peg| peg.covered(need) != Covered::InTime).map(|peg| peg.qty).sum::<Quantity>()
    };
    let first =
        supply.pegs.iter().find(|peg| peg.covered(supply.demands[peg.demand as usize].need) != Covered::InTime)?;
    Some(hit(plan, &supply.demands[first.demand as usize], wrong(first.demand)))
}

fn hit(plan: &Plan<'_>, demand: &Demand, missing: Quantity) -> Hit {
    let to = dest_code(plan, demand.to).to_owned();
    Hit { unit: owner(plan, demand), to, need: demand.need, qty: demand.qty, missing }
}
