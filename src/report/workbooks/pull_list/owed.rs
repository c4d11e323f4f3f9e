//! What stands first: pulls that are overdue, and what is owed beyond the bills.

use super::day::{Day, Picked};
use super::feeders::job_words;
use super::weight;
use super::words::{Owed, owed, run_name, unit_code};
use crate::base::{Moment, count};
use crate::netting::{Cover, Peg};
use crate::plan::{Plan, UnitState};
use crate::report::fit;
use crate::report::limits::{LONGEST, WORST};
use crate::report::listing::{Line, Listing, listing};
use crate::report::names::{dest_code, pull_status, unit_status};
use crate::report::prose::few;
use crate::report::sheet::{Look, Sheet};
use crate::supply::Covered;
use itertools::Itertools;

/// Wider, the print would be too small.
const TOTAL: u16 = 180;

pub fn sheet<'p>(day: &Day<'p>) -> Sheet<'p> {
    let plan = day.plan;
    let (overdue, extras) = (overdue(day), extras(plan));
    let late = overdue.iter().take(LONGEST).map(|picked| overdue_line(plan, picked)).collect_vec();
    // Both tables have the same first columns.
    let both = late.iter().map(Line::values).chain(extras.iter().map(Line::values)).collect_vec();
    let mut sheet = Sheet::new("overdue and owed", &fit::widths_of(Extras::COLUMNS, &both, TOTAL));
    sheet.text(Look::Title, format!("Overdue and owed, {}", plan.day.long()));
    sheet.text(
        Look::Section,
        format!("Overdue: {} that have left", count(overdue.len(), "pull of runs", "pulls of runs")),
    );
    let more = overdue.len() - late.len();
    if late.is_empty() {
        sheet.text(Look::Plain, "Nothing is overdue.");
    } else {
        sheet.table(Some("overdue".to_owned()), late);
    }
    if more > 0 {
        sheet.text(Look::Strong, format!("and {more} more, needed later: on the walks and labels of what is overdue"));
    }
    sheet.gap().text(Look::Section, format!("Owed beyond the bills: {}", count(extras.len(), "extra", "extras")));
    if extras.is_empty() {
        sheet.text(Look::Plain, "Nothing is owed.");
    } else {
        sheet.table(Some("owed".to_owned()), extras);
    }
    sheet
}

/// The overdue pulls, the first needed first.
fn overdue<'d>(day: &'d Day<'_>) -> Vec<&'d Picked> {
    let trips = day.trips.iter().filter(|trip| trip.run.is_none());
    let picked = trips.flat_map(|trip| &trip.picked);
    let key = |picked: &&Picked| (picked.pull.need, picked.pull.owner, picked.pull.part, picked.pull.to);
    picked.sorted_by_key(key).collect()
}

listing! {
    /// A pull whose run has left.
    Overdue: fn overdue_line<'p>(plan: &'p Plan<'p>, picked: &Picked) {
        let (pull, part) = (&picked.pull, plan.plant.part(picked.pull.part));
        let look = if picked.missing.is_empty() { Look::Plain } else { Look::Wrong };
    }
    look: look;
    "done", Box => "";
    "run that has left", Moment => pull.run.leaves;
    "part", Wrapped => part.code.as_str();
    "description", Wrapped => weight::marked(plan.plant, part, pull.qty);
    "qty", Quantity => pull.qty;
    "uom", Text => part.uom.as_str();
    "unit", Wrapped => pull.owner.map(|owner| unit_code(plan, owner));
    "to", Wrapped => dest_code(plan, pull.to);
    "needed", Moment => pull.need;
    "how it stands", Text => pull_status(pull.status);
}

/// All extras, the first needed first; those set aside with their unit at the end.
fn extras<'p>(plan: &'p Plan<'p>) -> Vec<Line<'p, Extras>> {
    let rows = owed(plan).into_iter().sorted_by_key(|owed| owed.extra.part).collect_vec();
    let of_part = rows.chunk_by(|a, b| a.extra.part == b.extra.part).flat_map(|rows| of_part(plan, rows));
    of_part.sorted_by_key(|(key, _)| *key).map(|(_, line)| line).collect()
}

/// Where an extra stands among the others.
type Key = (bool, Option<Moment>, u32);

/// The lines of the extras of one part.
fn of_part<'p>(plan: &'p Plan<'p>, rows: &[Owed<'p>]) -> Vec<(Key, Line<'p, Extras>)> {
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

listing! {
    /// What is owed beyond the bills.
    Extras: fn extra_line<'p>(plan: &'p Plan<'p>, owed: &Owed<'p>, pegs: &[Peg]) {
        let extra = owed.extra;
        let part = plan.plant.part(extra.part);
        let worst = owed.need.and_then(|need| pegs.iter().map(|peg| peg.covered(need)).max());
        let how = worst.map_or(unit_status(UnitState::SetAside), Covered::word);
        let stores = pegs.iter().any(|peg| !matches!(peg.cover, Cover::ByProduct | Cover::Lineside | Cover::Job(_)));
        let run = owed.need.filter(|_| stores).and_then(|need| plan.runs.serving(need));
        let goes = run.map(|run| run_name(plan, run.leaves));
    }
    look: if how == "in time" { Look::Plain } else { Look::Wrong };
    "done", 6, Box => "";
    "goes with", 17, Wrapped => goes;
    "part", 6, Wrapped => part.code.as_str();
    "description", 14, Wrapped => weight::marked(plan.plant, part, extra.qty);
    "qty", 6, Quantity => weight::measured(part, extra.qty);
    "uom", 5, Text => part.uom.as_str();
    "unit", 6, Wrapped => unit_code(plan, owed.owner);
    "to", 5, Wrapped => dest_code(plan, extra.to);
    "needed", 17, Moment => owed.need;
    "how it stands", 8, Text => how;
    "where it comes from", 20, Wrapped => few(pegs.iter().map(|peg| source(plan, peg)).unique(), WORST);
    "why it is owed", 20, Wrapped => extra.reason.as_str();
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
