//! Every way to the part: what is asked for, what has come already, and what does not apply.

use super::answer::own;
use super::steps::{self, wish_words};
use crate::report::prose::{Prose, amount, count};
use crate::why::facts::{From, JobFacts, Outcome, PathFacts, Why};
use std::collections::BTreeMap;

/// So many paths of a kind are told in full.
const SHOWN: usize = 12;

/// Writes them.
pub fn write(why: &Why, prose: &mut Prose) {
    let missed = |path: &&PathFacts| matches!(path.outcome, Outcome::NotActive { .. } | Outcome::Nothing { .. });
    let (not, so): (Vec<&PathFacts>, Vec<&PathFacts>) = own(why).partition(missed);
    if !so.is_empty() {
        prose.heading("How it comes about");
        so.iter().take(SHOWN).for_each(|path| path_lines(why, path, prose));
        more(so.len(), prose);
    }
    if !not.is_empty() {
        prose.heading("What does not apply to it");
        not.iter().take(SHOWN).for_each(|path| path_lines(why, path, prose));
        more(not.len(), prose);
    }
}

fn more(paths: usize, prose: &mut Prose) {
    if paths > SHOWN {
        prose.line(2, &format!("… and {} more (--json tells all)", count(paths - SHOWN, "path", "paths")));
    }
}

fn path_lines(why: &Why, path: &PathFacts, prose: &mut Prose) {
    prose.line(2, &format!("{}:", title(path)));
    let mut seen = BTreeMap::new();
    lineage(why, path, &mut seen, prose);
    steps::write(path, &why.unit, 4, prose);
    if let Outcome::NotActive { .. } = path.outcome {
        let wish = path.change.as_ref().map(wish_words);
        if let Some(wish) = wish {
            prose.line(4, &wish);
        }
    }
}

fn title(path: &PathFacts) -> String {
    let qty = amount(path.qty, &path.uom);
    let to = path.to.as_ref().map(|to| format!(" for {to}")).unwrap_or_default();
    let need = path.need.map(|need| format!(", by {}", need.short())).unwrap_or_default();
    match &path.outcome {
        Outcome::Needed { .. } => format!("{qty}{to}{need}"),
        Outcome::Delivered { run } => format!("{qty}{to}, delivered with the run of {}", run.short()),
        Outcome::Issued { station } => format!("{qty}{to}: {station} has its material already"),
        Outcome::Begun { job } => format!("{qty}{to}: the job {job} has begun, and its material is there"),
        Outcome::Covered { part } => format!("{qty}{to} would go into {part}, which is there already"),
        Outcome::Inside { job } => format!("{qty} built inside the job {job}"),
        Outcome::Phantom => format!("{qty}{to}, a phantom"),
        Outcome::Free { at } => format!("{qty} comes off, free {}", at.short()),
        Outcome::NotActive { .. } => format!("{qty}{to} if it applied, but {}", reason_of(path)),
        Outcome::Nothing { .. } => format!("nothing{to}: multiplied out no quantity is left"),
        Outcome::NotSupplied => format!("{qty}{to}, which is not supplied"),
    }
}

fn reason_of(path: &PathFacts) -> String {
    let Outcome::NotActive { step } = path.outcome else { return String::new() };
    let Some(step) = path.steps.get(step) else { return String::new() };
    match step.when.as_ref().filter(|when| !when.holds) {
        Some(when) => format!("'{}' does not hold", when.text),
        None => {
            let blocks = step.changes.iter().find(|change| change.reached == (change.side == "until"));
            let side = |reached| if reached { "is reached" } else { "is not reached" };
            blocks.map(|change| format!("change {} {}", change.change, side(change.reached))).unwrap_or_default()
        }
    }
}

/// The lines that lead to the job or the part a path begins at.
fn lineage(why: &Why, path: &PathFacts, seen: &mut BTreeMap<String, ()>, prose: &mut Prose) {
    match &path.from {
        From::Job { job } if seen.insert(job.clone(), ()).is_none() => {
            let Some(job) = why.jobs.iter().find(|known| known.job == *job) else { return };
            lead(why, job.part.as_str(), &job.to, Some(job), seen, prose);
            prose.line(4, &built(job));
        }
        From::Stock { part, to } => {
            lead(why, part, to, None, seen, prose);
            prose.line(
                4,
                &format!(
                    "{} of {part} {} there already.",
                    path.start,
                    if path.start == crate::base::Quantity::whole(1) { "is" } else { "are" }
                ),
            );
        }
        _ => {}
    }
}

fn built(job: &JobFacts) -> String {
    let begun = if job.started { ", which has begun" } else { "" };
    format!("{} builds {} of {} in the job {}{begun}.", job.shop, job.qty, job.part, job.job)
}

/// The paths to a make part at a place; the first in full.
fn lead(why: &Why, part: &str, to: &str, job: Option<&JobFacts>, seen: &mut BTreeMap<String, ()>, prose: &mut Prose) {
    let leads = |path: &&PathFacts| {
        let needed = matches!(path.outcome, Outcome::Needed { .. });
        needed
            && path.part == part
            && path.to.as_deref() == Some(to)
            && job.is_none_or(|job| path.need == Some(job.need))
    };
    let above: Vec<&PathFacts> = why.paths.iter().filter(leads).collect();
    for path in above.iter().take(3) {
        lineage(why, path, seen, prose);
        steps::write(path, &why.unit, 4, prose);
    }
    if above.len() > 3 {
        prose.line(4, &format!("… and {} more ask for it", count(above.len() - 3, "line", "lines")));
    }
}
