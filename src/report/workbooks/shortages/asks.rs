//! What a supplier is asked for: one call, one sentence.

use super::acts::{self, Acts, Order, Step};
use super::facts::Facts;
use super::order;
use super::text::{amount, due_words, supplier_name, who};
use super::waiting::Coming;
use crate::base::{Moment, PartId, Quantity};
use crate::calls::{Call, Calls, Source};
use crate::check::Part;
use crate::netting::{Cover, Demand};
use crate::plan::Leaning;
use crate::report::call_words::{self, sent};
use rayon::prelude::*;
use std::collections::HashMap;

/// So many dates of a call are named.
const DATES: usize = 2;

/// A delivery whose moment nobody promised, and that something picked by the end of the plan's day waits for.
pub struct Unsure<'f, 'p> {
    coming: &'f Coming<'p>,
    qty: Quantity,
    first: Demand,
    picked: Moment,
}

/// What a call is about.
pub enum About<'f, 'p> {
    /// An overdue delivery that something leans on.
    Chase(&'f Coming<'p>),
    /// A delivery of which something must come sooner.
    BringForward(&'f Coming<'p>),
    /// What no delivery covers.
    Order(&'f Order),
    /// A moment that nobody promised.
    Confirm(Unsure<'f, 'p>),
}

/// A call.
pub struct Ask<'f, 'p> {
    /// What it is about.
    pub about: About<'f, 'p>,
    /// What the line loses for it, where it stops it.
    pub worth: Option<&'f Call>,
}

/// All calls but routine orders: of parts of which nothing is short.
pub fn asks<'f, 'p>(facts: &'f Facts<'p>, acts: &'f Acts<'f, 'p>, calls: &'f Calls) -> Vec<Ask<'f, 'p>> {
    let worth: HashMap<(PartId, Source), &Call> =
        calls.calls.iter().rev().map(|call| ((call.part, call.source), call)).collect();
    let of = |coming: &Coming<'_>| worth.get(&(coming.delivery.part, Source::Delivery(coming.number))).copied();
    let leaned = acts.chase.iter().filter(|coming| coming.taken.last.is_some());
    let chase = leaned.map(|coming| Ask { about: About::Chase(coming), worth: of(coming) });
    let forward = acts.bring_forward.iter().map(|coming| Ask { about: About::BringForward(coming), worth: of(coming) });
    let short = acts.order.iter().filter(|order| facts.is_short(order.part));
    let orders = short.map(|order| {
        let worth = worth.get(&(order.part, Source::Order)).copied().filter(|_| order.is_first());
        Ask { about: About::Order(order), worth }
    });
    let unsure = unsure(facts).into_iter().map(|one| Ask { about: About::Confirm(one), worth: None });
    chase.chain(forward).chain(orders).chain(unsure).collect()
}

/// Deliveries that come by the end of the plan's day, whose moment nobody promised, and of which something is picked by then.
fn unsure<'f, 'p>(facts: &'f Facts<'p>) -> Vec<Unsure<'f, 'p>> {
    let plan = facts.plan;
    let end = plan.day.plus(1).midnight();
    let until = plan.runs.end_of(|run| run.picked < end);
    let open = facts.deliveries.par_iter().filter(|coming| {
        let delivery = coming.delivery;
        let asked = delivery.overdue || coming.taken.first_late.is_some();
        !asked && delivery.available < end && !delivery.not_promised().is_empty() && coming.taken.qty.is_positive()
    });
    let of = |coming: &'f Coming<'p>| {
        let near = plan.near(coming.delivery.part, until);
        let of_it =
            |cover| matches!(cover, Cover::Receipt(receipt) if plan.deliveries.of_receipt(receipt) == coming.number);
        let picked = |demand: &Demand| plan.runs.serving(demand.need).map_or(demand.need, |run| run.picked);
        let pieces = near.pegged();
        let pieces = pieces.pieces().filter(|(demand, peg)| of_it(peg.cover) && picked(demand) < end);
        let first = *pieces.clone().map(|(demand, _)| demand).min_by_key(|demand| picked(demand))?;
        let qty = pieces.map(|(_, peg)| peg.qty).sum();
        Some(Unsure { coming, qty, first, picked: picked(&first) })
    };
    open.filter_map(of).collect()
}

impl<'p> Ask<'_, 'p> {
    /// In a word or two.
    pub fn what(&self) -> &'static str {
        match self.about {
            About::Chase(_) => "chase",
            About::BringForward(_) => "bring forward",
            About::Order(_) => "order",
            About::Confirm(_) => "confirm",
        }
    }

    /// What is asked for.
    pub fn part(&self) -> PartId {
        match &self.about {
            About::Chase(coming) | About::BringForward(coming) => coming.delivery.part,
            About::Order(order) => order.part,
            About::Confirm(one) => one.coming.delivery.part,
        }
    }

    /// Who is called.
    pub fn supplier(&self, facts: &Facts<'p>) -> &'p str {
        match &self.about {
            About::Chase(coming) | About::BringForward(coming) => coming.delivery.supplier,
            About::Order(order) => &facts.part(order.part).supplier,
            About::Confirm(one) => one.coming.delivery.supplier,
        }
    }

    /// By when: the last moment that saves the line, or else the picking of the first run; of what can still be ordered in time the day to
    /// order by.
    pub fn urgent(&self, facts: &Facts<'_>) -> Moment {
        if let About::Order(order) = &self.about
            && !order.inside_lead_time
        {
            return facts.order_by(order.planned.release).midnight();
        }
        let saves = self.worth.and_then(|call| call.saves_until);
        let else_by = match &self.about {
            About::Chase(coming) => coming.taken.first.first().map(|run| run.by),
            About::BringForward(coming) => coming.taken.first_late,
            About::Order(order) => Some(order.planned.day.midnight()),
            About::Confirm(one) => Some(one.picked),
        };
        saves.or(else_by).unwrap_or(Moment::NEVER)
    }

    /// What the line loses if this alone fails, and with which other calls it saves.
    pub fn fails(&self, facts: &Facts<'_>, calls: &Calls) -> String {
        let Some(call) = self.worth else {
            // Of an order that follows another, and of a moment to confirm, this is told elsewhere.
            let told = match (&self.about, calls.left_out) {
                (About::Order(_) | About::Confirm(_), _) => "",
                (_, 0) => "nothing",
                _ => "not worked out",
            };
            return told.to_owned();
        };
        let alone = call_words::short_worth(&call.alone);
        let Some(block) = call.block.map(|block| &calls.blocks[block]) else { return alone };
        let others = block.calls.iter().map(|other| &calls.calls[*other]);
        let others = others.filter(|other| (other.part, other.source) != (call.part, call.source));
        let others = super::text::few(others.map(|other| facts.part(other.part).code.clone()), 3).replace("; ", ", ");
        format!("{alone}; with {others} it saves {}", call_words::saved(&block.saves))
    }

    /// What to say to the supplier, or on the order: how much of what by when, and what it saves.
    pub fn sentence(&self, facts: &Facts<'_>) -> String {
        match &self.about {
            About::Chase(coming) => {
                let steps = coming.taken.first.iter().map(|run| of_run(facts, run));
                let more = coming.taken.runs.saturating_sub(DATES);
                let of_it = (facts.part(self.part()), coming.delivery.open);
                let steps = told(steps, more, coming.taken.qty, coming.taken.last, of_it);
                format!("{}: ask for {steps}; for the rest a date.", of(facts, coming))
            }
            About::BringForward(coming) => {
                let steps = acts::steps(facts, coming);
                let (all, last) = steps.last().map_or((Quantity::ZERO, None), |step| (step.qty, Some(step.by)));
                let more = steps.len().saturating_sub(DATES);
                let of_it = (facts.part(self.part()), coming.delivery.open);
                let told = told(steps.iter().map(|step| of_step(facts, step)), more, all, last, of_it);
                let open = coming.delivery.open;
                let rest =
                    if sent(facts.part(self.part()), all, Some(open)) < open { "; the rest as ordered" } else { "" };
                format!("{}: ask for {told}{rest}.", of(facts, coming))
            }
            About::Order(order) => new_order(facts, order),
            About::Confirm(one) => {
                let (delivery, part) = (one.coming.delivery, facts.part(self.part()));
                let (qty, uom) = (sent(part, one.qty, Some(delivery.open)), &part.uom);
                format!(
                    "{}: ask whether it is there by {}; of it {qty} {uom} for runs picked from {} on, {} first.",
                    of(facts, one.coming),
                    delivery.available.short(),
                    one.picked.short(),
                    who(facts, &one.first)
                )
            }
        }
    }
}

/// A date of a call: so many, all told, by a moment, and until when they save the line.
struct Told {
    qty: Quantity,
    by: Moment,
    now: bool,
    saves: Option<Moment>,
}

fn of_run(facts: &Facts<'_>, run: &Leaning) -> Told {
    let saves = facts.saves_until(run.takers.iter());
    Told { qty: run.qty, by: run.by, now: run.by <= facts.plan.plant.as_of, saves }
}

fn of_step(facts: &Facts<'_>, step: &Step) -> Told {
    let saves = facts.saves_until(step.takers.iter());
    Told { qty: step.qty, by: step.by, now: step.by <= facts.plan.plant.as_of, saves }
}

/// `1 ea by Tue 14 Sep 06:30, at the last 09:40; then 2 more by Tue 14 Sep 08:30; 84 ea in all by Wed 6 Oct 04:30`
fn told(
    steps: impl Iterator<Item = Told>,
    more: usize,
    all: Quantity,
    last: Option<Moment>,
    (part, open): (&Part, Quantity),
) -> String {
    let sent = |qty: Quantity| sent(part, qty, Some(open));
    let mut words: Vec<String> = Vec::new();
    let mut before = Quantity::ZERO;
    for step in steps.take(DATES) {
        let by = if step.now { "at once".to_owned() } else { format!("by {}", step.by.short()) };
        let last = step.saves.filter(|saves| *saves > step.by).map_or(String::new(), |saves| {
            let same = saves.date() == step.by.date() && !step.now;
            format!(", at the last {}", if same { saves.clock() } else { saves.short() })
        });
        words.push(match words.is_empty() {
            true => format!("{} {} {by}{last}", sent(step.qty), part.uom),
            false => format!("then {} more {by}{last}", sent(step.qty) - before),
        });
        before = sent(step.qty);
    }
    if let Some(last) = last.filter(|_| more > 0) {
        words.push(format!("{} {} in all by {}", sent(all), part.uom, last.short()));
    }
    words.join("; ")
}

/// `Of 84 ea of order 52103 (was due Fri 10 Sep; overdue, not promised)`
fn of(facts: &Facts<'_>, coming: &Coming<'_>) -> String {
    let delivery = coming.delivery;
    let due = if delivery.overdue { "was due" } else { "due" };
    let promise = match delivery.not_promised() {
        "" => String::new(),
        words => format!("; {words}"),
    };
    let uom = &facts.part(delivery.part).uom;
    format!("Of {} {uom} of order {} ({due} {}{promise})", delivery.open, delivery.order, due_words(delivery))
}

fn first(facts: &Facts<'_>, order: &Order) -> Option<acts::First> {
    acts::firsts(facts, std::slice::from_ref(order)).into_iter().next().flatten()
}

/// `Order 10 ea, there by Tue 5 Oct 04:30, for AF3661 at WSH; order by Fri 3 Sep: inside lead time, ordered today it comes …; 420.00.`
fn new_order(facts: &Facts<'_>, order: &Order) -> String {
    let (part, planned) = (facts.part(order.part), order.planned);
    let (by, whom) = match first(facts, order) {
        Some(first) => (first.picked.short(), who(facts, &first.demand)),
        None => (facts.wanted_on(planned.day).short(), "the safety stock".to_owned()),
    };
    let by = format!("there by {by}, for {whom}");
    let when = match order.inside_lead_time {
        true => format!("inside lead time: {}", order::note(facts, order)),
        false => {
            let note = order::note(facts, order);
            let note = if note.is_empty() { note } else { format!("; {note}") };
            format!("order by {}{note}", facts.order_by(planned.release).short())
        }
    };
    let cost = facts.cost(order.part, planned.qty).map_or("price not known".to_owned(), |cost| amount(facts, cost));
    format!("Order {} {}, {by}; {when}; {cost}.", planned.qty, part.uom)
}

/// The supplier's name on paper.
pub fn name<'p>(facts: &Facts<'p>, ask: &Ask<'_, 'p>) -> &'p str {
    supplier_name(ask.supplier(facts))
}
