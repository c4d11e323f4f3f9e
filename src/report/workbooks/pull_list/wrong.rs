//! What is wrong with the day: orders set aside, material late or short, late jobs and special runs.

use super::super::front;
use super::day::Day;
use super::feeders::job_words;
use super::weight;
use super::words::{how, promise, unit_code};
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::netting::Cover;
use crate::plan::{Doubt, Outcome, Plan, There};
use crate::report::listing::{Line, listing};
use crate::report::names::{dest_code, outcome_word};
use crate::report::sheet::Look;
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::HashSet;

/// Something that is late, short, or in time only with a special run.
#[derive(Clone, Copy, Debug)]
pub struct Trouble {
    /// What it is: `short`, `late`, `late job` or `special run`.
    pub what: &'static str,
    /// Whom it is for; nobody for bulk.
    pub owner: Option<OwnerId>,
    /// What is not there.
    pub part: PartId,
    /// Where it is needed.
    pub to: DestId,
    /// How much of it.
    pub qty: Quantity,
    /// When it is needed.
    pub need: Moment,
    /// What it waits for.
    pub cover: Cover,
    /// When that comes.
    pub comes: Option<Moment>,
    /// What it does; nothing where it is for no unit on its line.
    pub does: Option<Outcome>,
}

/// What is wrong up to the end of the day, the worst first: what stops the line, then what can follow and what takes a run of its own; and
/// with units only later.
pub struct Wrong {
    /// Up to the end of the day.
    pub today: Vec<Trouble>,
    /// How many are troubled only later.
    pub later: usize,
}

impl Wrong {
    /// Of a day.
    pub fn of(day: &Day<'_>) -> Self {
        let plan = day.plan;
        let end = plan.day.plus(1).midnight();
        let parts = (0..plan.plant.parts.len()).into_par_iter().map(PartId::of);
        let of_part = |part: PartId| {
            plan.doubts_before(part, end).iter().filter_map(|doubt| not_in_time(plan, doubt)).collect::<Vec<_>>()
        };
        let mut today: Vec<Trouble> = parts.flat_map_iter(of_part).collect();
        today.extend(special_runs(day));
        today.sort_by_key(|trouble| (Reverse(trouble.does), rank(trouble.what), key(trouble)));
        let known: HashSet<OwnerId> = today.iter().filter_map(|trouble| trouble.owner).collect();
        let lacks = plan.lacks.iter().enumerate().map(|(owner, lacks)| (OwnerId::of(owner), lacks.1.first));
        let later = lacks.filter(|(owner, first)| first.is_some() && !known.contains(owner)).count();
        Self { today, later }
    }
}

fn rank(what: &str) -> Option<usize> {
    ["short", "late", "late job", "special run"].iter().position(|word| *word == what)
}

/// The order of troubles.
fn key(trouble: &Trouble) -> impl Ord + use<> {
    (trouble.need, trouble.owner, trouble.part, trouble.to, trouble.comes)
}

/// A piece that is not in time, late material of its job waited for.
fn not_in_time(plan: &Plan<'_>, doubt: &Doubt) -> Option<Trouble> {
    let Doubt { demand, qty, cover, available, .. } = *doubt;
    let there = plan.piece_there(&demand, cover, available).filter(|there| *there > There::At(demand.need))?;
    let what = match cover {
        Cover::None => "short",
        Cover::Job(_) => "late job",
        _ => "late",
    };
    let (owner, part, to, need) = (Some(demand.owner), demand.part, demand.to, demand.need);
    let does = plan.consequence_of(doubt).map(|row| row.outcome);
    Some(Trouble { what, owner, part, to, qty, need, cover, comes: there.moment(), does })
}

fn special_runs<'a>(day: &'a Day<'_>) -> impl Iterator<Item = Trouble> + 'a {
    let missing = day.all().flat_map(|(_, picked)| picked.missing.iter().map(move |missing| (picked, missing)));
    missing.filter(|(_, missing)| how(missing) == "special run").map(|(picked, missing)| Trouble {
        what: "special run",
        owner: picked.pull.owner,
        part: picked.pull.part,
        to: picked.pull.to,
        qty: missing.qty,
        need: missing.need,
        cover: missing.cover,
        comes: missing.available,
        does: picked.pull.owner.map(|_| Outcome::SpecialRun),
    })
}

/// The rows of units set aside, with what is wrong with their orders.
pub fn aside_lines<'p>(plan: &'p Plan<'p>) -> Vec<Line<'p, WhatIsWrong>> {
    let line = |(unit, why): (&'p crate::check::Unit, &'p str)| {
        let told = Told { what: "set aside", unit: &unit.code, ..Told::default() };
        told_line(Look::Wrong, told, why.into())
    };
    front::set_aside(plan).into_iter().map(line).collect()
}

/// A row of the table.
pub fn line<'p>(plan: &'p Plan<'p>, trouble: &Trouble) -> Line<'p, WhatIsWrong> {
    let part = plan.plant.part(trouble.part);
    let late = trouble.comes.map_or(0, |comes| trouble.need.minutes_until(comes));
    let told = Told {
        what: trouble.what,
        unit: trouble.owner.map_or("", |owner| unit_code(plan, owner)),
        part: &part.code,
        description: weight::marked(plan.plant, part, trouble.qty),
        to: dest_code(plan, trouble.to),
        qty: Some(weight::measured(part, trouble.qty)),
        need: Some(trouble.need),
        comes: trouble.comes,
        late: Some(late).filter(|late| *late > 0),
        does: trouble.does.map_or("", outcome_word),
    };
    let look = if trouble.what == "special run" { Look::Plain } else { Look::Wrong };
    told_line(look, told, why(plan, trouble))
}

/// What is told of something that is wrong; what does not apply is blank.
#[derive(Default)]
struct Told<'p> {
    what: &'static str,
    unit: &'p str,
    part: &'p str,
    description: String,
    to: &'p str,
    qty: Option<Quantity>,
    need: Option<Moment>,
    comes: Option<Moment>,
    late: Option<i64>,
    does: &'static str,
}

listing! {
    /// What is wrong: the columns of both tables of the first sheet.
    pub WhatIsWrong: fn told_line<'p>(look: Look, told: Told<'p>, why: String) {}
    look: look;
    "what is wrong", 15, Wrapped => told.what;
    "unit", 12, Wrapped => told.unit;
    "part", 15, Wrapped => told.part;
    "description", 31, Wrapped => told.description;
    "to", 12, Wrapped => told.to;
    "qty", 9, Quantity => told.qty;
    "needed", 18, Moment => told.need;
    "comes", 18, Moment => told.comes;
    "minutes late", 10, Whole => told.late;
    "what it does", 15, Wrapped => told.does;
    "why", 50, Wrapped => why;
}

fn why(plan: &Plan<'_>, trouble: &Trouble) -> String {
    match (trouble.cover, trouble.what) {
        (Cover::Receipt(i), what) => {
            let receipt = &plan.plant.receipts[i as usize];
            let promise = promise(plan, i);
            let when = if what == "special run" { ", there after picking" } else { "" };
            format!("waits for order {}{promise}{when}", receipt.order)
        }
        (Cover::Job(i), _) => format!("waits for {}", job_words(plan, i)),
        (Cover::ByProduct, _) => "comes off the unit later".to_owned(),
        _ => "no stock left, no receipt open".to_owned(),
    }
}
