//! What the buyer's sheets are drawn from, gathered once: deliveries and who takes them, what waits, and what is unsupplied.

use super::text::sum_of;
use super::waiting::{Coming, Shortage, Taker, Waiting};
use crate::base::{ChangeId, Date, DestId, OwnerId, PartId, Quantity, Ratio, UnitId};
use crate::check::{DestKind, Part, Plant};
use crate::held::{self, Unsupplied};
use crate::netting::{Cover, Demand, Peg};
use crate::plan::{Outcome, Plan, UnitState};
use crate::supply::Covered;
use std::collections::HashMap;

/// Everything the buyer's sheets need beside the plan.
pub struct Facts<'p> {
    /// The plan.
    pub plan: &'p Plan<'p>,
    /// By part, then as they are taken.
    pub deliveries: Vec<Coming<'p>>,
    /// Worst first: the coming week before what is later, what stops the line before the rest, then the first moment.
    pub shortages: Vec<Shortage>,
    /// Units on hold.
    pub held: Vec<UnitId>,
    /// Units whose order is wrong.
    pub set_aside: Vec<UnitId>,
    /// What those would need.
    pub unsupplied: Unsupplied,
    /// The last day of the coming week.
    pub week: Date,
    /// For each part that a change takes out of a bill, the first that does.
    goes_out: HashMap<PartId, ChangeId>,
    /// What a piece does at worst that is not there, by whom and where it is for.
    outcomes: HashMap<Key, Outcome>,
    /// The numbers of the consequences that stop the line, by whom and where the piece is for, in their own order.
    stops: HashMap<Key, Vec<u32>>,
    /// For each part its shortage.
    short: HashMap<PartId, usize>,
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
        let week = plan.plant.as_of.date().plus(7);
        let (deliveries, shortages, short) = (deliveries(plan), Vec::new(), HashMap::new());
        let (goes_out, outcomes, stops) = (goes_out(plan.plant), outcomes(plan), stops(plan));
        let mut facts =
            Self { plan, deliveries, shortages, held, set_aside, unsupplied, week, goes_out, outcomes, stops, short };
        facts.find_waiting();
        facts.shortages.sort_by_key(|short| (!short.soon, !short.stops_line(), short.first.need, short.part));
        facts.short = facts.shortages.iter().enumerate().map(|(i, short)| (short.part, i)).collect();
        facts
    }

    /// The first change that takes a part out of a bill.
    pub fn goes_out(&self, part: PartId) -> Option<&'p str> {
        let change = self.goes_out.get(&part)?;
        Some(&self.plan.plant.changes[change.at()].code)
    }

    /// Finds the pieces that come too late or never, and who takes what of a delivery too late.
    fn find_waiting(&mut self) {
        let plan = self.plan;
        for of_part in plan.doubtful().chunk_by(|a, b| a.0.part == b.0.part) {
            let mut waiting: Vec<Waiting> = Vec::new();
            for pieces in of_part.chunk_by(|a, b| a.0 == b.0) {
                let demand = pieces[0].0;
                let picked = plan.runs.serving(demand.need).map_or(demand.need, |run| run.picked);
                let late = pieces.iter().map(|(_, peg)| peg).filter(|peg| peg.covered(demand.need) != Covered::InTime);
                let in_time = demand.qty - sum_of(late.clone().map(|peg| peg.qty));
                for &Peg { qty, cover, available, .. } in late {
                    let delivery = match cover {
                        Cover::Receipt(receipt) => Some(plan.deliveries.of_receipt(receipt)),
                        Cover::None => None,
                        _ => continue,
                    };
                    if let Some(delivery) = delivery {
                        self.deliveries[delivery].late.push(Taker { demand, qty, picked });
                    }
                    waiting.push(Waiting { demand, qty, in_time, delivery, available, picked });
                }
            }
            self.add_shortage(of_part[0].0.part, waiting);
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
    pub fn cost(&self, part: PartId, qty: Quantity) -> Option<Quantity> {
        let price = self.part(part).cost?;
        qty.times(Ratio::new(i128::from(price.millionths()), i128::from(Quantity::SCALE))?)
    }

    /// What held and set-aside units would need of a part; nothing where that is nothing.
    pub fn would_need(&self, part: PartId) -> Option<Quantity> {
        Some(self.unsupplied.needs[part.at()]).filter(|qty| qty.is_positive())
    }

    /// A part's deliveries, as they are taken.
    pub fn deliveries_of(&self, part: PartId) -> &[Coming<'p>] {
        let first = self.plan.deliveries.first_of(part);
        &self.deliveries[first..first + self.plan.deliveries.of_part(part).len()]
    }

    /// A part's shortage.
    pub fn shortage_of(&self, part: PartId) -> Option<&Shortage> {
        self.short.get(&part).map(|i| &self.shortages[*i])
    }

    /// The numbers of the consequences of a demand's pieces that stop the line.
    pub fn stops_for(&self, demand: &Demand) -> &[u32] {
        self.stops.get(&key(demand)).map_or(&[], Vec::as_slice)
    }
}

/// All deliveries with what is taken of them.
fn deliveries<'p>(plan: &'p Plan<'p>) -> Vec<Coming<'p>> {
    let parts = (0..plan.plant.parts.len()).map(PartId::of);
    let all = parts.flat_map(|part| plan.deliveries.of_part(part).iter().zip(&plan.account(part).taken));
    all.map(|(delivery, taken)| Coming { delivery, taken, late: Vec::new() }).collect()
}

fn outcomes(plan: &Plan<'_>) -> HashMap<Key, Outcome> {
    let mut worst: HashMap<Key, Outcome> = HashMap::new();
    for row in &plan.consequences {
        let known = worst.entry((row.owner, row.part, row.to)).or_insert(row.outcome);
        *known = row.outcome.max(*known);
    }
    worst
}

fn stops(plan: &Plan<'_>) -> HashMap<Key, Vec<u32>> {
    let mut stops: HashMap<Key, Vec<u32>> = HashMap::new();
    let rows = plan.consequences.iter().zip(0..).filter(|(row, _)| row.outcome == Outcome::StopsTheLine);
    rows.for_each(|(row, number)| stops.entry((row.owner, row.part, row.to)).or_default().push(number));
    stops
}
