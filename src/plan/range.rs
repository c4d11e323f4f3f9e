//! The range of a plan: what the book has of each part and asks of it, all added up, must fit in a quantity; and no list may
//! grow beyond what a machine holds. Both are known before the long lists are made.

use super::demands::units;
use super::exploded::Exploded;
use crate::base::{Finding, PartId, Place, Quantity, Total};
use crate::book::Table;
use crate::check::amounts::{self, Source, too_much};
use crate::check::limits::{MOST_BELOW_JOBS, MOST_DEMANDS, MOST_JOBS, MOST_SLOTS, MOST_TRUTHS};
use crate::check::{Plant, kinds};
use crate::explode::{Below, Path, TooLarge};
use crate::shops::{Job, Run};
use std::collections::HashMap;
use std::sync::Arc;

/// The parts of which there is too much, the needs of units and jobs included; or else that jobs need too many parts.
pub(super) fn findings(exploded: &Exploded<'_>, run: &Run) -> Vec<Finding> {
    let plant = exploded.plant;
    let demands = run.jobs.iter().filter(|job| !job.started).map(|job| job.below.needs.len() as u64).sum();
    if let Some(finding) = too_many_demands(plant, demands) {
        return vec![finding];
    }
    let of_jobs = of_jobs(plant, &run.jobs);
    let come_off = come_off(plant, run);
    let mut most = amounts::of_parts(plant);
    let others = of_jobs.iter().zip(&come_off);
    most.iter_mut().zip(others).for_each(|(all, (jobs, lots))| *all = *all + *jobs + *lots);
    at_most_of_units(exploded, &mut most);
    // Hardly ever is there a part of which there could be too much; only then it is worth counting who takes it.
    let doubtful: Vec<bool> = most.into_iter().map(too_much).collect();
    if !doubtful.contains(&true) {
        return Vec::new();
    }
    let mut of_units = of_units(exploded, &doubtful);
    let own = amounts::of_parts(plant);
    let mut found = Vec::new();
    for part in (0..plant.parts.len()).filter(|part| doubtful[*part]) {
        let id = PartId::of(part);
        let rows = of_units.remove(&id).unwrap_or_default();
        let all = own[part] + of_jobs[part] + come_off[part] + rows.iter().map(|(_, amount)| *amount).sum();
        if too_much(all) {
            let by_units = Source::new("needed by units", Table::Bills, rows);
            let by_jobs = Source::of_all("needed by jobs", Table::Bills, of_jobs[part], lines(plant, id, false));
            let off = Source::of_all("coming off", Table::Bills, come_off[part], lines(plant, id, true));
            found.push(amounts::finding(plant, id, vec![by_units, by_jobs, off]));
        }
    }
    found
}

/// Adds what units would need if each took every path of its floorplan.
fn at_most_of_units(exploded: &Exploded<'_>, most: &mut [Total]) {
    let units = units(&exploded.pace.owners, &exploded.explosions);
    for (paths, units) in exploded.explosions.floorplans.iter().zip(units) {
        let count: usize = units.iter().map(|word| word.count_ones() as usize).sum();
        needed(&paths.all).for_each(|path| most[path.part.at()] += Total::times(path.qty, count));
    }
}

/// Those by which something is needed.
fn needed(paths: &[Path]) -> impl Iterator<Item = &Path> {
    paths.iter().filter(|path| !path.gives)
}

/// What units need of some parts: for each the rows of the lines, and how much all units together take by each.
fn of_units(exploded: &Exploded<'_>, parts: &[bool]) -> HashMap<PartId, Vec<(u32, Total)>> {
    let units = units(&exploded.pace.owners, &exploded.explosions);
    let mut found: HashMap<PartId, Vec<(u32, Total)>> = HashMap::new();
    for (paths, units) in exploded.explosions.floorplans.iter().zip(units) {
        for path in needed(&paths.all).filter(|path| parts[path.part.at()]) {
            let taking = units.iter().zip(exploded.explosions.guards.owners(path.guard));
            let count = taking.map(|(unit, holds)| (unit & holds).count_ones() as usize).sum();
            found.entry(path.part).or_default().push((path.row, Total::times(path.qty, count)));
        }
    }
    found
}

/// What jobs that have not begun need of each part, by part.
fn of_jobs(plant: &Plant, jobs: &[Job]) -> Vec<Total> {
    let mut alike: HashMap<*const Below, (&Below, usize)> = HashMap::new();
    for job in jobs.iter().filter(|job| !job.started) {
        alike.entry(Arc::as_ptr(&job.below)).or_insert((&job.below, 0)).1 += 1;
    }
    let mut all = vec![Total::ZERO; plant.parts.len()];
    #[expect(clippy::iter_over_hash_type, reason = "sums do not depend on the order")]
    for (below, count) in alike.values() {
        below.needs.iter().for_each(|(part, qty)| all[part.at()] += Total::times(*qty, *count));
    }
    all
}

/// What comes off units and jobs, by part.
fn come_off(plant: &Plant, run: &Run) -> Vec<Total> {
    let mut all = vec![Total::ZERO; plant.parts.len()];
    #[expect(clippy::iter_over_hash_type, reason = "sums do not depend on the order")]
    for ((_, part), lots) in &run.lots {
        all[part.at()] += lots.iter().map(|(_, qty): &(_, Quantity)| *qty).sum();
    }
    all
}

/// The rows of a part's bill lines.
fn lines(plant: &Plant, part: PartId, gives: bool) -> impl Iterator<Item = u32> {
    plant.bills.iter().filter(move |line| line.part == part && line.gives == gives).map(|line| line.row)
}

/// What is too large in an explosion or a run of the shops.
pub(super) fn too_large(plant: &Plant, large: TooLarge) -> Finding {
    let of_part = |part: PartId, message: String| {
        let known = plant.part(part);
        (plant.place(Table::Parts, known.row, "part"), known.code.as_str(), message)
    };
    let of_table = |table: Table, message: String| (plant.place(table, 0, ""), "", message);
    let (place, value, message) = match large {
        TooLarge::Line(part, row) => {
            let line = plant.place(Table::Bills, row, "qty");
            let most = Quantity::LIMIT;
            let uom = &plant.part(part).uom;
            of_part(part, format!("multiplied out down to {line}, its quantity is more than {most} {uom}"))
        }
        TooLarge::Sum(part) => return sum_too_large(plant, part),
        TooLarge::Time(part) => of_part(part, "a job of it would take more than 400 years".to_owned()),
        TooLarge::BelowJobs => of_table(
            Table::Bills,
            format!(
                "what jobs need makes lists of more than {MOST_BELOW_JOBS} parts: there are too many different jobs with so \
                 many lines below them"
            ),
        ),
        TooLarge::Jobs => of_table(Table::Sequence, format!("its units need more than {MOST_JOBS} jobs of the shops")),
        TooLarge::Truths(rows) => {
            let units = plant.units.len();
            let message = format!(
                "{units} units times {rows} conditions (and sets of them), options, floorplans, series, lines and changes are \
                 more than {MOST_TRUTHS}"
            );
            of_table(Table::Sequence, message)
        }
    };
    Finding::new(&kinds::TOO_LARGE, place, value, message)
}

/// A part that one job, or all jobs and stations together, need too much of.
fn sum_too_large(plant: &Plant, part: PartId) -> Finding {
    let least = Total::from(crate::check::limits::MOST_OF_A_PART);
    amounts::finding_at_least(
        plant,
        part,
        Source::of_all("needed at least", Table::Bills, least, lines(plant, part, false)),
    )
}

/// A plant with so many places and owners that the table of what each needs where would not fit in memory.
pub(super) fn too_many_slots(plant: &Plant, owners: usize) -> Option<Finding> {
    let (places, most) = (plant.dests.len(), MOST_SLOTS);
    let message = || {
        format!("{owners} units (and others that extras name) times {places} stations and shops are more than {most}")
    };
    let place: Place = plant.place(Table::Sequence, 0, "");
    let too_many = owners as u64 * places as u64 > most;
    too_many.then(|| Finding::new(&kinds::TOO_LARGE, place, "", message()))
}

/// A plan with so many demands that their pulls would not fit in memory.
pub(super) fn too_many_demands(plant: &Plant, demands: u64) -> Option<Finding> {
    let message = || {
        let units = plant.units.len();
        format!(
            "{units} units, their jobs and extras make {demands} demands for bought parts, more than {MOST_DEMANDS}"
        )
    };
    let place = plant.place(Table::Sequence, 0, "");
    (demands > MOST_DEMANDS).then(|| Finding::new(&kinds::TOO_LARGE, place, "", message()))
}
