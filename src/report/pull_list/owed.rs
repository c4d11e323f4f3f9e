//! What stands first: pulls that are overdue, and what is owed beyond the bills.

use super::super::fit;
use super::super::limits::WORST;
use super::super::names::{dest_code, pull_status};
use super::super::prose::few;
use super::super::sheet::{Column, Line, Look, Sheet, Show};
use super::day::{Day, Picked};
use super::feeders::job_words;
use super::words::{Owed, count, owed, unit_code};
use crate::base::Moment;
use crate::netting::{Cover, Peg};
use crate::plan::Plan;
use itertools::Itertools;

const OVERDUE: [Column; 10] = [
    Column { heading: "done", show: Show::Box },
    Column { heading: "run that has left", show: Show::Moment },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "to", show: Show::Text },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "how it stands", show: Show::Text },
];
const EXTRAS: [Column; 12] = [
    Column { heading: "done", show: Show::Box },
    Column { heading: "goes with", show: Show::Wrapped },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "to", show: Show::Text },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "how it stands", show: Show::Text },
    Column { heading: "where it comes from", show: Show::Wrapped },
    Column { heading: "why it is owed", show: Show::Wrapped },
];
const LEAST: [u16; 12] = [6, 17, 6, 14, 6, 5, 6, 5, 17, 8, 20, 20];
/// Wider, the print would be too small.
const TOTAL: u16 = 180;

/// The sheet.
pub fn sheet<'p>(day: &Day<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let (late, extras) = (overdue(day), extras(plan));
    // Both tables have the same first columns.
    let both: Vec<Line<'p>> = late.iter().chain(&extras).cloned().collect();
    let mut sheet = Sheet::new("overdue and owed", &fit::widths(&EXTRAS, &LEAST, &both, TOTAL));
    sheet.text(Look::Title, format!("Overdue and owed, {}", plan.day.long()));
    sheet
        .text(Look::Section, format!("Overdue: {} that have left", count(late.len(), "pull of runs", "pulls of runs")));
    if late.is_empty() {
        sheet.text(Look::Plain, "Nothing is overdue.");
    } else {
        sheet.table(Some("overdue".to_owned()), &OVERDUE, late);
    }
    sheet.gap().text(Look::Section, format!("Owed beyond the bills: {}", count(extras.len(), "extra", "extras")));
    if extras.is_empty() {
        sheet.text(Look::Plain, "Nothing is owed.");
    } else {
        sheet.table(Some("owed".to_owned()), &EXTRAS, extras);
    }
    sheet
}

/// The overdue pulls, the first needed first.
fn overdue<'p>(day: &Day<'p>) -> Vec<Line<'p>> {
    let trips = day.trips.iter().filter(|trip| trip.run.is_none());
    let picked = trips.flat_map(|trip| &trip.picked);
    let key = |picked: &&Picked| (picked.pull.need, picked.pull.owner, picked.pull.part, picked.pull.to);
    picked.sorted_by_key(key).map(|picked| overdue_line(day.plan, picked)).collect()
}

fn overdue_line<'p>(plan: &'p Plan<'p>, picked: &Picked) -> Line<'p> {
    let (pull, part) = (&picked.pull, plan.plant.part(picked.pull.part));
    let look = if picked.missing.is_empty() { Look::Plain } else { Look::Wrong };
    let values = vec![
        "".into(),
        pull.run.leaves.into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        pull.qty.into(),
        part.uom.as_str().into(),
        pull.owner.map(|owner| unit_code(plan, owner)).into(),
        dest_code(plan, pull.to).into(),
        pull.need.into(),
        pull_status(pull.status).into(),
    ];
    (look, values)
}

/// All extras, the first needed first; those set aside with their unit at the end.
fn extras<'p>(plan: &'p Plan<'p>) -> Vec<Line<'p>> {
    let rows = owed(plan).into_iter().sorted_by_key(|owed| owed.extra.part).collect_vec();
    let of_part = rows.chunk_by(|a, b| a.extra.part == b.extra.part).flat_map(|rows| of_part(plan, rows));
    of_part.sorted_by_key(|(key, _)| *key).map(|(_, line)| line).collect()
}

/// Where an extra stands among the others.
type Key = (bool, Option<Moment>, u32);

/// The lines of the extras of one part.
fn of_part<'p>(plan: &'p Plan<'p>, rows: &[Owed<'p>]) -> Vec<(Key, Line<'p>)> {
    let last = rows.iter().filter_map(|owed| owed.need).max();
    let near = last.map(|last| plan.near(rows[0].extra.part, last.plus(1)));
    let pegs = |owed: &Owed<'_>| {
        let (pegged, need) = (near.as_ref()?.pegged(), owed.need?);
        Some(pegged.pegs_of(pegged.find(need, owed.owner, owed.extra.to)?))
    };
    let line = |owed: &Owed<'p>| {
        ((owed.need.is_none(), owed.need, owed.extra.row), extra_line(plan, owed, pegs(owed).unwrap_or_default()))
    };
    rows.iter().map(line).collect()
}

fn extra_line<'p>(plan: &'p Plan<'p>, owed: &Owed<'p>, pegs: &[Peg]) -> Line<'p> {
    let extra = owed.extra;
    let part = plan.plant.part(extra.part);
    let worst = owed.need.and_then(|need| pegs.iter().map(|peg| peg.covered(need)).max());
    use crate::supply::Covered;
    let how = match worst {
        None => "set aside",
        Some(Covered::InTime) => "in time",
        Some(Covered::Late) => "late",
        Some(Covered::Short) => "short",
    };
    let stores = pegs.iter().any(|peg| !matches!(peg.cover, Cover::ByProduct | Cover::Lineside | Cover::Job(_)));
    let run = owed.need.filter(|_| stores).and_then(|need| plan.runs.serving(need));
    let goes = run.map(|run| format!("the run {}", run.leaves.short()));
    let values = vec![
        "".into(),
        goes.into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        extra.qty.into(),
        part.uom.as_str().into(),
        unit_code(plan, owed.owner).into(),
        dest_code(plan, extra.to).into(),
        owed.need.into(),
        how.into(),
        few(pegs.iter().map(|peg| source(plan, peg)).unique(), WORST).into(),
        extra.reason.as_str().into(),
    ];
    (if how == "in time" { Look::Plain } else { Look::Wrong }, values)
}

/// Where a piece comes from, and when.
fn source(plan: &Plan<'_>, peg: &Peg) -> String {
    let comes = peg.available.map(|at| format!(", {}", at.short())).unwrap_or_default();
    match peg.cover {
        Cover::ByProduct => format!("comes off the unit{comes}"),
        Cover::Reserved => "reserved stock".to_owned(),
        Cover::Lineside => "lies there already".to_owned(),
        Cover::Stock => "stock".to_owned(),
        Cover::Receipt(i) => format!("order {}{comes}", plan.plant.receipts[i as usize].order),
        Cover::Job(i) => format!("{}{comes}", job_words(plan, i)),
        Cover::None => "nothing covers it".to_owned(),
    }
}
