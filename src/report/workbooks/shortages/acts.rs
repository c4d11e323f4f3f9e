//! What to do, in this order: chase what is overdue, bring forward what comes too late, order what never comes.

use super::facts::Facts;
use super::waiting::{Coming, Waiting};
use crate::base::{Date, Moment, PartId, Quantity};
use crate::netting::Demand;
use crate::plan::Planned;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A step of a delivery: so much of it, all told, is wanted by a moment.
pub struct Step {
    /// When the run is picked that the pieces are for.
    pub by: Moment,
    /// How many by then, the earlier ones included.
    pub qty: Quantity,
    /// Who takes the pieces that this step adds.
    pub takers: Vec<Demand>,
}

/// An order that the balance asks for.
#[derive(Clone, Copy)]
pub struct Order {
    /// What is to be ordered.
    pub part: PartId,
    /// What is planned.
    pub planned: Planned,
    /// Whether the last day to order it is past.
    pub inside_lead_time: bool,
    /// The day on which the balance plans the part's next order.
    next: Option<Date>,
    /// Whether it is the part's first.
    is_first: bool,
}

/// A piece that is short.
#[derive(Clone, Copy)]
pub struct First {
    /// The need that nothing covers.
    pub demand: Demand,
    /// When its delivery run is picked.
    pub picked: Moment,
}

/// All that is to be done.
pub struct Acts<'f, 'p> {
    /// Overdue deliveries: those that something waits for first, by when.
    pub chase: Vec<&'f Coming<'p>>,
    /// Deliveries of which something must come before it is due, the soonest first.
    pub bring_forward: Vec<&'f Coming<'p>>,
    /// What should be ordered first, first.
    pub order: Vec<Order>,
}

impl Order {
    /// Whether it is its part's first.
    pub fn is_first(&self) -> bool {
        self.is_first
    }
}

impl<'f, 'p> Acts<'f, 'p> {
    /// Works them out.
    pub fn of(facts: &'f Facts<'p>) -> Self {
        let mut chase: Vec<_> = facts.deliveries.iter().filter(|coming| coming.delivery.overdue).collect();
        let first_pick = |coming: &Coming<'_>| coming.taken.first.first().map(|run| run.by);
        chase.sort_by_key(|coming| {
            (first_pick(coming).is_none(), first_pick(coming), coming.delivery.due, coming.delivery.part)
        });
        let late = facts.deliveries.iter().filter(|coming| !coming.delivery.overdue);
        let mut bring_forward: Vec<_> = late.filter(|coming| coming.taken.first_late.is_some()).collect();
        bring_forward.sort_by_key(|coming| (coming.taken.first_late, coming.delivery.part, coming.delivery.available));
        let parts = (0..facts.plan.plant.parts.len()).into_par_iter().map(PartId::of);
        let mut order: Vec<Order> = parts.flat_map_iter(|part| orders(facts, part)).collect();
        order.par_sort_by_key(|order| (order.planned.release, order.planned.day, order.part));
        Self { chase, bring_forward, order }
    }
}

/// The pieces of a delivery that come too late, all told by the picking of each run.
pub fn steps(facts: &Facts<'_>, coming: &Coming<'_>) -> Vec<Step> {
    let mut waiting = facts.waiting_for(coming.delivery.part);
    waiting.retain(|piece| piece.delivery == Some(coming.number));
    // A run that leaves later may be picked first.
    waiting.sort_by_key(|piece| piece.picked);
    let mut qty = Quantity::ZERO;
    let by_run = waiting.chunk_by(|a, b| a.picked == b.picked);
    let step = by_run.map(|pieces| {
        qty += pieces.iter().map(|piece| piece.qty).sum();
        Step { by: pieces[0].picked, qty, takers: pieces.iter().map(|piece| piece.demand).collect() }
    });
    step.collect()
}

/// The planned orders of a part, by day.
fn orders<'f>(facts: &'f Facts<'_>, part: PartId) -> impl Iterator<Item = Order> + 'f {
    let today = facts.plan.plant.as_of.date();
    let planned = &facts.plan.account(part).planned;
    planned.iter().enumerate().map(move |(i, &planned_now)| Order {
        part,
        planned: planned_now,
        inside_lead_time: planned_now.release < today,
        next: planned.get(i + 1).map(|next| next.day),
        is_first: i == 0,
    })
}

/// The first piece that is short without each of some orders; `None` where it only fills the safety stock.
pub fn firsts(facts: &Facts<'_>, orders: &[Order]) -> Vec<Option<First>> {
    let mut of_part: BTreeMap<PartId, Vec<usize>> = BTreeMap::new();
    orders.iter().enumerate().for_each(|(number, order)| of_part.entry(order.part).or_default().push(number));
    // Where supply is bad a part has very many such pieces: they are held for one part at a time.
    let of = |(part, numbers): (PartId, Vec<usize>)| {
        let mut short = facts.waiting_for(part);
        short.retain(|piece| piece.delivery.is_none());
        numbers.into_iter().map(|number| (number, first(&orders[number], &short))).collect::<Vec<_>>()
    };
    let found: Vec<(usize, Option<First>)> = of_part.into_par_iter().flat_map_iter(of).collect();
    let mut firsts = vec![None; orders.len()];
    found.into_iter().for_each(|(number, first)| firsts[number] = first);
    firsts
}

/// The first short piece that an order is for.
fn first(order: &Order, short: &[Waiting]) -> Option<First> {
    let need = |piece: &Waiting| piece.demand.need.date();
    // What is short before the first order is for that one.
    let from = if order.is_first { 0 } else { short.partition_point(|piece| need(piece) < order.planned.day) };
    let first = short.get(from).filter(|piece| order.next.is_none_or(|next| need(piece) < next))?;
    Some(First { demand: first.demand, picked: first.picked })
}
