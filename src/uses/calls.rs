//! What there is to call about a part, and what the line would lose without its receipts that nobody has promised.

use super::facts::{CallFacts, LossFacts, LostFacts, SavedFacts, StepFacts};
use crate::base::PartId;
use crate::calls::{self, Call, Calls, Saved, Source};
use crate::cures::Cures;
use crate::plan::{Plan, Worth};
use std::collections::BTreeMap;

/// All calls of a plan; for who asks about several parts of it.
pub fn all(plan: &Plan<'_>) -> Calls {
    Calls::of(plan, &Cures::of(plan))
}

/// The calls about a part.
pub(super) fn about(plan: &Plan<'_>, calls: &Calls, part: PartId) -> Vec<CallFacts> {
    calls.about(part).map(|call| facts(plan, calls, call)).collect()
}

/// For each of a part's deliveries that nobody has promised what the line would lose without it.
pub(super) fn without(plan: &Plan<'_>, part: PartId) -> BTreeMap<usize, LossFacts> {
    let all = calls::without(plan).unwrap_or_default().iter();
    let own = all.filter(|one| plan.deliveries.all()[one.delivery].part == part);
    own.map(|one| (one.delivery, loss(plan, &one.worth))).collect()
}

fn facts(plan: &Plan<'_>, calls: &Calls, call: &Call) -> CallFacts {
    let delivery = match call.source {
        Source::Delivery(number) => Some(&plan.deliveries.all()[number]),
        Source::Order => None,
    };
    let what = delivery.map_or("order", |delivery| if delivery.overdue { "chase" } else { "bring forward" });
    let steps = call.steps.iter();
    let together = call.block.map(|block| {
        let block = &calls.blocks[block];
        let others = block.calls.iter().map(|other| &calls.calls[*other]);
        let others = others.filter(|other| (other.part, other.source) != (call.part, call.source));
        (others.map(|other| plan.plant.part(other.part).code.clone()).collect(), saved(block.saves))
    });
    CallFacts {
        what,
        purchase_order: delivery.map_or("", |delivery| delivery.order).to_owned(),
        steps: steps.map(|step| StepFacts { by: step.by, qty: step.qty, saves_until: step.saves_until }).collect(),
        saves_until: call.saves_until,
        fails_alone: loss(plan, &call.alone),
        saves_alone: call.saves.map(saved),
        together,
    }
}

fn loss(plan: &Plan<'_>, worth: &Worth) -> LossFacts {
    let lost = worth.loss.by_date.iter().map(|lost| LostFacts {
        line: plan.plant.lines[lost.line.at()].code.clone(),
        date: lost.date,
        seconds: lost.seconds,
    });
    LossFacts {
        by_date: lost.collect(),
        if_nothing_is_made_up: worth.loss.if_nothing_is_made_up(),
        no_known_end: worth.no_end,
    }
}

fn saved(saved: Saved) -> SavedFacts {
    SavedFacts { by_dates: saved.by_dates, if_nothing_is_made_up: saved.in_all, no_known_end: saved.no_end }
}
