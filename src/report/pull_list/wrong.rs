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
use crate::plan::Plan;
use itertools::Itertools;

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
        let (mut today, late): (Vec<_>, Vec<_>) =
            not_in_time(plan).partition(|trouble| trouble.need.date() <= plan.day);
        today.extend(special_runs(day));
        let key = |trouble: &Trouble| (trouble.need, trouble.owner, trouble.part, trouble.to, trouble.comes);
        today.sort_by_key(|trouble| (rank(trouble.what), key(trouble)));
        let known: Vec<Option<OwnerId>> = today.iter().map(|trouble| trouble.owner).sorted().dedup().collect();
        let later = late.into_iter().filter(|trouble| known.binary_search(&trouble.owner).is_err()).sorted_by_key(key);
        let later = later.unique_by(|trouble| trouble.owner).collect();
        Self { today, later }
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

/// All pieces that are not in time.
fn not_in_time<'a>(plan: &'a Plan<'_>) -> impl Iterator<Item = Trouble> + 'a {
    plan.doubtful().iter().filter_map(|(demand, peg)| {
        let what = match (peg.cover, peg.available) {
            (Cover::None, _) => "short",
            (Cover::Job(_), Some(comes)) if comes > demand.need => "late job",
            (_, Some(comes)) if comes > demand.need => "late",
            _ => return None,
        };
        let (part, to, need) = (demand.part, demand.to, demand.need);
        let owner = Some(demand.owner);
        Some(Trouble { what, owner, part, to, qty: peg.qty, need, cover: peg.cover, comes: peg.available })
    })
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
