//! The rows of the table of jobs.

use super::clock::print as moment;
use super::numbers::print as quantity;
use super::shops::Job;
use super::standing::{Standing, of_material};
use super::supply::{Cover, Peg};
use super::write::Plan;

pub fn jobs(plan: &Plan) -> Vec<Vec<String>> {
    let mut jobs: Vec<&Job> = plan.run.jobs.iter().collect();
    // A stable sort: of one crew, the jobs stay as the crew took them.
    jobs.sort_by_key(|job| (job.draft.shop.clone(), job.slot.start, job.slot.crew));
    jobs.iter().map(|job| job_row(plan, job)).collect()
}

fn job_row(plan: &Plan, job: &Job) -> Vec<String> {
    let plant = plan.view.plant;
    let calendar = plant.calendar_of_shop(&job.draft.shop);
    let starts = |worked: i64| moment(calendar.starts(worked));
    let demand = &job.draft.demand;
    let pegs = plan.pegs.iter().filter(|peg| peg.demand == *demand);
    let by_job = pegs.filter(|peg| matches!(peg.cover, Cover::Job(_)));
    let late = by_job.map(Peg::late_minutes).max().expect("a job covers its demand");
    let (material, material_at) = match of_material(&plan.pegs, job) {
        _ if job.draft.started.is_some() => ("issued", String::new()),
        Standing::Clear => ("ready", String::new()),
        Standing::Late(_, at) => ("late", moment(at)),
        Standing::Short(_) => ("short", String::new()),
    };
    let there = plan.there[demand];
    vec![
        plan.names[demand].clone(),
        plant.shops[&job.draft.shop].code.clone(),
        (job.slot.crew + 1).to_string(),
        plan.view.crowd.takers[demand.rank].name.clone(),
        plant.parts[&demand.part].code.clone(),
        plant.place_code(&demand.to).to_string(),
        quantity(job.draft.qty),
        starts(job.release),
        starts(job.due),
        starts(job.slot.earliest),
        starts(job.slot.start),
        moment(calendar.ends(job.slot.finish)),
        late.to_string(),
        material.to_string(),
        material_at,
        there.map_or(String::new(), moment),
    ]
}
