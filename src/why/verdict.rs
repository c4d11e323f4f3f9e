//! The answer in short: whether a unit needs a part, and if not, the first reason why.

use super::asked::Asked;
use super::facts::{DemandFacts, Outcome, PathFacts, Verdict};
use crate::base::{PartId, Total};

/// The answer that paths and demands give.
pub fn of(asked: &Asked<'_>, part: PartId, paths: &[PathFacts], demands: &[DemandFacts]) -> Verdict {
    let code = &asked.plant.part(part).code;
    if let Some(demand) = worst(code, demands) {
        return Verdict::Needed { demand };
    }
    let row = &asked.plant.units[asked.unit.at()];
    let own: Vec<&PathFacts> = paths.iter().filter(|path| path.part == *code).collect();
    if row.done {
        Verdict::Done
    } else if row.hold.is_some() {
        let would = own.iter().filter(|path| path.outcome == Outcome::NotSupplied && !gives(path));
        let would_need: Option<Total> = would.map(|path| path.qty).sum();
        if would_need == Some(Total::ZERO) && asked.has.is_some() {
            not_needed(&own)
        } else {
            Verdict::Held { would_need }
        }
    } else if asked.has.is_none() {
        Verdict::SetAside
    } else {
        not_needed(&own)
    }
}

fn gives(path: &PathFacts) -> bool {
    path.steps.last().is_some_and(|step| step.gives)
}

/// The demand that stands worst: short before late, the later before the less late, then the first.
fn worst(code: &str, demands: &[DemandFacts]) -> Option<usize> {
    let own = demands.iter().enumerate().filter(|(_, demand)| demand.part == code);
    let how = |demand: &DemandFacts| {
        let short = demand.covers.iter().any(|cover| cover.cover == "none");
        let not_known = demand.covers.iter().any(|cover| cover.not_known);
        (short, not_known, demand.covers.iter().map(|cover| cover.late_minutes).max().unwrap_or_default())
    };
    own.min_by_key(|(i, demand)| (std::cmp::Reverse(how(demand)), demand.need, *i)).map(|(i, _)| i)
}

/// Why nothing is needed: what has come already before what was never asked for.
fn not_needed(paths: &[&PathFacts]) -> Verdict {
    let rank = |outcome: &Outcome| match outcome {
        Outcome::Needed { .. } | Outcome::NotSupplied => (9, Verdict::NotUsed),
        Outcome::Delivered { .. } => (0, Verdict::Delivered),
        Outcome::Issued { .. } => (1, Verdict::Issued),
        Outcome::Begun { .. } => (2, Verdict::Begun),
        Outcome::Inside { .. } => (3, Verdict::Inside),
        Outcome::Covered { .. } => (4, Verdict::Covered),
        Outcome::Free { .. } => (5, Verdict::ComesOff),
        Outcome::Phantom => (6, Verdict::Phantom),
        Outcome::NotActive { .. } => (7, Verdict::NotActive),
        Outcome::Nothing { .. } => (8, Verdict::Nothing),
    };
    let ranked = paths.iter().map(|path| rank(&path.outcome)).min_by_key(|(rank, _)| *rank);
    ranked.map_or(Verdict::NotUsed, |(_, verdict)| verdict)
}
