//! A shop's build order: what to build next, for whom, by when, and whether it can be begun.

use super::facts::{Facts, ShopFacts, Timed};
use super::load;
use super::pages::keep_together;
use super::spare::Spare;
use super::standing::{self, Counts, Standing};
use super::words;
use crate::base::count;
use crate::plan::Late;
use crate::report::limits;
use crate::report::listing::{listing, widths};
use crate::report::names::{dest_code, job_name};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use crate::shops::Job;
use itertools::Itertools;

const SCALE: u16 = 65;
pub fn sheet<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, name: String, table: String) -> Sheet<'p> {
    let mut sheet = Sheet::new(name, &widths::<BuildOrder>());
    sheet.text(Look::Title, format!("{}: all jobs, for the screen", shop.dest.name));
    sheet.text(Look::Plain, format!("{}; {}", super::foot(facts.plan), words::shop(shop)));
    let jobs = shop.jobs.iter().map(|at| facts.job(*at)).collect_vec();
    top(facts, shop, &shop.timed(facts), &mut sheet);
    let made = jobs.len().min(limits::ROWS_OF_A_PLAN as usize);
    sheet.not_made = (jobs.len() - made) as u32;
    let (jobs, first_jobs) = (&jobs[..made], &shop.jobs[..made]);
    let lines = first_jobs.iter().map(|at| line(facts, shop, *at, &Standing::of(facts, shop, *at))).collect();
    sheet.gap();
    sheet.table(Some(table), lines);
    let first = sheet.next_row() - made as u32;
    let starts = (first..sheet.next_row()).collect_vec();
    let new_day = |(a, b): &(&Job, &Job)| shop.starts(a).date() != shop.starts(b).date();
    let days = jobs.iter().copied().tuple_windows().positions(|pair| new_day(&pair));
    let fresh = days.map(|i| first + i as u32 + 1).collect_vec();
    keep_together(&mut sheet, SCALE, &starts, &fresh);
    sheet
}

/// What the lead reads first: how it stands, what can be lost, and whether there is crew time enough.
fn top(facts: &Facts<'_>, shop: &ShopFacts<'_>, jobs: &[Timed<'_>], sheet: &mut Sheet<'_>) {
    let counts = Counts::of(facts, shop.jobs.iter().copied());
    let begun = jobs.iter().filter(|job| job.job.started).count();
    let wrong = if counts.wrong() { Look::Wrong } else { Look::Strong };
    sheet.text(wrong, format!("{}: {}; {begun} begun already.", count(jobs.len(), "job", "jobs"), counts.words()));
    sheet.text(Look::Strong, words::can_lose(facts.plan, shop, &Spare::of(jobs, shop.now)));
    sheet.text(Look::Strong, words::crew_time(shop, &load::by_due(jobs, shop.shop.crews, shop.now)));
    sheet.text(Look::Faint, words::HOW_TO_READ);
    sheet.text(Look::Faint, words::LIMITS);
}

listing! {
    /// A job, in the order in which it is built.
    BuildOrder: fn line<'p>(facts: &Facts<'p>, shop: &ShopFacts<'p>, at: usize, standing: &Standing) {
        let job = facts.job(at);
        let part = facts.plan.plant.part(job.part);
        let look = if standing::wrong(facts, at) { Look::Wrong } else { Look::Plain };
        let made = if job.number > 0 { job_name(facts.plan, job) } else { part.code.clone() };
    }
    look: look;
    "crew", 4, Whole => i64::from(job.slot.crew) + 1;
    "latest start", 16, Moment => shop.starts(job);
    "its run", 16, Moment => standing.run;
    "earliest start", 16, Moment => standing.earliest.map_or("no time known".into(), Value::from);
    "finish", 16, Moment => shop.calendar.ends(job.slot.finish);
    "due", 16, Moment => shop.calendar.starts(job.times.due);
    "unit", 9, Text => facts.owner(job.owner);
    "floorplan", 11, Text => facts.floorplan(job.owner);
    "part", 14, Text => made;
    "description", 25, Wrapped => part.description.as_str();
    "qty", 5, Quantity => job.qty;
    "to", 12, Text => dest_code(facts.plan, job.to);
    "its options that matter", 15, Wrapped => facts.options(job);
    "material", 13, Wrapped => standing.material.clone();
    "late, min", 9, Whole => match standing.late {
        Late::InTime => Value::Blank,
        Late::By(minutes) => minutes.into(),
        Late::NotKnown => "not known".into(),
    };
    "why", 18, Wrapped => standing.why.clone();
    "done", 5, Box => Value::Blank;
}
