//! How a job stands, in words: its material, how late it is, and exactly why.

use super::facts::{Facts, ShopFacts, minutes_up};
use crate::base::{Moment, PartId, Quantity, numbered};
use crate::check::Source;
use crate::netting::Cover;
use crate::plan::{Doubt, Late, There};
use itertools::Itertools;

/// How many parts are named before the rest is only counted.
const NAMED: usize = 3;

/// How a job stands.
#[derive(Debug, PartialEq, Eq)]
pub struct Standing {
    /// `ready`, `issued`, `late, all there …`, `short of …` or `no time known for …`.
    pub material: String,
    /// The same where there is little room: how many parts are short, or the one that is; blank where all of it is in time.
    pub not_there: String,
    /// How late what it builds is, its late material waited for.
    pub late: Late,
    /// When the run leaves that brings its material; `None` where none does.
    pub run: Option<Moment>,
    /// When it can start at the earliest: when its crew gets to it and its material is there; `None` where nothing says when.
    pub earliest: Option<Moment>,
    /// Why it is late or will be; blank where nothing is wrong.
    pub why: String,
}

/// A piece of a job's material that is not there when it is needed, the late material of the job waited for that it comes from.
struct Missing {
    part: PartId,
    qty: Quantity,
    cover: Cover,
    there: There,
}

impl Standing {
    /// Of a job, by its index.
    pub fn of(facts: &Facts<'_>, shop: &ShopFacts<'_>, at: usize) -> Self {
        let missing = missing(facts, at);
        let reasons = [schedule(facts, shop, at), material_effect(facts, shop, at, &missing)];
        Self {
            material: if facts.job(at).started { "issued".to_owned() } else { material(facts, &missing) },
            not_there: not_there(facts, &missing),
            late: facts.plan.job_late(at),
            run: facts.brought.run(at).map(|run| run.leaves),
            earliest: earliest(facts, shop, at),
            why: reasons.into_iter().flatten().join("; "),
        }
    }
}

/// Whether there is something to look at with a job: it is late or finishes after its due, or its material is late.
pub fn wrong(facts: &Facts<'_>, at: usize) -> bool {
    let job = facts.job(at);
    material_late(facts, at) || facts.plan.job_late(at) != Late::InTime || ShopFacts::first_finish(job) > job.times.due
}

/// Whether some of a job's material is there after it is needed, so that the job moves.
pub fn material_late(facts: &Facts<'_>, at: usize) -> bool {
    facts.plan.job_there(at) != There::At(facts.job(at).available)
}

/// What of a job's material is there after it is needed.
fn missing(facts: &Facts<'_>, at: usize) -> Vec<Missing> {
    if !material_late(facts, at) {
        return Vec::new();
    }
    let pieces = facts.plan.doubts_of_job(numbered(at)).into_iter();
    let missing =
        pieces.filter(|piece| !piece.for_its_run).filter_map(|Doubt { demand, qty, cover, available, .. }| {
            let there =
                facts.plan.piece_there(&demand, cover, available).filter(|there| *there > There::At(demand.need))?;
            Some(Missing { part: demand.part, qty, cover, there })
        });
    missing.collect()
}

/// When a job can start at the earliest, as far as it is known when its material is there.
fn earliest(facts: &Facts<'_>, shop: &ShopFacts<'_>, at: usize) -> Option<Moment> {
    let job = facts.job(at);
    let material = match facts.brought.there(at) {
        Some(There::Unknown) => return None,
        Some(There::At(there)) => shop.calendar.worked(there) + shop.shop.ahead,
        None => job.slot.earliest,
    };
    Some(shop.calendar.starts(material.max(job.slot.earliest)))
}

/// The material in words.
fn material(facts: &Facts<'_>, missing: &[Missing]) -> String {
    if missing.iter().any(|piece| piece.cover == Cover::None) {
        return format!("short of {}", named(facts, missing, |piece| piece.cover == Cover::None));
    }
    match missing.iter().map(|piece| piece.there).max() {
        None => "ready".to_owned(),
        Some(There::At(at)) => format!("late, all there {}", at.short()),
        Some(There::Unknown) => {
            format!("no time known for {}", named(facts, missing, |piece| piece.there == There::Unknown))
        }
    }
}

/// The material that is not there, in few words.
fn not_there(facts: &Facts<'_>, missing: &[Missing]) -> String {
    let short = missing.iter().filter(|piece| piece.cover == Cover::None).map(|piece| piece.part).unique().count();
    match (missing, short) {
        ([], _) => String::new(),
        (_, 2..) => format!("{short} parts short"),
        _ => material(facts, missing),
    }
}

/// The parts that stand so, the first few by name; the shorts with what is missing.
fn named(facts: &Facts<'_>, missing: &[Missing], so: impl Fn(&Missing) -> bool) -> String {
    let of_parts = missing.chunk_by(|a, b| a.part == b.part);
    let wrong = of_parts.filter(|pieces| pieces.iter().any(&so));
    let mut names = wrong
        .map(|pieces| {
            let part = facts.plan.plant.part(pieces[0].part);
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

/// What late material does to a job that waits for it.
fn material_effect(facts: &Facts<'_>, shop: &ShopFacts<'_>, at: usize, missing: &[Missing]) -> Option<String> {
    let job = facts.job(at);
    match missing.iter().map(|piece| piece.there).max()? {
        There::Unknown if missing.iter().any(|piece| piece.cover == Cover::None) => {
            Some("material: nothing open covers what is short".to_owned())
        }
        There::Unknown => {
            let parts = named(facts, missing, |piece| piece.there == There::Unknown);
            Some(format!("material: nothing says when {parts} comes"))
        }
        There::At(last) => {
            let start = (shop.calendar.worked(last) + shop.shop.ahead).max(job.slot.earliest);
            let effect = match facts.plan.job_late(at) {
                Late::InTime => "is in time if begun then".to_owned(),
                Late::By(minutes) => format!("is then {minutes} min late"),
                Late::NotKnown => "nothing says when it is there".to_owned(),
            };
            let parts = named(facts, missing, |_| true);
            Some(format!("material: waits for {parts}, can start {}, {effect}", shop.calendar.starts(start).short()))
        }
    }
}

/// How many of some jobs are late, and of how many the material is late that are in time all the same.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// What they build is there after it is needed.
    pub late: usize,
    /// Of these those of which nothing says when.
    pub no_time: usize,
    /// In time though their material is late.
    pub material_late: usize,
}

impl Counts {
    /// Of jobs by their indices.
    pub fn of(facts: &Facts<'_>, jobs: impl Iterator<Item = usize>) -> Self {
        let mut counts = Self::default();
        for job in jobs {
            let late = facts.plan.job_late(job);
            counts.late += usize::from(late != Late::InTime);
            counts.no_time += usize::from(late == Late::NotKnown);
            counts.material_late += usize::from(late == Late::InTime && material_late(facts, job));
        }
        counts
    }

    /// Whether any is so.
    pub fn wrong(self) -> bool {
        self.late + self.material_late > 0
    }

    /// `2 late, 1 of them with no time known; 1 in time though its material is late`
    pub fn words(self) -> String {
        let mut words = match (self.late, self.no_time) {
            (0, _) => "none late".to_owned(),
            (late, 0) => format!("{late} late"),
            (late, no_time) => format!("{late} late, {no_time} of them with no time known"),
        };
        match self.material_late {
            0 => {}
            1 => words += "; 1 in time though its material is late",
            jobs => words += &format!("; {jobs} in time though their material is late"),
        }
        words
    }
}
