//! What a call is worth and what an unpromised receipt costs, in the words that sheets, the terminal and `uses` share.

use super::line_words::{loses, minutes};
use crate::base::Quantity;
use crate::calls::{Block, Call, Saved, Source, Without, without};
use crate::check::{Part, Stock};
use crate::plan::{Delivery, Plan, Worth};

/// `200 min`, `2 units stop with no known end`, or both; `nothing`.
pub fn short_worth(worth: &Worth) -> String {
    words(worth.loss.by_dates(), worth.loss.if_nothing_is_made_up(), worth.no_end as i64)
}

/// The same of what is saved. A unit that has an end now may cost more minutes than before.
pub fn saved(saved: &Saved) -> String {
    words(saved.by_dates, saved.in_all, saved.no_end)
}

/// `341`, `1 stop`, `1 stop; 20`, `0`: minutes saved, each date begun on its times, and before them stops with no known end.
pub fn saved_in_short(saved: &Saved) -> String {
    let units = if saved.no_end.abs() == 1 { "stop" } else { "stops" };
    match (saved.no_end, minutes(saved.by_dates)) {
        (0, known) => known.to_string(),
        (units_saved, 0) => format!("{units_saved} {units}"),
        (units_saved, known) => format!("{units_saved} {units}; {known}"),
    }
}

/// `2 stops with no known end; 200 min`: seconds lost or saved, each date begun on its times, and how many units stop beside.
pub fn words(by_dates: i64, in_all: i64, no_end: i64) -> String {
    let known = match (by_dates, in_all) {
        (0, 0) => None,
        (0, all) => Some(format!("{} min if nothing is made up", minutes(all))),
        (dates, _) => Some(format!("{} min", minutes(dates))),
    };
    let units = if no_end.abs() == 1 { "stop" } else { "stops" };
    let beside = (no_end != 0).then(|| format!("{no_end} {units} with no known end"));
    let told: Vec<String> = beside.into_iter().chain(known).collect();
    if told.is_empty() { "nothing".to_owned() } else { told.join("; ") }
}

/// `1 ea by Wed 15 Sep 12:45, at the last Thu 16 Sep 06:20; 3 ea by …`: all told, in what can be sent.
pub fn steps(plan: &Plan<'_>, call: &Call, most: usize) -> String {
    let (part, open) = (plan.plant.part(call.part), what(plan, call).1.map(|delivery| delivery.open));
    let told = call.steps.iter().take(most).map(|step| {
        let last = step.saves_until.filter(|last| *last != step.by);
        let last = last.map_or(String::new(), |last| format!(", at the last {}", last.short()));
        format!("{} {} by {}{last}", sent(part, step.qty, open), part.uom, step.by.short())
    });
    let more = call.steps.len().saturating_sub(most);
    let more = (more > 0).then(|| format!("and {more} dates more"));
    told.chain(more).collect::<Vec<_>>().join("; ")
}

/// A quantity that is asked for, as much as can be sent: rounded up to the decimals of its unit of measure, but never more than is open.
pub fn sent(part: &Part, qty: Quantity, open: Option<Quantity>) -> Quantity {
    let measured = qty.round_up(part.decimals);
    open.map_or(measured, |open| measured.min(open))
}

/// `chase`, `bring forward` or `order`, and the delivery where there is one.
pub fn what<'d, 'p>(plan: &'d Plan<'p>, call: &Call) -> (&'static str, Option<&'d Delivery<'p>>) {
    match call.source {
        Source::Order => ("order", None),
        Source::Delivery(number) => {
            let delivery = &plan.deliveries.all()[number];
            (if delivery.overdue { "chase" } else { "bring forward" }, Some(delivery))
        }
    }
}

/// `2 of 6 at Q-01-1 (glass scratched)`: stock on hold that would do, a row after the other, of so much.
pub fn on_hold(rows: &[&Stock], mut wanted: Quantity) -> String {
    let mut told = Vec::new();
    for row in rows {
        let qty = wanted.min(row.qty);
        if qty.is_positive() {
            wanted -= qty;
            let at = if row.location.is_empty() { String::new() } else { format!(" at {}", row.location) };
            told.push(format!("{qty} of {}{at} ({})", row.qty, row.hold.as_deref().unwrap_or_default()));
        }
    }
    told.join(", ")
}

/// `all of these save 175 min; one alone saves 30 min at most`
pub fn block(block: &Block, calls: &[Call]) -> String {
    let alone = block.calls.iter().filter_map(|call| calls[*call].saves);
    let most = alone.max_by_key(|saves| (saves.no_end, saves.by_dates, saves.in_all)).unwrap_or_default();
    let most = if (most.no_end, most.by_dates, most.in_all) <= (0, 0, 0) { Saved::default() } else { most };
    let at_most = if most == Saved::default() { "" } else { " at most" };
    format!("all of these save {}; one alone saves {}{at_most}", saved(&block.saves), saved(&most))
}

/// What the plan rests on that nobody has promised: `if 52103 (F14-01) comes by Tue 14 Sep 10:00, which nobody has promised; without it
/// the line loses …`. The delivery that costs most, and how many more there are; `None` where nothing rests on one.
pub fn rests_on(plan: &Plan<'_>) -> Option<String> {
    let now = Worth::of_plan(plan);
    let Some(all) = without(plan) else {
        return Some(
            "what it would lose without receipts that nobody has promised is not worked out: too much is missing"
                .to_owned(),
        );
    };
    let costs = all.iter().filter(|one| one.worth != now);
    let (first, more) = (costs.clone().next()?, costs.count() - 1);
    let more = match more {
        0 => String::new(),
        1 => "; and it rests on 1 such receipt more".to_owned(),
        _ => format!("; and it rests on {more} such receipts more"),
    };
    Some(format!("if {}; {}{more}", unpromised(plan, first), without_it(plan, first)))
}

/// `52103 (F14-01) comes by Tue 14 Sep 10:00, which nobody has promised`
pub fn unpromised(plan: &Plan<'_>, without: &Without) -> String {
    let delivery = &plan.deliveries.all()[without.delivery];
    let (part, by) = (&plan.plant.part(delivery.part).code, delivery.available.short());
    format!("{} ({part}) comes by {by}, which nobody has promised", delivery.order)
}

/// `without it the line loses …; 83 units stop with no known end`
pub fn without_it(plan: &Plan<'_>, without: &Without) -> String {
    let worth = &without.worth;
    let known = loses(plan, &worth.loss).unwrap_or_else(|| "nothing for a known time".to_owned());
    let units = if worth.no_end == 1 { "unit stops" } else { "units stop" };
    let beside = if worth.no_end > 0 {
        format!("; {} {units} with no known end, counted beside", worth.no_end)
    } else {
        String::new()
    };
    format!("without it the line loses {known}{beside}")
}
