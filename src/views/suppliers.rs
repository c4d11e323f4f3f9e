//! A supplier: what it has open, and what somebody waits for of it.

use super::{Address, MOST_LINES, View, tell};
use crate::base::{PartId, fold};
use crate::plan::{Delivery, Plan, Taken};
use crate::trial::word;
use itertools::Itertools;
use maud::html;
use std::collections::BTreeSet;

pub fn view(plan: &Plan<'_>, name: &str) -> View {
    let wanted = fold(name.trim());
    let of = |delivery: &Delivery<'_>| fold(delivery.supplier) == wanted;
    let all = plan.deliveries.all().iter().enumerate().filter(|(_, delivery)| of(delivery)).collect_vec();
    let parts = plan.plant.parts.iter().enumerate().filter(|(_, part)| fold(&part.supplier) == wanted);
    let parts = parts.map(|(i, _)| PartId::of(i)).collect_vec();
    if all.is_empty() && parts.is_empty() {
        return View::none("supplier", name, None);
    }
    let taken = |number: usize, delivery: &Delivery<'_>| -> Option<&Taken> {
        plan.account(delivery.part).taken.get(number - plan.deliveries.first_of(delivery.part))
    };
    let late =
        |number: usize, delivery: &Delivery<'_>| taken(number, delivery).is_some_and(|taken| taken.late_runs > 0);
    let line = |(number, delivery): &(usize, &Delivery<'_>)| {
        let uom = &plan.plant.part(delivery.part).uom;
        html! {
            td { (delivery.order) }
            td { (tell::part(plan, delivery.part)) }
            td .number { (delivery.open) " " (uom) }
            td .number { @if let Some(taken) = taken(*number, delivery) { (taken.qty) } }
            td { (delivery.available.short()) @if !delivery.not_promised().is_empty() { " (" (delivery.not_promised()) ")" } }
            td {
                @match taken(*number, delivery).and_then(|taken| taken.first_late) {
                    Some(at) => { (tell::state("late")) ", first for what is picked " (at.short()) }
                    None => (tell::state("in time")),
                }
            }
            td { a href=(other_day(plan, delivery)) aria-label=(format!("try order {} on another day", delivery.order)) { "another day" } }
        }
    };
    let ordered = all
        .into_iter()
        .sorted_by_key(|(number, delivery)| (!late(*number, delivery), delivery.available, *number))
        .collect_vec();
    let troubled: BTreeSet<PartId> = plan.troubles().iter().map(|trouble| trouble.part).collect();
    let wrong = |part: &PartId| troubled.contains(part);
    let part_line = |part: &PartId| {
        let row = plan.plant.part(*part);
        html! {
            td { (tell::part(plan, *part)) }
            td .number { (row.lead_days) }
            td .number { (plan.account(*part).asked) " " (row.uom) }
            td .number { (plan.account(*part).at_end) " " (row.uom) }
            td { @if wrong(part) { (tell::shape("late")) " something is late or short" } }
        }
    };
    let parts = parts.into_iter().sorted_by_key(|part| (!wrong(part), *part)).collect_vec();
    let display =
        plan.plant.parts.iter().map(|part| part.supplier.as_str()).find(|known| fold(known) == wanted).unwrap_or(name);
    let body = html! {
        h2 { "What it has open" }
        (tell::first("Open deliveries, those that come too late first", &["order", "part", "open", "taken", "there", "stands", "try"], &ordered, line))
        h2 { "What it sells" }
        (tell::first("Parts", &["part", "lead days", "the sequence asks for", "left at its end", "stands"], &parts, part_line))
        @if parts.len() > MOST_LINES { p .small { "Parts of which something is late or short come first." } }
    };
    View::new(format!("Supplier {display}"), body)
}

/// A trial in which a delivery comes when it comes now: the day is there to be changed.
fn other_day(plan: &Plan<'_>, delivery: &Delivery<'_>) -> Address {
    let [order, part] = [delivery.order, &plan.plant.part(delivery.part).code].map(word);
    let due = delivery.available.to_string().replace('T', " ");
    Address::Try { edits: vec![format!("Receipts all {order} {part} due={due}")] }
}
