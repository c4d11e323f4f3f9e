//! Sentences that stand on several of the shops' sheets.

use super::facts::{ShopFacts, minutes_up, whole_minutes};
use super::load::{ByDue, missing};
use super::spare::Spare;
use crate::base::count;
use crate::plan::Plan;
use crate::report::names::job_name;

/// How a build order is worked.
pub const TAKE_THE_LOWEST: &str = "A free crew takes the lowest number whose material is there. The columns are a proposal: who does what is \
     the lead's decision.";

/// How to read a build order.
pub const HOW_TO_READ: &str = "Latest start: as late as the crew's next job and the due allow. Its run brings its \
     material. Earliest start: when that is there and the crew gets to it if it starts every job as soon as it can. Due: done by then it is in time, and so is what comes off it.";

/// What the arithmetic does not know.
pub const LIMITS: &str =
    "Overtime and crew figures are arithmetic; hours, rest and cure times are limits the lead checks.";

/// What the minutes to lose are.
pub const SPARE: &str = "What the shop can lose: the least, over all jobs, of the due less the finish where each is begun \
     when its crew gets to it and late material is waited for, in the shop's working minutes, rounded down. It is the crews' own time: \
     who works ahead needs the material with an earlier run. As long as no crew loses more than that in all, whenever \
     it does, and keeps its jobs and their order, every job is done by its due. Right now: how long all crews can stand \
     still from the as-of moment on and lose nothing afterwards; time in which a crew only waits for a by-product costs \
     nothing.";

/// What the crew arithmetic is.
pub const CREW_TIME: &str = "Load so far: the crew-minutes of all jobs due by then, of a job already begun what is left of \
     it. Crew time so far: crews times the working minutes from the as-of moment to then. Extra needed: by how much the load \
     is larger. A job whose material is late counts when it is done; where nothing says when that is, it is left out. With more than one crew, or where jobs wait for by-products, it is a lower bound: one job can't be shared \
     out among crews, and a crew that waits builds nothing, so a job can be late although nothing extra stands here.";

/// Its code, crews, and the times it keeps.
pub fn shop(shop: &ShopFacts<'_>) -> String {
    let (transit, ahead) = (minutes_up(shop.shop.transit), minutes_up(shop.shop.ahead));
    let crews = count(shop.shop.crews as usize, "crew", "crews");
    format!("{}, {crews}, {transit} min on the way, material {ahead} min before a start", shop.dest.code)
}

/// What the shop can lose, with the job that is tightest.
pub fn can_lose(plan: &Plan<'_>, shop: &ShopFacts<'_>, spare: &Spare<'_>) -> String {
    let Some(before) = spare.before_first_late() else { return "Nothing to build, nothing to lose.".to_owned() };
    let tightest = spare.tightest.map(|(slack, job)| {
        let due = shop.calendar.starts(job.times.due).short();
        (whole_minutes(slack), format!("{}, due {due}", job_name(plan, job)))
    });
    let now = spare.now.map_or(0, whole_minutes).max(0);
    match (spare.past_due, tightest) {
        (0, Some((_, job))) => format!(
            "Can lose {} min at any time before the first job is late ({job}); {now} min if all crews stood still right now.",
            whole_minutes(before)
        ),
        (past, Some((slack, job))) => format!(
            "Can lose 0 min: {} done after the due as it is. The others can lose {slack} min at any time before the next is late ({job}).",
            count(past, "job", "jobs")
        ),
        (past, None) => format!("Can lose 0 min: {} done after the due as it is.", count(past, "job", "jobs")),
    }
}

/// Whether there is crew time enough, and where it is tightest.
pub fn crew_time(shop: &ShopFacts<'_>, by_due: &[ByDue]) -> String {
    let at = |row: &ByDue| shop.calendar.starts(row.due).short();
    let bound = if shop.shop.crews > 1 { " (a lower bound with more than one crew)" } else { "" };
    match missing(by_due) {
        Some((first, most)) if first == most => format!(
            "Crew time: at least {} extra crew-minutes needed before {}{bound}.",
            minutes_up(first.missing()),
            at(first)
        ),
        Some((first, most)) => format!(
            "Crew time: at least {} extra crew-minutes needed before {}, {} in all before {}{bound}.",
            minutes_up(first.missing()),
            at(first),
            minutes_up(most.missing()),
            at(most)
        ),
        None => match by_due.iter().rev().max_by_key(|row| row.missing()) {
            Some(row) => format!(
                "Crew time: no extra crew-minutes needed before any due{bound}; least left {} before {}.",
                whole_minutes(-row.missing()),
                at(row)
            ),
            None => "Crew time: nothing to build.".to_owned(),
        },
    }
}
