//! What is wrong with the day: orders set aside, material late or short, late jobs and special runs.

use super::super::front;
use super::super::names::dest_code;
use super::super::sheet::{Column, Line, Look, Show};
use super::super::table::Value;
use super::day::Day;
use super::feeders::job_words;
use super::words::{how, unit_code};
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::netting::Cover;
use crate::plan::{Doubt, Plan};
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// The columns of both tables of the first sheet.
pub const COLUMNS: [Column; 10] = [
    Column { heading: "what is wrong", show: Show::Wrapped },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "to", show: Show::Text },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "comes", show: Show::Moment },
    Column { heading: "minutes late", show: Show::Whole },
    Column { heading: "why", show: Show::Wrapped },
];

/// Something that is late, short, or in time only with a special run.
#[derive(Clone, Copy, Debug)]
pub struct Trouble {
    /// What it is: `short`, `late`, `late job` or `special run`.
    pub what: &'static str,
    /// Whom it is for; nobody for bulk.
    pub owner: Option<OwnerId>,
    /// The part.
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
}

/// What is wrong up to the end of the day, the worst first, and with units only later.
pub struct Wrong {
    /// Up to the end of the day.
    pub today: Vec<Trouble>,
    /// The first of each unit that is troubled only later.
    pub later: Vec<Trouble>,
}

impl Wrong {
    /// Of a day.
    pub fn of(day: &Day<'_>) -> Self {
        let plan = day.plan;
        let parts = (0..plan.plant.parts.len()).into_par_iter().map(PartId::of);
        let of_parts: Vec<(Vec<Trouble>, Later)> = parts.map(|part| of_part(plan, part)).collect();
        let (mut today, mut late) = (Vec::new(), Later::new());
        for (of_today, after) in of_parts {
            today.extend(of_today);
            join(&mut late, after);
        }
        today.extend(special_runs(day));
        today.sort_by_key(|trouble| (rank(trouble.what), key(trouble)));
        for owner in today.iter().filter_map(|trouble| trouble.owner) {
            late.remove(&owner);
        }
        Self { today, later: late.into_values().sorted_by_key(key).collect() }
    }

    /// How many units of the day have some trouble.
    pub fn units(&self, what: &[&str]) -> usize {
        self.today.iter().filter(|trouble| what.contains(&trouble.what)).map(|trouble| trouble.owner).unique().count()
    }

    /// How many troubles of a kind the day has.
    pub fn count(&self, what: &str) -> usize {
        self.today.iter().filter(|trouble| trouble.what == what).count()
    }
}

fn rank(what: &str) -> Option<usize> {
    ["short", "late", "late job", "special run"].iter().position(|word| *word == what)
}

/// The first trouble of each owner.
type Later = BTreeMap<OwnerId, Trouble>;

/// The order of troubles.
fn key(trouble: &Trouble) -> impl Ord + use<> {
    (trouble.need, trouble.owner, trouble.part, trouble.to, trouble.comes)
}

/// Keeps the first trouble of each owner.
fn join(first: &mut Later, other: Later) {
    for (owner, trouble) in other {
        let known = first.entry(owner).or_insert(trouble);
        if key(&trouble) < key(known) {
            *known = trouble;
        }
    }
}

/// The pieces of a part that are not in time: those of the day, and the first of each owner after it.
fn of_part(plan: &Plan<'_>, part: PartId) -> (Vec<Trouble>, Later) {
    let (mut today, mut later) = (Vec::new(), Later::new());
    for trouble in plan.doubts(part).iter().filter_map(not_in_time) {
        match trouble.owner {
            Some(owner) if trouble.need.date() > plan.day => join(&mut later, [(owner, trouble)].into()),
            _ => today.push(trouble),
        }
    }
    (today, later)
}

/// A piece that is not in time.
fn not_in_time(doubt: &Doubt) -> Option<Trouble> {
    let Doubt { demand, qty, cover, available } = *doubt;
    let what = match (cover, available) {
        (Cover::None, _) => "short",
        (Cover::Job(_), Some(comes)) if comes > demand.need => "late job",
        (_, Some(comes)) if comes > demand.need => "late",
        _ => return None,
    };
    let (owner, part, to, need) = (Some(demand.owner), demand.part, demand.to, demand.need);
    Some(Trouble { what, owner, part, to, qty, need, cover, comes: available })
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
    })
}

/// The rows of units set aside, with what is wrong with their orders.
pub fn aside_lines<'p>(plan: &'p Plan<'p>) -> Vec<Line<'p>> {
    let line = |(unit, why): (&'p crate::check::Unit, &'p str)| {
        let mut values = vec![Value::Blank; COLUMNS.len()];
        values[0] = "set aside".into();
        values[1] = unit.code.as_str().into();
        values[9] = why.into();
        (Look::Wrong, values)
    };
    front::set_aside(plan).into_iter().map(line).collect()
}

/// A row of the table.
pub fn line<'p>(plan: &'p Plan<'p>, trouble: &Trouble) -> Line<'p> {
    let part = plan.plant.part(trouble.part);
    let late = trouble.comes.map_or(0, |comes| trouble.need.minutes_until(comes));
    let look = if trouble.what == "special run" { Look::Plain } else { Look::Wrong };
    let values = vec![
        trouble.what.into(),
        trouble.owner.map(|owner| unit_code(plan, owner)).into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        dest_code(plan, trouble.to).into(),
        trouble.qty.into(),
        trouble.need.into(),
        trouble.comes.into(),
        Some(late).filter(|late| *late > 0).into(),
        why(plan, trouble).into(),
    ];
    (look, values)
}

fn why(plan: &Plan<'_>, trouble: &Trouble) -> String {
    match (trouble.cover, trouble.what) {
        (Cover::Receipt(i), what) => {
            let receipt = &plan.plant.receipts[i as usize];
            let overdue = if receipt.overdue { " (overdue)" } else { "" };
            let when = if what == "special run" { ", there after picking" } else { "" };
            format!("waits for order {}{overdue}{when}", receipt.order)
        }
        (Cover::Job(i), _) => format!("waits for {}", job_words(plan, i)),
        (Cover::ByProduct, _) => "comes off the unit later".to_owned(),
        _ => "no stock left, no receipt open".to_owned(),
    }
}
