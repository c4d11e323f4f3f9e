//! What comes from the feeder shops on the day, and what comes off the units themselves.

use super::super::names::{dest_code, job_name};
use super::super::sheet::{Column, Line, Look, Sheet, Show};
use super::super::table::Value;
use super::words::{dest_order, unit_code};
use crate::base::{Moment, PartId, Quantity};
use crate::check::Source;
use crate::netting::Cover;
use crate::plan::{Late, Plan, There};
use crate::shops::Job;
use itertools::Itertools;

const JOBS: [Column; 12] = [
    Column { heading: "there", show: Show::Box },
    Column { heading: "comes", show: Show::Moment },
    Column { heading: "from", show: Show::Wrapped },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "to", show: Show::Wrapped },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "how it stands", show: Show::Text },
    Column { heading: "minutes late", show: Show::Whole },
];
const FREED: [Column; 10] = [
    Column { heading: "there", show: Show::Box },
    Column { heading: "comes off", show: Show::Moment },
    Column { heading: "unit", show: Show::Wrapped },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "qty", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "how it stands", show: Show::Text },
    Column { heading: "goes to", show: Show::Wrapped },
    Column { heading: "needed", show: Show::Moment },
];
const WIDTHS: [u16; 12] = [6, 18, 13, 17, 36, 8, 7, 13, 13, 18, 13, 9];

/// The sheet.
pub fn sheet<'p>(plan: &'p Plan<'p>) -> Sheet<'p> {
    let mut sheet = Sheet::new("from the shops", &WIDTHS);
    sheet.text(Look::Title, format!("From the feeder shops, {}", plan.day.long()));
    let lines: Vec<Line<'p>> = jobs(plan).into_iter().map(|(there, job)| line(plan, there, job)).collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "Nothing comes from a shop on this day.");
    } else {
        sheet.table(Some("from_the_shops".to_owned()), &JOBS, lines);
    }
    let freed = freed(plan);
    if !freed.is_empty() {
        sheet.gap().text(Look::Section, "Pieces that come off a unit and go back into it");
        sheet.table(Some("comes_off".to_owned()), &FREED, freed);
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

fn line<'p>(plan: &'p Plan<'p>, there: There, job: &'p Job) -> Line<'p> {
    let part = plan.plant.part(job.part);
    let late = Late::of(there, job.need);
    let values = vec![
        "".into(),
        comes(there),
        plan.plant.shop_dest(job.shop).code.as_str().into(),
        part.code.as_str().into(),
        part.description.as_str().into(),
        job.qty.into(),
        part.uom.as_str().into(),
        unit_code(plan, job.owner).into(),
        dest_code(plan, job.to).into(),
        job.need.into(),
        if late > Late::InTime { "late" } else { "in time" }.into(),
        match late {
            Late::By(minutes) => minutes.into(),
            Late::InTime | Late::NotKnown => Value::Blank,
        },
    ];
    (if late > Late::InTime { Look::Wrong } else { Look::Plain }, values)
}

/// When something comes, where that is known.
fn comes<'p>(there: There) -> Value<'p> {
    there.moment().map_or("no time known".into(), Value::from)
}

/// By-products that are needed on the day, soonest need first.
fn freed<'p>(plan: &'p Plan<'p>) -> Vec<Line<'p>> {
    let parts = (0..plan.plant.parts.len()).map(PartId::of);
    let by_products = parts.filter(|part| plan.plant.part(*part).source == Source::ByProduct);
    let pieces = by_products.flat_map(|part| plan.made(part).pegged().pieces());
    let of_units = pieces.filter(|(_, peg)| peg.cover == Cover::ByProduct);
    let today = of_units.filter(|(demand, _)| demand.need.date() == plan.day);
    let sorted =
        today.sorted_by_key(|(demand, _)| (demand.need, demand.owner, dest_order(plan, demand.to), demand.part));
    sorted
        .map(|(demand, peg)| {
            let part = plan.plant.part(demand.part);
            let there = plan.piece_there(demand, peg.cover, peg.available);
            let late = plan.piece_late(demand, peg) > Late::InTime;
            let values = vec![
                "".into(),
                there.map_or(Value::Blank, comes),
                unit_code(plan, demand.owner).into(),
                part.code.as_str().into(),
                part.description.as_str().into(),
                Quantity::into(peg.qty),
                part.uom.as_str().into(),
                if late { "late" } else { "in time" }.into(),
                dest_code(plan, demand.to).into(),
                demand.need.into(),
            ];
            (if late { Look::Wrong } else { Look::Plain }, values)
        })
        .collect()
}

/// The job that something waits for, in words.
pub fn job_words(plan: &Plan<'_>, job: u32) -> String {
    let job = &plan.jobs[job as usize];
    format!("job {} of {}", job_name(plan, job), plan.plant.shop_dest(job.shop).code)
}
