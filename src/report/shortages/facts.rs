//! What the buyer's sheets are drawn from, gathered once: deliveries and who takes them, what waits, and what is unsupplied.

use super::waiting::{Delivery, Shortage, Taker, Waiting};
use crate::base::{ChangeId, Date, DestId, Moment, OwnerId, PartId, Quantity, Total, UnitId};
use crate::check::{DestKind, Part, Plant};
use crate::held::{self, Unsupplied};
use crate::netting::{Cover, Demand, Stocks};
use crate::plan::{Outcome, Plan, UnitState};
use crate::supply::{self, Covered};
use std::collections::HashMap;

/// Everything the buyer's sheets need beside the plan.
pub struct Facts<'p> {
    /// The plan.
    pub plan: &'p Plan<'p>,
    /// By part, then as they are taken.
    pub deliveries: Vec<Delivery<'p>>,
    /// Worst first: the coming week before what is later, what stops the line before the rest, then the first moment.
    pub shortages: Vec<Shortage>,
    /// Units on hold.
    pub held: Vec<UnitId>,
    /// Units whose order is wrong.
    pub set_aside: Vec<UnitId>,
    /// What those would need.
    pub unsupplied: Unsupplied,
    /// The usable stock of each part.
    pub on_hand: Vec<Quantity>,
    /// The last unit of the sequence, and when it leaves its line.
    pub end: Option<(UnitId, Moment)>,
    /// The last day of the coming week.
    pub week: Date,
    /// For each part that a change takes out of a bill, the first that does.
    goes_out: HashMap<PartId, ChangeId>,
    /// What a piece does at worst that is not there, by whom and where it is for.
    outcomes: HashMap<Key, Outcome>,
}

/// Whose piece of what it is, and where.
type Key = (OwnerId, PartId, DestId);

fn key(demand: &Demand) -> Key {
    (demand.owner, demand.part, demand.to)
}

fn goes_out(plant: &Plant) -> HashMap<PartId, ChangeId> {
    let mut first = HashMap::new();
    let out = plant.bills.iter().filter_map(|line| Some((line.part, line.until?)));
    out.for_each(|(part, change)| _ = first.entry(part).or_insert(change));
    first
}

impl<'p> Facts<'p> {
    /// Gathers them.
    pub fn of(plan: &'p Plan<'p>) -> Self {
        let of_state =
            |state| plan.units.iter().filter(move |unit| unit.state == state).map(|unit| unit.unit).collect();
        let (held, set_aside): (Vec<UnitId>, Vec<UnitId>) = (of_state(UnitState::Hold), of_state(UnitState::SetAside));
        let unsupplied = held::unsupplied(plan.plant, &plan.pace, &held, &set_aside);
        let on_hand = Stocks::of_all(plan.plant).iter().map(Stocks::usable).collect();
        let leaves = plan.units.iter().filter_map(|unit| Some((unit.times?.1, unit.unit)));
        let end = leaves.max_by_key(|(leaves, _)| *leaves).map(|(leaves, unit)| (unit, leaves));
        let week = plan.plant.as_of.date().plus(7);
        let (deliveries, shortages) = (Vec::new(), Vec::new());
        let (goes_out, outcomes) = (goes_out(plan.plant), outcomes(plan));
        let mut facts =
            Self { plan, deliveries, shortages, held, set_aside, unsupplied, on_hand, end, week, goes_out, outcomes };
        let row_of = facts.find_deliveries();
        facts.find_takers(&row_of);
        facts.shortages.sort_by_key(|short| (!short.soon, !short.stops_line(), short.first.need, short.part));
        facts
    }

    /// The first change that takes a part out of a bill.
    pub fn goes_out(&self, part: PartId) -> Option<&'p str> {
        let change = self.goes_out.get(&part)?;
        Some(&self.plan.plant.changes[change.at()].code)
    }

    /// Puts receipts that are one to the plan in one delivery; gives the delivery of each receipt.
    fn find_deliveries(&mut self) -> Vec<usize> {
        let plant = self.plan.plant;
        let mut row_of = vec![0; plant.receipts.len()];
        let by_part = supply::receipts_by_part(plant);
        for (i, list) in by_part.iter().enumerate() {
            let part = PartId::of(i);
            for &i in list {
                let receipt = &plant.receipts[i as usize];
                let last = self.deliveries.last_mut();
                match last.filter(|last| last.part == part && last.is_of(&receipt.order, receipt.available)) {
                    Some(last) => {
                        last.open += receipt.qty;
                        if receipt.due < last.due {
                            (last.due, last.timed) = (receipt.due, receipt.timed);
                        }
                    }
                    None => self.deliveries.push(Delivery {
                        part,
                        order: &receipt.order,
                        supplier: &receipt.supplier,
                        due: receipt.due,
                        timed: receipt.timed,
                        available: receipt.available,
                        overdue: receipt.overdue,
                        open: receipt.qty,
                        takers: Vec::new(),
                    }),
                }
                row_of[i as usize] = self.deliveries.len() - 1;
            }
        }
        row_of
    }

    fn find_takers(&mut self, row_of: &[usize]) {
        let plan = self.plan;
        for (i, supply) in plan.supplies.iter().enumerate() {
            let mut waiting: Vec<Waiting> = Vec::new();
            for of_demand in supply.pegs.chunk_by(|a, b| a.demand == b.demand) {
                let demand = supply.demands[of_demand[0].demand as usize];
                let picked = plan.runs.serving(demand.need).map_or(demand.need, |run| run.picked);
                let in_time = of_demand.iter().filter(|peg| peg.covered(demand.need) == Covered::InTime);
                let in_time: Quantity = in_time.map(|peg| peg.qty).sum();
                for peg in of_demand {
                    let late = peg.covered(demand.need) != Covered::InTime;
                    let delivery = match peg.cover {
                        Cover::Receipt(receipt) => Some(row_of[receipt as usize]),
                        Cover::None => None,
                        _ => continue,
                    };
                    if let Some(delivery) = delivery {
                        self.deliveries[delivery].takers.push(Taker { demand, qty: peg.qty, late, picked });
                    }
                    if late {
                        let (qty, available) = (peg.qty, peg.available);
                        waiting.push(Waiting { demand, qty, in_time, delivery, available, picked });
                    }
                }
            }
            self.add_shortage(PartId::of(i), waiting);
        }
    }

    fn add_shortage(&mut self, part: PartId, waiting: Vec<Waiting>) {
        let soon = waiting.first().is_some_and(|piece| piece.demand.need.date() <= self.week);
        let counts = || waiting.iter().filter(|piece| !soon || piece.demand.need.date() <= self.week);
        let outcome = |piece: &Waiting| self.outcomes.get(&key(&piece.demand)).copied();
        let stops = counts().find(|piece| outcome(piece) == Some(Outcome::StopsTheLine));
        let Some(first) = stops.or_else(|| counts().next()) else { return };
        let (first, outcome) = (first.demand, counts().filter_map(outcome).max());
        self.shortages.push(Shortage { part, first, outcome, soon, waiting });
    }

    /// Whether a station of the line waits rather than a feeder shop.
    pub fn at_station(&self, demand: &Demand) -> bool {
        matches!(self.plan.plant.dest(demand.to).what, DestKind::Station { .. })
    }

    /// A part.
    pub fn part(&self, id: PartId) -> &'p Part {
        self.plan.plant.part(id)
    }

    /// What so much of a part costs, where its price is known.
    pub fn cost(&self, part: PartId, qty: Quantity) -> Option<Total> {
        Some(Total::at(self.part(part).cost?, qty))
    }

    /// What held and set-aside units would need of a part; nothing where that is nothing.
    pub fn would_need(&self, part: PartId) -> Option<Total> {
        Some(self.unsupplied.needs[part.at()]).filter(|qty| *qty > Total::ZERO)
    }

    /// A part's deliveries, as they are taken.
    pub fn deliveries_of(&self, part: PartId) -> &[Delivery<'p>] {
        let first = self.deliveries.partition_point(|delivery| delivery.part < part);
        let last = self.deliveries.partition_point(|delivery| delivery.part <= part);
        &self.deliveries[first..last]
    }

    /// A part's shortage.
    pub fn shortage_of(&self, part: PartId) -> Option<&Shortage> {
        self.shortages.iter().find(|short| short.part == part)
    }
}

fn outcomes(plan: &Plan<'_>) -> HashMap<Key, Outcome> {
    let mut worst: HashMap<Key, Outcome> = HashMap::new();
    for row in &plan.consequences {
        let known = worst.entry((row.owner, row.part, row.to)).or_insert(row.outcome);
        *known = row.outcome.max(*known);
    }
    worst
}
