//! Every way to the part: what is asked for, what has come already, and what does not apply.

use super::answer::own;
use super::missed;
use super::steps;
use crate::base::{Quantity, Total, count};
use crate::report::prose::{Prose, told};
use crate::why::facts::{From, JobFacts, Outcome, PathFacts, Why};
use std::collections::BTreeSet;

/// So many lines of a group are told in full.
const SHOWN: usize = 12;

/// Writes them.
pub fn write(why: &Why, prose: &mut Prose) {
    let not = |path: &&PathFacts| matches!(path.outcome, Outcome::NotActive { .. } | Outcome::Nothing { .. });
    let (not, so): (Vec<&PathFacts>, Vec<&PathFacts>) = own(why).partition(not);
    if !so.is_empty() {
        prose.heading("How it comes about");
        groups(&so).iter().for_each(|group| group_lines(why, group, prose));
    }
    missed::write(why, &not, !so.is_empty(), prose);
}

/// Paths that begin alike and end alike, by need; those that are no demand last.
fn groups<'w>(paths: &[&'w PathFacts]) -> Vec<Vec<&'w PathFacts>> {
    let mut groups: Vec<Vec<&PathFacts>> = Vec::new();
    for path in paths {
        let alike = |group: &&mut Vec<&PathFacts>| {
            let first = group[0];
            let ends = first.outcome == path.outcome && first.to == path.to && first.need == path.need;
            ends && first.from == path.from && !matches!(path.from, From::Extra { .. })
        };
        match groups.iter_mut().find(alike) {
            Some(group) => group.push(path),
            None => groups.push(vec![path]),
        }
    }
    groups.sort_by_key(|group| (group[0].need.is_none(), group[0].need));
    groups
}

fn group_lines(why: &Why, group: &[&PathFacts], prose: &mut Prose) {
    let qty: Option<Total> = group.iter().map(|path| path.qty).sum();
    let lines = if group.len() > 1 { format!(", by {} lines", group.len()) } else { String::new() };
    prose.line(2, &format!("{}{lines}:", title(group[0], qty)));
    lineage(why, group[0], &mut BTreeSet::new(), prose);
    let mut before: &[steps::Step] = &[];
    for path in group.iter().take(SHOWN) {
        steps::write(path, before, &why.unit, 4, prose);
        before = &path.steps;
    }
    if group.len() > SHOWN {
        prose.line(4, &format!("… and {} more (--json tells all)", count(group.len() - SHOWN, "line", "lines")));
    }
}

fn title(path: &PathFacts, qty: Option<Total>) -> String {
    let qty = told(qty, &path.uom);
    let to = path.to.as_ref().map(|to| format!(" for {to}")).unwrap_or_default();
    let need = path.need.map(|need| format!(", by {}", need.short())).unwrap_or_default();
    match &path.outcome {
        Outcome::Needed { .. } => format!("{qty}{to}{need}"),
        Outcome::Delivered { run } => format!("{qty}{to}, delivered with the run of {}", run.short()),
        Outcome::Issued { station } => format!("{qty}{to}; {station} has its material already"),
        Outcome::Begun { job } => format!("{qty}{to}; the job {job} has begun, and its material is there"),
        Outcome::Covered { part } => format!("{qty}{to} that would go into {part}, which is there already"),
        Outcome::Inside { job } => format!("{qty} built inside the job {job}"),
        Outcome::Phantom => format!("{qty}{to}, a phantom"),
        Outcome::Free { at } => format!("{qty} comes off, free {}", at.short()),
        Outcome::NotActive { .. } | Outcome::Nothing { .. } => format!("no {qty}{to}"),
        Outcome::NotSupplied => format!("{qty}{to}, which is not supplied"),
    }
}

/// The lines that lead to the job or the part a path begins at.
fn lineage(why: &Why, path: &PathFacts, seen: &mut BTreeSet<String>, prose: &mut Prose) {
    match &path.from {
        From::Job { job } if seen.insert(job.clone()) => {
            let Some(job) = why.jobs.iter().find(|known| known.job == *job) else { return };
            lead(why, job.part.as_str(), &job.to, Some(job), seen, prose);
            prose.line(4, &built(job));
        }
        From::Stock { part, to } => {
            lead(why, part, to, None, seen, prose);
            let are = if path.start == Quantity::whole(1) { "is" } else { "are" };
            prose.line(4, &format!("{} of {part} {are} there already.", path.start));
        }
        _ => {}
    }
}

fn built(job: &JobFacts) -> String {
    let begun = if job.started { ", which has begun" } else { "" };
    format!("{} builds {} of {} in the job {}{begun}.", job.shop, job.qty, job.part, job.job)
}

/// The paths to a make part at a place; the first few in full.
fn lead(why: &Why, part: &str, to: &str, job: Option<&JobFacts>, seen: &mut BTreeSet<String>, prose: &mut Prose) {
    let leads = |path: &&PathFacts| {
        let needed = matches!(path.outcome, Outcome::Needed { .. });
        let here = path.part == part && path.to.as_deref() == Some(to);
        needed && here && job.is_none_or(|job| path.need == Some(job.need))
    };
    let above: Vec<&PathFacts> = why.paths.iter().filter(leads).collect();
    for path in above.iter().take(3) {
        lineage(why, path, seen, prose);
        steps::write(path, &[], &why.unit, 4, prose);
    }
    if above.len() > 3 {
        prose.line(4, &format!("… and {} more ask for it", count(above.len() - 3, "line", "lines")));
    }
}
