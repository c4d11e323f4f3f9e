//! What a unit needs of a part, what covers it, and who took of the same stock or receipt before.

use super::asked::{Asked, ahead};
use super::facts::{CoverFacts, DemandFacts, Queue, StockFacts, Taker};
use crate::base::{PartId, Place, Quantity, Ratio, fold};
use crate::book::Table;
use crate::check::{Serves, Stock};
use crate::netting::{Cover, Demand, Peg};
use crate::plan::There;
use crate::plan::words::{cover_word, dest_code, job_name};
use crate::supply::Supply;
use itertools::Itertools;

/// So many of those who stood before are named.
const NAMED: usize = 3;

/// The unit's demands for a part, as they are served.
pub fn demands(asked: &Asked<'_>, part: PartId) -> Vec<DemandFacts> {
    let supply = asked.supply(part);
    let own = supply.demands.iter().enumerate().filter(|(_, demand)| Some(demand.owner) == asked.owner);
    own.map(|(i, demand)| facts(asked, &supply, i, demand)).collect()
}

fn facts(asked: &Asked<'_>, supply: &Supply, number: usize, demand: &Demand) -> DemandFacts {
    let (plan, plant) = (asked.plan, asked.plant);
    let part = plant.part(demand.part);
    let at_station = plan.pace.need(plant, asked.unit, demand.to) == Some(demand.need);
    let position = plant.position(demand.to).filter(|_| at_station);
    let arrives = position.and_then(|position| plan.pace.arrives(plant, asked.unit, position));
    let pegs = supply.pegs.iter().enumerate();
    let own = pegs.filter(|(_, peg)| peg.demand as usize == number);
    let run = plan.runs.serving(demand.need);
    DemandFacts {
        part: part.code.clone(),
        description: part.description.clone(),
        to: dest_code(plan, demand.to).to_owned(),
        to_name: plant.dest(demand.to).name.clone(),
        need: demand.need,
        qty: demand.qty,
        uom: part.uom.clone(),
        station: plant.position(demand.to).is_some(),
        arrives,
        ahead_minutes: Ratio::new(i128::from(ahead(plant, demand.to)), 60).unwrap_or(Ratio::ZERO),
        run: run.map(|run| run.leaves),
        picked: run.map(|run| run.picked),
        covers: own.map(|(at, peg)| cover(asked, supply, at, peg)).collect(),
    }
}

fn cover(asked: &Asked<'_>, supply: &Supply, at: usize, peg: &Peg) -> CoverFacts {
    let demand = &supply.demands[peg.demand as usize];
    let (plan, plant) = (asked.plan, asked.plant);
    let receipt = match peg.cover {
        Cover::Receipt(i) => plant.receipts.get(i as usize),
        _ => None,
    };
    let source = match (peg.cover, receipt) {
        (Cover::Job(i), _) => job_name(plan, &plan.jobs[i as usize]),
        (_, Some(receipt)) => receipt.order.clone(),
        _ => String::new(),
    };
    let picked = plan.runs.serving(demand.need).map(|run| run.picked);
    // Of what a job brings, its late material waited for.
    let there = plan.piece_there(demand, peg.cover, peg.available);
    let available = there.and_then(There::moment);
    let late_minutes = available.map_or(0, |at| demand.need.minutes_until(at));
    let after_picking = receipt.is_some() && picked.is_some_and(|picked| peg.available > Some(picked));
    let Stood { from, places, locations } = stood(asked, demand, peg.cover);
    CoverFacts {
        qty: peg.qty,
        cover: cover_word(peg.cover),
        source,
        available,
        late_minutes,
        not_known: there == Some(There::Unknown) && peg.cover != Cover::None,
        special_run: late_minutes == 0 && after_picking,
        due: receipt.map(|receipt| receipt.due),
        overdue: receipt.is_some_and(|receipt| receipt.overdue),
        not_promised: receipt.map_or("", |receipt| receipt.not_promised()),
        from,
        queue: from.is_some().then(|| queue(asked, supply, at, peg.cover)),
        places,
        locations,
    }
}

/// What there was before anybody took of it; nothing is said where nobody else could take of it.
#[derive(Default)]
struct Stood {
    from: Option<Quantity>,
    places: Vec<Place>,
    locations: Vec<String>,
}

impl Stood {
    fn of_stock(asked: &Asked<'_>, rows: &[&Stock]) -> Self {
        let named = rows.iter().filter(|row| !row.location.is_empty()).map(|row| row.location.clone());
        Self {
            from: Some(rows.iter().map(|row| row.qty).sum()),
            places: rows.iter().map(|row| asked.row(Table::Stock, row.row)).collect(),
            locations: named.unique().collect(),
        }
    }
}

/// What a cover was before anybody took of it; for what is short, all stock and receipts.
fn stood(asked: &Asked<'_>, demand: &Demand, cover: Cover) -> Stood {
    let plant = asked.plant;
    let (here, anyone) = (Serves::Place(demand.to), Serves::Anyone);
    let serving: &[Serves] = match cover {
        Cover::Reserved => &[Serves::Unit(asked.unit)],
        Cover::Lineside => &[here],
        Cover::Stock => &[anyone],
        Cover::None => &[here, anyone],
        Cover::Receipt(_) => return received(asked, cover),
        Cover::ByProduct | Cover::Job(_) => return Stood::default(),
    };
    let serves = |row: &&Stock| plant.serves(row).is_some_and(|whom| serving.contains(&whom));
    let rows = plant.stock.iter().filter(|row| row.part == demand.part).filter(serves).collect_vec();
    let mut stood = Stood::of_stock(asked, &rows);
    if cover == Cover::None {
        let receipts = plant.receipts.iter().filter(|row| row.part == demand.part).map(|row| row.qty);
        let all = rows.iter().map(|row| row.qty).chain(receipts).sum();
        stood = Stood { from: Some(all), ..Stood::default() };
    }
    stood
}

/// What an order brings at one moment.
fn received(asked: &Asked<'_>, cover: Cover) -> Stood {
    let alike = |row: &&crate::check::Receipt| same_receipt(asked, cover, row.part, &row.order, row.available);
    let rows = asked.plant.receipts.iter().filter(alike).collect_vec();
    Stood {
        from: Some(rows.iter().map(|row| row.qty).sum()),
        places: rows.iter().map(|row| asked.row(Table::Receipts, row.row)).collect(),
        locations: Vec::new(),
    }
}

/// Whether a receipt is one with that of a peg: of one order and there at one moment.
fn same_receipt(asked: &Asked<'_>, cover: Cover, part: PartId, order: &str, available: crate::base::Moment) -> bool {
    let Cover::Receipt(i) = cover else { return false };
    let own = &asked.plant.receipts[i as usize];
    own.part == part && own.available == available && fold(&own.order) == fold(order)
}

/// Who took of the same before; for what is short, all who were covered out of stock or receipts.
fn queue(asked: &Asked<'_>, supply: &Supply, at: usize, cover: Cover) -> Queue {
    let demand = &supply.demands[supply.pegs[at].demand as usize];
    let before = supply.pegs[..at].iter().filter(|peg| {
        let other = &supply.demands[peg.demand as usize];
        let same = match (cover, peg.cover) {
            (Cover::Lineside, Cover::Lineside) => other.to == demand.to,
            (Cover::Receipt(_), Cover::Receipt(i)) => {
                let row = &asked.plant.receipts[i as usize];
                same_receipt(asked, cover, row.part, &row.order, row.available)
            }
            (Cover::None, Cover::Stock | Cover::Receipt(_)) => true,
            (Cover::None, Cover::Lineside) => other.to == demand.to,
            (a, b) => a == b,
        };
        same && other.owner != demand.owner
    });
    let mut queue = Queue::default();
    let mut last = None;
    for peg in before {
        queue.qty += peg.qty;
        match queue.last.last_mut().filter(|_| last == Some(peg.demand)) {
            // Another piece of the same demand.
            Some(taker) => taker.qty += peg.qty,
            None => queue.last.push(taker(asked, &supply.demands[peg.demand as usize], peg.qty)),
        }
        last = Some(peg.demand);
    }
    queue.demands = queue.last.len();
    queue.last.drain(..queue.last.len().saturating_sub(NAMED));
    queue
}

/// A demand that took so much.
fn taker(asked: &Asked<'_>, demand: &Demand, qty: Quantity) -> Taker {
    let unit = asked.plan.pace.owners[demand.owner.at()].code.clone();
    Taker { unit, to: dest_code(asked.plan, demand.to).to_owned(), need: demand.need, qty }
}

/// The rows of a part's stock.
pub fn stock(plan: &crate::plan::Plan<'_>, part: PartId) -> Vec<StockFacts> {
    let plant = plan.plant;
    let rows = plant.stock.iter().filter(|row| row.part == part && row.qty.is_positive());
    rows.map(|row| StockFacts {
        qty: row.qty,
        location: row.location.clone(),
        lineside: row.lineside.map(|to| dest_code(plan, to).to_owned()),
        reserved: row.reserved.map(|unit| plant.units[unit.at()].code.clone()),
        hold: row.hold.clone(),
        place: plant.place(Table::Stock, row.row, ""),
    })
    .collect()
}
