//! How a job stands, in words: its material, how late it is, and exactly why.

use super::facts::{Facts, ShopFacts, minutes_up};
use crate::base::{Moment, Quantity, numbered};
use crate::check::Source;
use crate::netting::Cover;
use crate::plan::{Doubt, Material};
use crate::shops::Job;
use crate::supply::Covered;
use itertools::Itertools;

/// How many parts are named before the rest is only counted.
const NAMED: usize = 3;

/// How a job stands.
#[derive(Debug, PartialEq, Eq)]
pub struct Standing {
    /// `ready`, `issued`, `late, all there …` or `short of …`.
    pub material: String,
    /// Minutes after its need, as the schedule has it; 0 where it is in time.
    pub late: i64,
    /// Why it is late or will be; blank where nothing is wrong.
    pub why: String,
}

impl Standing {
    /// Of a job, by its index.
    pub fn of(facts: &Facts<'_>, shop: &ShopFacts<'_>, at: usize) -> Self {
        let job = facts.job(at);
        let state = facts.plan.materials[at];
        let pieces = match state {
            Material::Late(_) | Material::Short => facts.plan.doubts_of_job(numbered(at)),
            Material::Ready | Material::Issued => Vec::new(),
        };
        let reasons = [schedule(facts, shop, at), material_effect(facts, shop, job, state, &pieces)];
        Self {
            material: material(facts, state, &pieces),
            late: job.need.minutes_until(job.available),
            why: reasons.into_iter().flatten().join("; "),
        }
    }
}

/// Whether there is something to look at with a job: it finishes after its due, or its material is missing.
pub fn wrong(facts: &Facts<'_>, at: usize) -> bool {
    let job = facts.job(at);
    let waits = matches!(facts.plan.materials[at], Material::Late(_) | Material::Short);
    waits || ShopFacts::first_finish(job) > job.times.due
}

/// The material in words.
fn material(facts: &Facts<'_>, state: Material, pieces: &[Doubt]) -> String {
    match state {
        Material::Ready => "ready".to_owned(),
        Material::Issued => "issued".to_owned(),
        Material::Late(at) => format!("late, all there {}", at.short()),
        Material::Short => format!("short of {}", named(facts, pieces, Covered::Short)),
    }
}

/// The parts that stand so, the first few by name; the shorts with what is missing.
fn named(facts: &Facts<'_>, pieces: &[Doubt], covered: Covered) -> String {
    let of_parts = pieces.chunk_by(|a, b| a.demand.part == b.demand.part);
    let wrong = of_parts.filter(|pieces| pieces.iter().any(|piece| piece.covered() == covered));
    let mut names = wrong
        .map(|pieces| {
            let part = facts.plan.plant.part(pieces[0].demand.part);
            let missing = pieces.iter().filter(|piece| piece.cover == Cover::None).map(|piece| piece.qty);
            let missing = missing.sum::<Quantity>();
            if missing.is_positive() { format!("{} ({missing} {})", part.code, part.uom) } else { part.code.clone() }
        })
        .collect_vec();
    let more = names.len().saturating_sub(NAMED);
    names.truncate(NAMED);
    if more > 0 { format!("{} and {more} more", names.join(", ")) } else { names.join(", ") }
}

/// Why the schedule finishes a job after its due. The working seconds it is late by are two waits one after the other:
/// from its due to `release + length`, which no crew could have changed, and from its release to its forward start.
fn schedule(facts: &Facts<'_>, shop: &ShopFacts<'_>, at: usize) -> Option<String> {
    let job = facts.job(at);
    let times = job.times;
    let late = ShopFacts::first_finish(job) - times.due;
    if late <= 0 {
        return None;
    }
    let before_release = times.release + times.length - times.due;
    let for_crew = job.slot.earliest - times.release;
    let waits = (times.release > shop.now && before_release > 0).then(|| {
        let until = shop.calendar.starts(times.release).short();
        format!("by-product: waits for {} until {until}", by_products(facts, at))
    });
    let busy = (for_crew > 0).then(|| {
        let free = shop.calendar.starts(job.slot.earliest).short();
        let crews = if shop.shop.crews == 1 { "the crew" } else { "every crew" };
        format!("crew time: not enough, {crews} is busy until {free}")
    });
    let long = (waits.is_none() && busy.is_none()).then(|| {
        let (takes, left) = (minutes_up(times.length), (times.due - times.release).max(0) / 60);
        format!("crew time: not enough, it takes {takes} min and {left} are left before its due")
    });
    let takers = (job.available <= job.need)
        .then(|| format!("done {} min after its due, by which what comes off it is wanted", minutes_up(late)));
    Some([waits, busy, long, takers].into_iter().flatten().join("; "))
}

/// The by-products a job waits for: those whose last piece comes last.
fn by_products(facts: &Facts<'_>, at: usize) -> String {
    let plant = facts.plan.plant;
    let pieces = facts.plan.doubts_of_job(numbered(at));
    let of_parts = pieces.chunk_by(|a, b| a.demand.part == b.demand.part);
    let free = of_parts.filter(|pieces| plant.part(pieces[0].demand.part).source == Source::ByProduct);
    let last = |pieces: &[Doubt]| pieces.iter().filter_map(|piece| piece.available).max();
    let waits = free.filter_map(|pieces| Some((last(pieces)?, pieces[0].demand.part))).collect_vec();
    let last = waits.iter().map(|wait| wait.0).max();
    let named =
        waits.iter().filter(|wait| Some(wait.0) == last).map(|wait| plant.part(wait.1).code.as_str()).join(" and ");
    if named.is_empty() { "a piece of the same unit".to_owned() } else { named }
}

/// What missing material does to a job that waits for it.
fn material_effect(
    facts: &Facts<'_>,
    shop: &ShopFacts<'_>,
    job: &Job,
    state: Material,
    pieces: &[Doubt],
) -> Option<String> {
    match state {
        Material::Ready | Material::Issued => None,
        Material::Short => Some("material: nothing open covers what is short".to_owned()),
        Material::Late(at) => {
            let parts = named(facts, pieces, Covered::Late);
            let (start, late) = with_material(shop, job, at);
            let effect = match late {
                0 => "is in time if begun then".to_owned(),
                late => format!("is then {late} min late"),
            };
            Some(format!("material: waits for {parts}, can start {}, {effect}", start.short()))
        }
    }
}

/// When a job can start that waits for material, and by how many minutes what it builds is then late.
fn with_material(shop: &ShopFacts<'_>, job: &Job, at: Moment) -> (Moment, i64) {
    let start = (shop.calendar.worked(at) + shop.shop.ahead).max(job.slot.earliest);
    let there = shop.calendar.ends(start + job.times.length + shop.shop.transit);
    (shop.calendar.starts(start), job.need.minutes_until(there))
}
