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
        let parts = plan.plant.parts.len();
        let pieces = (parts / 64).clamp(1, rayon::current_num_threads() * 4);
        let piece = |i: usize| (parts * i / pieces..parts * (i + 1) / pieces).map(PartId::of);
        let found: Vec<Found> = (0..pieces).into_par_iter().map(|i| Found::of(plan, piece(i))).collect();
        let mut all = Found::new(plan);
        found.into_iter().for_each(|more| all.join(more));
        let Found { mut today, first_later: mut later } = all;
        today.extend(special_runs(day));
        today.sort_by_key(|trouble| (rank(trouble.what), key(trouble)));
        for owner in today.iter().filter_map(|trouble| trouble.owner) {
            later[owner.at()] = None;
        }
        Self { today, later: later.into_iter().flatten().sorted_by_key(key).collect() }
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

/// The troubles of some parts.
struct Found {
    /// Those of the day.
    today: Vec<Trouble>,
    /// For each owner the first after the day.
    first_later: Vec<Option<Trouble>>,
}

impl Found {
    fn new(plan: &Plan<'_>) -> Self {
        Self { today: Vec::new(), first_later: vec![None; plan.pace.owners.len()] }
    }

    fn of(plan: &Plan<'_>, parts: impl Iterator<Item = PartId>) -> Self {
        let mut found = Self::new(plan);
        for part in parts {
            for trouble in plan.doubts(part).iter().filter_map(not_in_time) {
                match trouble.owner {
                    Some(owner) if trouble.need.date() > plan.day => found.later(owner, trouble),
                    _ => found.today.push(trouble),
                }
            }
        }
        found
    }

    /// Keeps a trouble after the day if it is its owner's first.
    fn later(&mut self, owner: OwnerId, trouble: Trouble) {
        let known = self.first_later[owner.at()].get_or_insert(trouble);
        if key(&trouble) < key(known) {
            *known = trouble;
        }
    }

    fn join(&mut self, other: Self) {
        self.today.extend(other.today);
        let later = other.first_later.into_iter().enumerate();
        later.for_each(|(owner, trouble)| trouble.into_iter().for_each(|one| self.later(OwnerId::of(owner), one)));
    }
}

/// The order of troubles.
fn key(trouble: &Trouble) -> impl Ord + use<> {
    (trouble.need, trouble.owner, trouble.part, trouble.to, trouble.comes)
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
