//! What comes from the feeder shops on the day, and what comes off the units themselves.

use super::weight;
use super::words::{dest_order, unit_code};
use crate::base::{Moment, PartId};
use crate::check::Source;
use crate::netting::{Cover, Demand, Peg};
use crate::plan::{Late, Plan, There};
use crate::report::listing::{Line, listing, widths};
use crate::report::names::{dest_code, job_name};
use crate::report::sheet::{Look, Sheet};
use crate::report::table::Value;
use crate::shops::Job;
use itertools::Itertools;

pub fn sheet<'p>(plan: &'p Plan<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("from the shops", &widths::<FromTheShops>());
    sheet.text(Look::Title, format!("From the feeder shops, {}", plan.day.long()));
    let jobs = jobs(plan);
    let pieces = jobs.iter().map(|(_, job)| (plan.plant.part(job.part), job.qty));
    let told = weight::told_of(plan.plant, pieces);
    let lines: Vec<Line<'p, FromTheShops>> = jobs.into_iter().map(|(there, job)| line(plan, there, job)).collect();
    told.into_iter().for_each(|told| _ = sheet.paragraph(Look::Plain, told));
    if lines.is_empty() {
        sheet.text(Look::Plain, "Nothing comes from a shop on this day.");
    } else {
        sheet.table(Some("from_the_shops".to_owned()), lines);
    }
    let freed = freed(plan);
    if !freed.is_empty() {
        sheet.gap().text(Look::Section, "Pieces that come off a unit and go back into it");
        sheet.table(Some("comes_off".to_owned()), freed);
    }
    sheet
}

/// Jobs that come on the day, and those that should have come by its end, soonest first; their late material waited for.
fn jobs<'p>(plan: &'p Plan<'p>) -> Vec<(There, &'p Job)> {
    let day = plan.day;
    let today = |(there, job): &(There, &Job)| {
        let comes = there.moment().map(Moment::date);
        comes == Some(day) || comes.is_none_or(|comes| comes > day) && job.need.date() <= day
    };
    let key = |(there, job): &(There, &Job)| (*there, job.shop, job.owner, job.part, job.number);
    let jobs = plan.jobs.iter().enumerate().map(|(at, job)| (plan.job_there(at), job));
    jobs.filter(today).sorted_by_key(key).collect()
}

listing! {
    /// What a job of a shop brings.
    FromTheShops: fn line<'p>(plan: &'p Plan<'p>, there: There, job: &'p Job) {
        let part = plan.plant.part(job.part);
        let late = Late::of(there, job.need);
    }
    look: if late > Late::InTime { Look::Wrong } else { Look::Plain };
    "there", 6, Box => "";
    "comes", 18, Moment => comes(there);
    "from", 13, Wrapped => plan.plant.shop_dest(job.shop).code.as_str();
    "part", 17, Wrapped => part.code.as_str();
    "description", 36, Wrapped => weight::heavy_only(plan.plant, part, job.qty);
    "qty", 8, Quantity => job.qty;
    "uom", 7, Text => part.uom.as_str();
    "unit", 13, Wrapped => unit_code(plan, job.owner);
    "to", 13, Wrapped => dest_code(plan, job.to);
    "needed", 18, Moment => job.need;
    "slack, min", 9, Whole => there.moment().map(|at| (job.need.seconds() - at.seconds()).div_euclid(60)).filter(|slack| *slack >= 0);
    "how it stands", 13, Text => if late > Late::InTime { "late" } else { "in time" };
    "minutes late", 9, Whole => match late {
        Late::By(minutes) => minutes.into(),
        Late::InTime | Late::NotKnown => Value::Blank,
    };
}

/// When something comes, where that is known.
fn comes<'p>(there: There) -> Value<'p> {
    there.moment().map_or("no time known".into(), Value::from)
}

/// By-products that are needed on the day, soonest need first.
fn freed<'p>(plan: &'p Plan<'p>) -> Vec<Line<'p, ComesOff>> {
    let parts = (0..plan.plant.parts.len()).map(PartId::of);
    let by_products = parts.filter(|part| plan.plant.part(*part).source == Source::ByProduct);
    let pieces = by_products.flat_map(|part| plan.made(part).pegged().pieces());
    let of_units = pieces.filter(|(_, peg)| peg.cover == Cover::ByProduct);
    let today = of_units.filter(|(demand, _)| demand.need.date() == plan.day);
    let sorted =
        today.sorted_by_key(|(demand, _)| (demand.need, demand.owner, dest_order(plan, demand.to), demand.part));
    sorted.map(|(demand, peg)| freed_line(plan, demand, peg)).collect()
}

listing! {
    /// A piece that comes off a unit and goes back into it.
    ComesOff: fn freed_line<'p>(plan: &'p Plan<'p>, demand: &Demand, peg: &Peg) {
        let part = plan.plant.part(demand.part);
        let there = plan.piece_there(demand, peg.cover, peg.available);
        let late = plan.piece_late(demand, peg) > Late::InTime;
    }
    look: if late { Look::Wrong } else { Look::Plain };
    "there", Box => "";
    "comes off", Moment => there.map_or(Value::Blank, comes);
    "unit", Wrapped => unit_code(plan, demand.owner);
    "part", Wrapped => part.code.as_str();
    "description", Wrapped => weight::heavy_only(plan.plant, part, peg.qty);
    "qty", Quantity => weight::measured(part, peg.qty);
    "uom", Text => part.uom.as_str();
    "how it stands", Text => if late { "late" } else { "in time" };
    "goes to", Wrapped => dest_code(plan, demand.to);
    "needed", Moment => demand.need;
}

/// The job that something waits for, in words.
pub fn job_words(plan: &Plan<'_>, job: u32) -> String {
    let job = &plan.jobs[job as usize];
    format!("job {} of {}", job_name(plan, job), plan.plant.shop_dest(job.shop).code)
}
