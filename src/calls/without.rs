//! What the line would lose without a receipt that nobody has promised.

use super::tally::Tally;
use crate::base::{Date, PartId, Quantity, numbered};
use crate::plan::{Alone, Goods, Plan, Waiting, Without};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// So many days on which the stores are open are looked ahead, today not counted.
pub const DAYS: usize = 3;

/// Where more pieces than so many are not there for their run, it is not worked out.
pub(super) const MOST_PIECES: usize = 1_000_000;

/// The deliveries of the next days that are overdue or not confirmed and that the sequence takes something of: those
/// first without which most units stop with no known end, then those without which the line loses most.
/// `None` where there are some, but more pieces stop the line than are looked at.
pub fn without<'d>(plan: &'d Plan<'_>) -> Option<&'d [Without]> {
    plan.without.get_or_init(|| of(plan)).as_deref()
}

fn of(plan: &Plan<'_>) -> Option<Vec<Without>> {
    let last = last_day(plan);
    let open = plan.deliveries.all().iter().enumerate();
    let open = open.filter(|(_, delivery)| {
        (delivery.overdue || delivery.confirmed == Some(false)) && delivery.available.date() <= last
    });
    let taken = |number: usize, part: PartId| plan.account(part).taken[number - plan.deliveries.first_of(part)].qty;
    let open = open.filter(|(number, delivery)| {
        plan.plant.part(delivery.part).bought() && taken(*number, delivery.part).is_positive()
    });
    let open: Vec<usize> = open.map(|(number, _)| number).collect();
    if open.is_empty() {
        return Some(Vec::new());
    }
    if plan.effects.waited_for > MOST_PIECES {
        return None;
    }
    let alone = Alone::of(plan);
    let now: Vec<(PartId, Vec<Waiting>)> =
        super::stopping(plan).into_par_iter().map(|part| (part, alone.part(part, None))).collect();
    let tally = Tally::of(plan, &alone.nobodys(), now.iter().map(|(part, pieces)| (*part, pieces.as_slice())));
    let of = |delivery: usize| {
        let part = plan.deliveries.all()[delivery].part;
        let pieces = alone.part(part, Some(&lost(plan, delivery)));
        Without { delivery, worth: tally.with(&BTreeMap::from([(part, pieces.as_slice())])) }
    };
    let mut found: Vec<Without> = open.into_par_iter().map(of).collect();
    found.sort_by_key(|one| {
        let loss = &one.worth.loss;
        std::cmp::Reverse((
            one.worth.no_end,
            loss.by_dates(),
            loss.if_nothing_is_made_up(),
            std::cmp::Reverse(one.delivery),
        ))
    });
    Some(found)
}

/// Stock and receipts without a delivery.
fn lost<'p>(plan: &Plan<'p>, delivery: usize) -> Goods<'p> {
    let mut goods = Goods::of(plan.plant);
    let rows = (0..plan.plant.receipts.len()).filter(|row| plan.deliveries.of_receipt(numbered(*row)) == delivery);
    rows.for_each(|row| goods.receipts.change(row).qty = Quantity::ZERO);
    goods
}

/// The last day that is looked at.
fn last_day(plan: &Plan<'_>) -> Date {
    let today = plan.plant.as_of.date();
    (0..DAYS).fold(today, |day, _| plan.plant.stores_calendar().open_day_from(day.plus(1)))
}
