//! The jobs in which a part is built or built in: when each runs, and what it waits for.

use super::asked::Asked;
use super::facts::JobFacts;
use crate::base::Ratio;
use crate::check::Source;
use crate::plan::Material;
use crate::plan::words::{dest_code, job_name, material_word};
use crate::shops::Job;

/// A job, by its index.
pub fn facts(asked: &Asked<'_>, at: u32, job: &Job) -> JobFacts {
    let (plan, plant) = (asked.plan, asked.plant);
    let shop = plant.shop_dest(job.shop);
    let calendar = plant.calendar(plant.shop(job.shop).calendar);
    let material = plan.materials[at as usize];
    let material_at = match material {
        Material::Late(at) => Some(at),
        Material::Ready | Material::Short | Material::Issued => None,
    };
    JobFacts {
        job: job_name(plan, job),
        shop: shop.code.clone(),
        shop_name: shop.name.clone(),
        crew: job.slot.crew + 1,
        part: plant.part(job.part).code.clone(),
        qty: job.qty,
        to: dest_code(plan, job.to).to_owned(),
        need: job.need,
        minutes: Ratio::new(i128::from(job.times.length), 60).unwrap_or(Ratio::ZERO),
        started: job.started,
        release: calendar.starts(job.times.release),
        due: calendar.starts(job.times.due),
        earliest: calendar.starts(job.slot.earliest),
        start: calendar.starts(job.slot.start),
        finish: calendar.ends(job.slot.finish),
        available: job.available,
        there: plan.job_there(at as usize).moment(),
        late_minutes: plan.job_there(at as usize).moment().map(|there| job.need.minutes_until(there)),
        waits_for: waits_for(asked, job),
        after: before(asked, job).map(|job| (job_name(plan, job), calendar.ends(job.slot.finish))),
        material: material_word(material),
        material_at,
    }
}

/// The by-products a job can't start without, where they put its release off.
fn waits_for(asked: &Asked<'_>, job: &Job) -> Vec<String> {
    let plant = asked.plant;
    let calendar = plant.calendar(plant.shop(job.shop).calendar);
    if job.times.release <= calendar.worked(plant.as_of) {
        return Vec::new();
    }
    let parts = job.below.needs.iter().map(|(part, _)| plant.part(*part));
    parts.filter(|part| part.source == Source::ByProduct).map(|part| part.code.clone()).collect()
}

/// The job that the same crew does just before.
fn before<'p>(asked: &Asked<'p>, job: &Job) -> Option<&'p Job> {
    let turn = job.slot.turn.checked_sub(1)?;
    let same = |other: &&Job| other.shop == job.shop && other.slot.crew == job.slot.crew && other.slot.turn == turn;
    asked.plan.jobs.iter().find(same)
}
