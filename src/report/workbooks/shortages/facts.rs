//! What the buyer's sheets are drawn from, gathered once: deliveries and who takes them, what waits, and what is unsupplied.

use super::text::sum_of;
use super::unsupplied::{Unsupplied, unsupplied};
use super::waiting::{Coming, Waiting, stops_line};
use crate::base::{ChangeId, Date, Moment, OwnerId, PartId, Quantity, Total, UnitId};
use crate::check::{Part, Plant, Stock};
use crate::netting::{Cover, Demand};
use crate::plan::{self, Doubt, Plan, Trouble, UnitState};
use crate::supply::Covered;
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::{HashMap, HashSet};

/// Everything the buyer's sheets need beside the plan.
pub struct Facts<'p> {
    /// What all sheets are about.
    pub plan: &'p Plan<'p>,
    /// By part, then as they are taken.
    pub deliveries: Vec<Coming<'p>>,
    /// What is late or short, worst first: the coming week before what is later, what stops the line before the rest, then the
    /// first moment.
    pub troubles: Vec<Trouble>,
    /// What is late or short and needed by the end of the plan's day.
    pub today: Today,
    /// Units on hold.
    pub held: Vec<UnitId>,
    /// Units whose order is wrong.
    pub set_aside: Vec<UnitId>,
    /// What those would need.
    pub unsupplied: Unsupplied,
    /// The last day of the coming week.
    pub week: Date,
    /// The parts of which something is short.
    short: HashSet<PartId>,
    /// For each part that a change takes out of a bill, the first that does.
    goes_out: HashMap<PartId, ChangeId>,
    /// For each part on how many days something waits, and from when on.
    waits: HashMap<PartId, (usize, Moment)>,
    /// The stock on hold of each part that has any, by its rows.
    on_hold: HashMap<PartId, Vec<&'p Stock>>,
}

/// Who waits by the end of the plan's day.
#[derive(Default)]
pub struct Today {
    /// Those whose pieces wait on the line.
    pub on_line: HashSet<OwnerId>,
    /// Those whose pieces wait in a feeder shop.
    pub in_shops: HashSet<OwnerId>,
    /// How many parts they wait for.
    pub parts: usize,
}

impl Today {
    fn join(mut self, other: Self) -> Self {
        self.on_line.extend(other.on_line);
        self.in_shops.extend(other.in_shops);
        self.parts += other.parts;
        self
    }
}

fn goes_out(plant: &Plant) -> HashMap<PartId, ChangeId> {
    let mut first = HashMap::new();
    let out = plant.bill_lines().sorted_by_key(|line| line.row).filter_map(|line| Some((line.part, line.until?)));
    out.for_each(|(part, change)| _ = first.entry(part).or_insert(change));
    first
}

impl<'p> Facts<'p> {
    /// Gathers them.
    pub fn of(plan: &'p Plan<'p>) -> Self {
        let of_state =
            |state| plan.units.iter().filter(move |unit| unit.state == state).map(|unit| unit.unit).collect();
        let (held, set_aside): (Vec<UnitId>, Vec<UnitId>) = (of_state(UnitState::Hold), of_state(UnitState::SetAside));
        let unsupplied = unsupplied(plan.plant, &plan.pace, &held, &set_aside);
        let mut facts = Self {
            plan,
            deliveries: deliveries(plan),
            troubles: plan.troubles().to_vec(),
            today: Today::default(),
            held,
            set_aside,
            unsupplied,
            week: plan.week(),
            short: plan.troubles().iter().filter(|one| one.short.is_positive()).map(|one| one.part).collect(),
            goes_out: goes_out(plan.plant),
            waits: plan.troubles().iter().map(|trouble| (trouble.part, (trouble.days, trouble.since))).collect(),
            on_hold: on_hold(plan.plant),
        };
        let today = facts.troubles.par_iter().map(|trouble| facts.today(trouble.part));
        facts.today = today.collect::<Vec<_>>().into_iter().fold(Today::default(), Today::join);
        facts.troubles.sort_by_key(|one| (!one.soon, !stops_line(one), one.since, one.part));
        facts
    }

    /// The first change that takes a part out of a bill.
    pub fn goes_out(&self, part: PartId) -> Option<&'p str> {
        let change = self.goes_out.get(&part)?;
        Some(&self.plan.plant.changes[change.at()].code)
    }

    /// Who waits for a part by the end of the plan's day.
    fn today(&self, part: PartId) -> Today {
        let mut today = Today::default();
        let doubts = self.plan.doubts_before(part, self.plan.day.plus(1).midnight());
        for Doubt { demand, .. } in plan::waiting(&doubts) {
            let waits = if self.at_station(demand) { &mut today.on_line } else { &mut today.in_shops };
            waits.insert(demand.owner);
            today.parts = 1;
        }
        today
    }

    /// The pieces of a part that come too late or never, in order of need.
    pub fn waiting_for(&self, part: PartId) -> Vec<Waiting> {
        self.waiting(&self.plan.doubts(part))
    }

    /// Those of them that are needed before a moment.
    pub fn waiting_before(&self, part: PartId, until: Moment) -> Vec<Waiting> {
        self.waiting(&self.plan.doubts_before(part, until))
    }

    fn waiting(&self, doubts: &[Doubt]) -> Vec<Waiting> {
        let plan = self.plan;
        let mut waiting = Vec::new();
        let mut runs = plan.runs.in_turn();
        for pieces in doubts.chunk_by(|a, b| a.demand == b.demand) {
            let demand = pieces[0].demand;
            let picked = runs.serving(demand.need).map_or(demand.need, |run| run.picked);
            let late = pieces.iter().filter(|doubt| doubt.covered() != Covered::InTime);
            let in_time = demand.qty - sum_of(late.map(|doubt| doubt.qty));
            for &Doubt { qty, cover, available, .. } in plan::waiting(pieces) {
                let delivery = match cover {
                    Cover::Receipt(receipt) => Some(plan.deliveries.of_receipt(receipt)),
                    _ => None,
                };
                waiting.push(Waiting { demand, qty, in_time, delivery, available, picked });
            }
        }
        waiting
    }

    /// The last moment at which all of some demands' pieces save the line; `None` where none of them can stop it.
    pub fn saves_until<'d>(&self, demands: impl Iterator<Item = &'d Demand>) -> Option<Moment> {
        demands.filter_map(|demand| self.plan.saves_until(demand)).min()
    }

    /// The same of all that is taken of a delivery.
    pub fn delivery_saves_until(&self, coming: &Coming<'_>) -> Option<Moment> {
        coming.taken.last?;
        let supply = self.plan.supply(coming.delivery.part);
        let of_it = |cover| matches!(cover, Cover::Receipt(receipt) if self.plan.deliveries.of_receipt(receipt) == coming.number);
        let pieces = supply.pegged();
        self.saves_until(pieces.pieces().filter(|(_, peg)| of_it(peg.cover)).map(|(demand, _)| demand))
    }

    /// The day to order by: the last on which the stores are open, up to the last day for the lead time.
    pub fn order_by(&self, last: Date) -> Date {
        let plant = self.plan.plant;
        let (open, today) = (plant.stores_calendar().open_day_by(last), plant.as_of.date());
        if last >= today { open.max(today) } else { open }
    }

    /// The day by which something must be there that a balance wants on a day: the last on which the stores are open, up to that.
    pub fn wanted_on(&self, day: Date) -> Date {
        let open = self.plan.plant.stores_calendar().open_day_by(day);
        if day >= self.plan.plant.as_of.date() { open.max(self.plan.plant.as_of.date()) } else { open }
    }

    /// Whether something of a part is short.
    pub fn is_short(&self, part: PartId) -> bool {
        self.short.contains(&part)
    }

    /// The day on which something comes that is on the way so many days: the first on which the stores are open.
    pub fn comes(&self, days: u32) -> Date {
        let today = self.plan.plant.as_of.date();
        let comes = i32::try_from(days).map_or(today, |days| today.plus(days));
        self.plan.plant.stores_calendar().open_day_from(comes)
    }

    /// On how many days something waits for a part, and from when on; `None` where nothing does.
    pub fn waits(&self, part: PartId) -> Option<(usize, Moment)> {
        self.waits.get(&part).copied()
    }

    /// A part's stock on hold.
    pub fn on_hold(&self, part: PartId) -> &[&'p Stock] {
        self.on_hold.get(&part).map_or(&[], Vec::as_slice)
    }

    /// Whether a station of the line waits rather than a feeder shop.
    pub fn at_station(&self, demand: &Demand) -> bool {
        self.plan.plant.position(demand.to).is_some()
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
    pub fn deliveries_of(&self, part: PartId) -> &[Coming<'p>] {
        let first = self.plan.deliveries.first_of(part);
        &self.deliveries[first..first + self.plan.deliveries.of_part(part).len()]
    }
}

/// All deliveries with what is taken of them.
fn deliveries<'p>(plan: &'p Plan<'p>) -> Vec<Coming<'p>> {
    let parts = (0..plan.plant.parts.len()).map(PartId::of);
    let all = parts.flat_map(|part| plan.deliveries.of_part(part).iter().zip(&plan.account(part).taken));
    let coming = |(number, (delivery, taken))| Coming { number, delivery, taken };
    all.enumerate().map(coming).collect()
}

fn on_hold(plant: &Plant) -> HashMap<PartId, Vec<&Stock>> {
    let mut found: HashMap<PartId, Vec<&Stock>> = HashMap::new();
    let held = plant.stock.iter().filter(|row| row.hold.is_some() && row.qty.is_positive());
    held.for_each(|row| found.entry(row.part).or_default().push(row));
    found
}
