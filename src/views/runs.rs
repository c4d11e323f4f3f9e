//! Delivery runs: when each leaves, and what goes with one of them.

use super::{Address, MOST_LINES, View, tell};
use crate::base::{Date, Moment};
use crate::plan::Plan;
use crate::plan::words::dest_code;
use crate::pulls::Pull;
use crate::report;
use crate::waves::DeliveryRun;
use itertools::Itertools;
use maud::{Markup, html};

/// So many runs are listed.
const MOST_RUNS: usize = 120;

/// The view of a run.
pub fn view(plan: &Plan<'_>, leaves: Moment) -> View {
    match plan.runs.all().iter().find(|run| run.leaves == leaves) {
        Some(run) => one(plan, *run),
        None => View::none("run", &leaves.short(), None),
    }
}

fn address(run: DeliveryRun) -> Address {
    Address::Run { leaves: run.leaves }
}

/// The view of all runs that have not left, from a day on.
pub fn all(plan: &Plan<'_>, day: Option<Date>) -> View {
    let delivered = plan.plant.delivered_to.unwrap_or(Moment::BEFORE_ALL);
    let from = day.map_or(Moment::BEFORE_ALL, Date::midnight);
    let runs = plan.runs.all().iter().filter(|run| run.leaves > delivered && run.leaves >= from).collect_vec();
    let days = runs.iter().take(MOST_RUNS).chunk_by(|run| run.leaves.date());
    let days = days.into_iter().map(|(date, runs)| (date, runs.copied().collect_vec())).collect_vec();
    let body = html! {
        p { "Each need goes with the last run at or before it." }
        form .choice action="/run" method="get" {
            label for="from" { "from " }
            input #from name="from" type="date" value=[day.map(|day| day.to_string())];
            " " button { "show" }
        }
        @if runs.is_empty() { p .none { "No run leaves then." } }
        @for (date, runs) in &days {
            h2 { (date.long()) }
            ul .runs { @for run in runs { li { a href=(address(**run)) { "the " (run.leaves.clock()) " run" } ", picked from " (run.picked.short()) } } }
        }
        @if let Some(next) = runs.get(MOST_RUNS) {
            p .more {
                (runs.len() - MOST_RUNS) " runs more up to " (runs[runs.len() - 1].leaves.short()) ": "
                a href=(Address::Runs { from: Some(next.leaves.date()) }) { "from " (next.leaves.date().short()) " on" }
            }
        }
    };
    View::new("Delivery runs", body)
}

/// The pulls of a run, in the order in which a picker walks.
fn pulls(plan: &Plan<'_>, run: DeliveryRun) -> Vec<Pull> {
    if run.leaves.date() <= plan.day {
        return plan.pulls.iter().filter(|pull| pull.run == run).copied().collect();
    }
    plan.pulls_of(run)
}

fn one(plan: &Plan<'_>, run: DeliveryRun) -> View {
    let pulls = pulls(plan, run);
    let wrong = pulls.iter().filter(|pull| !matches!(report::pull_status(pull.status), "ready" | "arriving")).count();
    let line = |pull: &Pull| {
        let part = plan.plant.part(pull.part);
        html! {
            td { (part.location) }
            td { (tell::part_code(&part.code)) " " (part.description) }
            td .number { (pull.qty) " " (part.uom) }
            td { (dest_code(plan, pull.to)) }
            td { @match pull.owner { Some(owner) => (tell::owner(plan, owner)), None => "in packs" } }
            td { (pull.need.short()) }
            td { (tell::state(report::pull_status(pull.status))) }
        }
    };
    let lines = pulls.iter().sorted_by_key(|pull| matches!(report::pull_status(pull.status), "ready" | "arriving"));
    let lines = lines.take(MOST_LINES).map(line).collect_vec();
    let headings = ["lies at", "part", "take", "for", "unit", "needed", "stands"];
    let runs = plan.runs.all();
    let at = runs.iter().position(|other| *other == run).unwrap_or_default();
    let step = |to: Option<&DeliveryRun>, words: &str| -> Markup {
        html! { @if let Some(to) = to { a href=(address(*to)) { (words) } " " } }
    };
    let body = html! {
        nav .choice aria-label="runs" {
            (step(at.checked_sub(1).and_then(|at| runs.get(at)), "the run before")) (step(runs.get(at + 1), "the run after"))
            a href=(Address::Runs { from: None }) { "all runs" }
        }
        p { "Picked from " (run.picked.short()) ". " (pulls.len()) " pulls, " (wrong) " of them not whole when they are picked." }
        (tell::table("Pulls, those that are not whole first", &headings, &lines, pulls.len()))
    };
    View::new(format!("The {} run of {}", run.leaves.clock(), run.leaves.date().long()), body)
}
