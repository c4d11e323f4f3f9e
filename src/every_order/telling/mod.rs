//! What was proved, as findings at the cells of the book.

mod choices;
mod content;
mod lines;
mod why;

use super::limit::Limit;
use super::states::State;
use super::witness::{Shown, Witness};
use super::{OfFrame, words};
use crate::base::{Finding, Findings, Kind, Place};
use crate::book::Table;
use crate::check::{Plant, kinds};
use itertools::Itertools;
use why::Why;

/// Tells all that was proved.
pub(super) fn tell(plant: &Plant, states: &[State], found: &[OfFrame<'_>], findings: &mut Findings) {
    let mut teller = Teller { plant, states, found, why: Why::default(), findings, by_line: super::by_line(plant) };
    teller.nobody();
    teller.lines();
    teller.orphans();
    teller.offers();
    teller.rules();
    teller.content();
    teller.twice();
    teller.figures();
}

struct Teller<'t, 'a> {
    plant: &'t Plant,
    states: &'t [State],
    found: &'t [OfFrame<'a>],
    why: Why<'t>,
    findings: &'t mut Findings,
    /// Whether orders differ by line.
    by_line: bool,
}

impl<'t, 'a: 't> Teller<'t, 'a> {
    fn add(&mut self, kind: &'static Kind, place: Place, value: &str, message: String) {
        self.findings.add(Finding::new(kind, place, value, message));
    }

    /// What is not known, and what stopped its proof.
    fn not_proved(&mut self, place: Place, value: &str, what: &str, limit: Limit) {
        self.add(&kinds::NOT_PROVED, place, value, format!("{what}: {}", limit.told()));
    }

    /// The floorplan of a frame, and its line where that matters.
    fn name(&self, at: usize) -> String {
        let frame = &self.found[at].frame;
        let code = &self.plant.floorplans[frame.floorplan.at()].code;
        if self.by_line { format!("{code} on line {}", self.plant.lines[frame.line.at()].code) } else { code.clone() }
    }

    /// The row of a frame's floorplan, and its code.
    fn row_of(&self, at: usize) -> (Place, &'t str) {
        let plan = &self.plant.floorplans[self.found[at].frame.floorplan.at()];
        (self.plant.place(Table::Floorplans, plan.row, "floorplan"), &plan.code)
    }

    /// Floorplans that nobody can order, on whatever line.
    fn nobody(&mut self) {
        let found = self.found;
        for frames in found
            .iter()
            .enumerate()
            .chunk_by(|(_, found)| found.frame.floorplan)
            .into_iter()
            .map(|(_, frames)| frames.collect_vec())
            .collect_vec()
        {
            if frames.iter().any(|(_, found)| matches!(found.can, Shown::By(_))) {
                continue;
            }
            let stopped = frames.iter().find_map(|(_, found)| match found.can {
                Shown::Unknown(limit) => Some(limit),
                _ => None,
            });
            let first = frames[0].0;
            let (place, code) = self.row_of(first);
            if let Some(limit) = stopped {
                let what = format!("it is not known whether any order of {code} can be placed");
                self.not_proved(place, code, &what, limit);
            } else {
                let reason = self.reason(first, |model| model.solver.yes());
                let on = if frames.len() > 1 {
                    format!(" (so on line {})", self.plant.lines[found[first].frame.line.at()].code)
                } else {
                    String::new()
                };
                let message = format!("no order of {code} can be placed: {reason}{on}");
                self.add(&kinds::NOBODY_CAN_ORDER, place, code, message);
            }
        }
    }

    /// Figures that could not be worked out.
    fn figures(&mut self) {
        for at in 0..self.found.len() {
            let Some(figures) = &self.found[at].figures else { continue };
            let by_limit = figures.not_known.iter().map(|(what, limit)| (*limit, *what)).into_group_map();
            for (limit, what) in by_limit.into_iter().sorted() {
                let (place, code) = self.row_of(at);
                let what = format!("it is not known of {} {}", self.name(at), what.iter().join(", nor "));
                self.not_proved(place, code, &what, limit);
            }
        }
    }

    /// `TEAL 18 ordered as COLD -TV (from C-1 on)`.
    fn order(&self, at: usize, witness: &Witness, state: Option<usize>) -> String {
        let order = words::order(self.plant, &witness.order);
        let what = if witness.order.is_empty() { "as it stands, nothing ordered" } else { "ordered as" };
        let order = if witness.order.is_empty() { String::new() } else { format!(" {order}") };
        let when =
            state.map(|state| self.states[state].told(self.plant, self.states.get(state + 1))).unwrap_or_default();
        let when = if when.is_empty() { when } else { format!(" ({when})") };
        format!("{} {what}{order}{when}", self.name(at))
    }
}
