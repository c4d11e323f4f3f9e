//! What to do, in this order: chase what is overdue, bring forward what comes too late, order what never comes.

use super::facts::Facts;
use super::waiting::{Coming, Waiting};
use crate::base::{Date, Moment, PartId, Quantity};
use crate::netting::Demand;
use crate::plan::Planned;

/// A step of a delivery: so much of it, all told, is wanted by a moment.
pub struct Step {
    /// When the run is picked that the pieces are for.
    pub by: Moment,
    /// How many by then, the earlier ones included.
    pub qty: Quantity,
    /// Who takes the pieces that this step adds.
    pub takers: Vec<Demand>,
}

/// Some of a delivery that must come before it is due.
pub struct BringForward<'f, 'p> {
    /// What comes too late.
    pub coming: &'f Coming<'p>,
    /// How many by when.
    pub steps: Vec<Step>,
}

/// An order that the balance asks for.
pub struct Order<'f> {
    /// The part.
    pub part: PartId,
    /// How much.
    pub qty: Quantity,
    /// The day on which the balance needs it.
    pub day: Date,
    /// The last day to order it.
    pub release: Date,
    /// Whether that day is past.
    pub inside_lead_time: bool,
    /// The first piece that is short without it; `None` where it only fills the safety stock.
    pub first: Option<&'f Waiting>,
}

/// All that is to be done.
pub struct Acts<'f, 'p> {
    /// Overdue deliveries: those that something waits for first, by when.
    pub chase: Vec<&'f Coming<'p>>,
    /// The soonest first.
    pub bring_forward: Vec<BringForward<'f, 'p>>,
    /// What should be ordered first, first.
    pub order: Vec<Order<'f>>,
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
        let late = late.map(|coming| BringForward { coming, steps: steps(coming) });
        let mut bring_forward: Vec<_> = late.filter(|act| !act.steps.is_empty()).collect();
        let comes = |act: &BringForward<'_, '_>| (act.coming.delivery.part, act.coming.delivery.available);
        bring_forward.sort_by_key(|act| (act.steps[0].by, comes(act)));
        let parts = (0..facts.plan.plant.parts.len()).map(PartId::of);
        let mut order: Vec<Order<'f>> = parts.flat_map(|part| orders(facts, part)).collect();
        order.sort_by_key(|order| (order.release, order.day, order.part));
        Self { chase, bring_forward, order }
    }

    /// What is to be done about a part, in a few words.
    pub fn about(&self, part: PartId) -> String {
        let chase = self.chase.iter().filter(|coming| coming.delivery.part == part && coming.taken.last.is_some());
        let mut words: Vec<String> = chase.map(|coming| format!("chase {}", coming.delivery.order)).collect();
        for act in self.bring_forward.iter().filter(|act| act.coming.delivery.part == part) {
            let steps = act.steps.iter().map(|step| format!("{} by {}", step.qty, step.by.short()));
            words.push(format!("bring forward {}: {}", act.coming.delivery.order, super::text::few(steps, 3)));
        }
        for order in self.order.iter().filter(|order| order.part == part) {
            let inside = if order.inside_lead_time { ", inside lead time" } else { "" };
            words.push(format!("order {} for {}{inside}", order.qty, order.day.short()));
        }
        super::text::few(words.into_iter(), 4)
    }
}

/// The pieces of a delivery that come too late, all told by the picking of each run.
fn steps(coming: &Coming<'_>) -> Vec<Step> {
    let mut qty = Quantity::ZERO;
    let by_run = coming.late.chunk_by(|a, b| a.picked == b.picked);
    let step = by_run.map(|takers| {
        qty += takers.iter().map(|taker| taker.qty).sum();
        Step { by: takers[0].picked, qty, takers: takers.iter().map(|taker| taker.demand).collect() }
    });
    step.collect()
}

/// The planned orders of a part, each with the first short piece that it is for.
fn orders<'f>(facts: &'f Facts<'_>, part: PartId) -> impl Iterator<Item = Order<'f>> {
    let planned = &facts.plan.account(part).planned;
    let waiting = facts.shortage_of(part).filter(|_| !planned.is_empty()).map_or(&[][..], |short| &short.waiting);
    let short: Vec<&Waiting> = waiting.iter().filter(|piece| piece.delivery.is_none()).collect();
    let today = facts.plan.plant.as_of.date();
    planned.iter().enumerate().map(move |(i, &Planned { day, qty, release })| {
        let need = |piece: &Waiting| piece.demand.need.date();
        let next = planned.get(i + 1).map(|next| next.day);
        // What is short before the first order is for that one.
        let from = if i == 0 { 0 } else { short.partition_point(|piece| need(piece) < day) };
        let first = short.get(from).filter(|piece| next.is_none_or(|next| need(piece) < next));
        Order { part, qty, day, release, inside_lead_time: release < today, first: first.copied() }
    })
}
