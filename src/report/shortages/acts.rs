//! What to do, in this order: chase what is overdue, bring forward what comes too late, order what never comes.

use super::facts::Facts;
use super::waiting::{Delivery, Taker, Waiting};
use crate::base::{Date, Moment, PartId, Quantity};
use crate::netting::Demand;

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
    pub delivery: &'f Delivery<'p>,
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
    pub chase: Vec<&'f Delivery<'p>>,
    /// The soonest first.
    pub bring_forward: Vec<BringForward<'f, 'p>>,
    /// What should be ordered first, first.
    pub order: Vec<Order<'f>>,
}

impl<'f, 'p> Acts<'f, 'p> {
    /// Works them out.
    pub fn of(facts: &'f Facts<'p>) -> Self {
        let mut chase: Vec<_> = facts.deliveries.iter().filter(|delivery| delivery.overdue).collect();
        let first_pick = |delivery: &Delivery<'_>| delivery.takers.first().map(|taker| taker.picked);
        chase.sort_by_key(|delivery| {
            (first_pick(delivery).is_none(), first_pick(delivery), delivery.due, delivery.part)
        });
        let late = facts.deliveries.iter().filter(|delivery| !delivery.overdue);
        let late = late.map(|delivery| BringForward { delivery, steps: steps(delivery, |taker| taker.late) });
        let mut bring_forward: Vec<_> = late.filter(|act| !act.steps.is_empty()).collect();
        bring_forward.sort_by_key(|act| (act.steps[0].by, act.delivery.part, act.delivery.available));
        let mut order: Vec<Order<'f>> = facts.plan.supplies.iter().flat_map(|supply| orders(facts, supply)).collect();
        order.sort_by_key(|order| (order.release, order.day, order.part));
        Self { chase, bring_forward, order }
    }

    /// What is to be done about a part, in a few words.
    pub fn about(&self, part: PartId) -> String {
        let chase = self.chase.iter().filter(|delivery| delivery.part == part && !delivery.takers.is_empty());
        let mut words: Vec<String> = chase.map(|delivery| format!("chase {}", delivery.order)).collect();
        for act in self.bring_forward.iter().filter(|act| act.delivery.part == part) {
            let steps = act.steps.iter().map(|step| format!("{} by {}", step.qty, step.by.short()));
            words.push(format!("bring forward {}: {}", act.delivery.order, super::text::few(steps, 3)));
        }
        for order in self.order.iter().filter(|order| order.part == part) {
            let inside = if order.inside_lead_time { ", inside lead time" } else { "" };
            words.push(format!("order {} for {}{inside}", order.qty, order.day.short()));
        }
        super::text::few(words.into_iter(), 4)
    }
}

/// A delivery's pieces for some takers, all told by the picking of each run.
pub fn steps(delivery: &Delivery<'_>, wanted: impl Fn(&Taker) -> bool) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    let mut qty = Quantity::ZERO;
    for taker in delivery.takers.iter().filter(|taker| wanted(taker)) {
        qty += taker.qty;
        match steps.last_mut().filter(|step| step.by == taker.picked) {
            Some(step) => {
                step.qty = qty;
                step.takers.push(taker.demand);
            }
            None => steps.push(Step { by: taker.picked, qty, takers: vec![taker.demand] }),
        }
    }
    steps
}

/// The planned orders of a part, each with the first short piece that it is for.
fn orders<'f>(facts: &'f Facts<'_>, supply: &crate::supply::Supply) -> Vec<Order<'f>> {
    let planned: Vec<_> = supply.balances.iter().filter_map(|day| Some((day, day.release?))).collect();
    let Some((first, _)) = planned.first() else { return Vec::new() };
    let waiting = facts.shortage_of(first.part).map_or(&[][..], |short| &short.waiting);
    let today = facts.plan.plant.as_of.date();
    let order = planned.iter().enumerate().map(|(i, (day, release))| {
        let next = planned.get(i + 1).map(|(next, _)| next.date);
        let serves = |piece: &&Waiting| {
            let date = piece.demand.need.date();
            piece.delivery.is_none() && (i == 0 || date >= day.date) && next.is_none_or(|next| date < next)
        };
        Order {
            part: day.part,
            qty: day.planned,
            day: day.date,
            release: *release,
            inside_lead_time: *release < today,
            first: waiting.iter().find(serves),
        }
    });
    order.collect()
}
