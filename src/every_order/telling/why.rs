//! Reasons, looked for once each.

use super::super::model::{Model, Row};
use super::super::reasons::{Reason, Reasons};
use super::super::solver::Lit;
use super::{OfFrame, Teller};
use itertools::Itertools;
use std::collections::{BTreeMap, HashMap};

/// So many reasons are looked for; what is told without one says so.
const MOST_REASONS: usize = 500;

/// Reasons that were looked for.
#[derive(Default)]
pub struct Why<'t> {
    models: BTreeMap<usize, Reasons<'t>>,
    /// For the conditions of ways of a frame's bill what rules them out.
    known: HashMap<(usize, Vec<u32>), Reason>,
    looked: usize,
}

impl<'t, 'a: 't> Teller<'t, 'a> {
    /// Why something can never be on a floorplan, in words.
    pub(super) fn reason(&mut self, at: usize, goal: impl Fn(&mut Model<'_>) -> Lit) -> String {
        match self.looked_for(at, &[], goal) {
            Some(reason) => told(&self.found[at], &reason),
            None => NOT_LOOKED.to_owned(),
        }
    }

    fn looked_for(&mut self, at: usize, lines: &[u32], goal: impl Fn(&mut Model<'_>) -> Lit) -> Option<Reason> {
        if self.why.looked >= MOST_REASONS {
            return None;
        }
        self.why.looked += 1;
        Some(self.reasons(at).why_never(lines, goal))
    }

    /// The clauses of a frame, each of whose rows can be left out.
    pub(super) fn reasons(&mut self, at: usize) -> &mut Reasons<'t> {
        let found = self.found;
        self.why.models.entry(at).or_insert_with(|| Reasons::of(&found[at].frame))
    }

    /// Why a way of a frame's bill can never count, by its conditions and those above it.
    pub(super) fn reason_of_way(&mut self, at: usize, way: usize) -> String {
        let (plant, found) = (self.plant, &self.found[at]);
        // Lines without a condition rule nothing out.
        let when = |line: u32| plant.bills[line as usize].when;
        let lines = found.bill.lines(way).into_iter().filter(|line| when(*line) != 0).collect_vec();
        let key = (at, found.bill.guards[found.bill.ways[way].guard as usize].whens.clone());
        if !self.why.known.contains_key(&key) {
            let Some(reason) = self.looked_for(at, &lines, |model| model.solver.yes()) else {
                return NOT_LOOKED.to_owned();
            };
            self.why.known.insert(key.clone(), reason);
        }
        // The same conditions may stand on other lines.
        let own = |row: &Row| match row {
            Row::When(other) => {
                Row::When(lines.iter().copied().find(|line| when(*line) == when(*other)).unwrap_or(*other))
            }
            _ => *row,
        };
        match &self.why.known[&key] {
            Reason::Rows(rows) => told(found, &Reason::Rows(rows.iter().map(own).collect())),
            other => told(found, other),
        }
    }
}

/// What is said where too many reasons were looked for.
const NOT_LOOKED: &str = "its reason was not looked for, since there are so many";

/// A reason in words.
fn told(found: &OfFrame<'_>, reason: &Reason) -> String {
    match reason {
        Reason::Rows(rows) if rows.is_empty() => {
            let floorplan = &found.frame.plant.floorplans[found.frame.floorplan.at()].code;
            format!("it can't be on {floorplan}, whatever is ordered")
        }
        Reason::Rows(rows) => format!("ruled out by {}", rows.iter().map(|row| row.told(&found.frame)).join("; ")),
        Reason::OrderOfRules => "whatever is ordered, the order in which the rules apply does not let it be".to_owned(),
        Reason::Unknown(limit) => format!("that is proved, but not which rows rule it out: {}", limit.told()),
    }
}
