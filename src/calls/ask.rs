//! What is asked for: of a delivery the pieces that come too late, of what nothing covers an order; how many by when.

use crate::base::{Moment, PartId, Quantity, numbered};
use crate::cures::Change;
use crate::netting::{Cover, Demand};
use crate::plan::{Doubt, Outcome, Plan};

/// What a call is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Source {
    /// A delivery, by its number.
    Delivery(usize),
    /// An order that is still to be placed.
    Order,
}

/// So many, all told, by a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Step {
    /// With their run until its picking; where that is past, the last moment that saves the line.
    pub by: Moment,
    /// How many by then, those of earlier steps included.
    pub qty: Quantity,
    /// The last moment at which none of these stops the line.
    pub saves_until: Option<Moment>,
}

/// A call before it is known what it is worth.
#[derive(Clone, Debug)]
pub(super) struct BareCall {
    pub(super) source: Source,
    pub(super) steps: Vec<Step>,
    pub(super) changes: Vec<Change>,
    pub(super) waits: Quantity,
    pub(super) saves_until: Option<Moment>,
}

/// A piece that comes too late or never.
struct TooLate {
    demand: Demand,
    qty: Quantity,
    stops: bool,
    by: Option<Moment>,
}

/// The calls about a bought part, its deliveries in the order in which they are taken.
pub(super) fn asked(plan: &Plan<'_>, part: PartId) -> Vec<BareCall> {
    let mut found: Vec<(Source, Vec<TooLate>)> = Vec::new();
    for doubt in plan.doubts(part).iter().filter(|doubt| !doubt.for_its_run) {
        let source = match doubt.cover {
            Cover::Receipt(receipt) => Source::Delivery(plan.deliveries.of_receipt(receipt)),
            Cover::None => Source::Order,
            _ => continue,
        };
        let piece = piece(plan, doubt);
        match found.iter_mut().find(|(known, _)| *known == source) {
            Some((_, pieces)) => pieces.push(piece),
            None => found.push((source, vec![piece])),
        }
    }
    found.sort_by_key(|(source, _)| *source);
    found.into_iter().filter_map(|(source, pieces)| call(plan, part, source, pieces)).collect()
}

/// A piece, with the moment by which it is asked for: with its run, or else as long as it saves the line.
fn piece(plan: &Plan<'_>, doubt: &Doubt) -> TooLate {
    let demand = doubt.demand;
    let picked = plan.runs.serving(demand.need).map_or(demand.need, |run| run.picked);
    let moments = [Some(picked), plan.saves_until(&demand)].into_iter().flatten();
    let by = moments.filter(|by| *by > plan.plant.as_of).find(|by| doubt.available.is_none_or(|at| *by < at));
    let stops = plan.consequence_of(doubt).is_some_and(|row| row.outcome == Outcome::StopsTheLine);
    TooLate { demand, qty: doubt.qty, stops, by }
}

/// What is asked for: all pieces up to the last that stops the line and can still be had, for whoever needs one before takes what
/// comes first.
fn call(plan: &Plan<'_>, part: PartId, source: Source, mut pieces: Vec<TooLate>) -> Option<BareCall> {
    let last = pieces.iter().rposition(|piece| piece.stops && piece.by.is_some())?;
    pieces.truncate(last + 1);
    // What is needed before comes no later.
    let mut soonest = None;
    for piece in pieces.iter_mut().rev() {
        soonest = [soonest, piece.by].into_iter().flatten().min();
        piece.by = soonest;
    }
    let (mut steps, mut qty): (Vec<Step>, Quantity) = (Vec::new(), Quantity::ZERO);
    for of_step in pieces.chunk_by(|one, other| one.by == other.by) {
        qty += of_step.iter().map(|piece| piece.qty).sum();
        let stopping = of_step.iter().filter(|piece| piece.stops);
        let saves_until = stopping.filter_map(|piece| plan.saves_until(&piece.demand)).min();
        steps.push(Step { by: of_step[0].by?, qty, saves_until });
    }
    let changes = match source {
        Source::Delivery(number) => sooner(plan, number, &steps),
        Source::Order => orders(plan, part, &steps),
    };
    let waits = pieces.iter().filter(|piece| piece.stops).map(|piece| piece.qty).sum();
    let saves_until = steps.iter().filter_map(|step| step.saves_until).min();
    Some(BareCall { source, steps, changes, waits, saves_until })
}

/// The rows of a delivery, some of each sooner.
fn sooner(plan: &Plan<'_>, number: usize, steps: &[Step]) -> Vec<Change> {
    let rows = plan.plant.receipts.iter().enumerate();
    let own = rows.filter(|(row, _)| plan.deliveries.of_receipt(numbered(*row)) == number);
    let mut open: Vec<(usize, Quantity)> = own.map(|(row, receipt)| (row, receipt.qty)).collect();
    let (mut changes, mut before) = (Vec::new(), Quantity::ZERO);
    for step in steps {
        let mut left = step.qty - before;
        for (receipt, there) in &mut open {
            let qty = left.min(*there);
            if qty.is_positive() {
                (left, *there) = (left - qty, *there - qty);
                changes.push(Change::Sooner { receipt: *receipt, qty, by: step.by });
            }
        }
        before = step.qty;
    }
    changes
}

/// Orders, each no smaller than it can be: what one brings more serves those behind it.
fn orders(plan: &Plan<'_>, part: PartId, steps: &[Step]) -> Vec<Change> {
    let known = plan.plant.part(part);
    let (mut changes, mut ordered) = (Vec::new(), Quantity::ZERO);
    for step in steps.iter().filter(|step| step.qty.is_positive()) {
        if step.qty > ordered {
            let least = (step.qty - ordered).max(known.minimum_buy);
            let qty =
                known.buy_multiple.map_or(least.round_up(known.decimals), |multiple| least.up_to_multiple(multiple));
            ordered += qty;
            changes.push(Change::Order { part, qty, by: step.by });
        }
    }
    changes
}
