//! What a trial plan is judged by: the units that stop, minutes, late jobs, and picked pieces that must be moved.

use crate::base::{Moment, Seconds, Total, UnitId};
use crate::check::{Line, Plant};
use crate::compare::{Act, CartTour};
use crate::plan::{Plan, Totals};
use crate::report::line_words::minutes;
use serde::Serialize;

/// How a plan does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Measure {
    /// Units that stop the line.
    pub units_that_stop: usize,
    /// Those among them for which no time is known.
    pub not_known_how_long: usize,
    /// The working minutes that the lines lose for the others, each day begun on its times.
    pub lost_minutes: i64,
    /// The same if nothing is made up.
    pub lost_if_nothing_is_made_up: i64,
    /// The line's working minutes by which the last unit enters later than in the plan as it is.
    pub gap_minutes: i64,
    /// Jobs of feeder shops that are late.
    pub late_jobs: usize,
    /// Picked pieces to move to another kit or to bring back.
    pub to_move: Total,
}

/// What trials are ranked by, the less the better: stops without a known end, which are longer than any; what the line loses, empty
/// places included, each day begun on its times, then if nothing is made up; units that stop, late jobs, picked pieces to move.
pub type Rank = (usize, i64, i64, usize, usize, Total);

impl Measure {
    /// Of a plan, and how much of what is picked must be moved or brought back for it.
    pub fn of(plan: &Plan<'_>, last: &[Option<Moment>], to_move: Total) -> Self {
        let totals = Totals::of(plan);
        let entries = last.iter().zip(last_entries(plan)).zip(&plan.plant.lines);
        let lost: Seconds = entries.map(|((old, new), line)| later(plan.plant, line, old.zip(new))).sum();
        Self {
            units_that_stop: totals.units,
            not_known_how_long: totals.unknown,
            lost_minutes: minutes(plan.effects.loss.by_dates()),
            lost_if_nothing_is_made_up: minutes(plan.effects.loss.if_nothing_is_made_up()),
            gap_minutes: minutes(lost),
            late_jobs: plan.late_jobs(),
            to_move,
        }
    }

    /// With what it takes to set the carts right.
    pub fn carts(&mut self, walk: Option<&CartTour>) {
        self.to_move = walk.map_or(Total::ZERO, to_move);
    }

    /// What it is ranked by.
    pub fn rank(&self) -> Rank {
        let by_dates = self.lost_minutes + self.gap_minutes;
        let in_all = self.lost_if_nothing_is_made_up + self.gap_minutes;
        (self.not_known_how_long, by_dates, in_all, self.units_that_stop, self.late_jobs, self.to_move)
    }
}

/// The working seconds of a line by which the second moment is later than the first.
fn later(plant: &Plant, line: &Line, moments: Option<(Moment, Moment)>) -> Seconds {
    let calendar = plant.calendar(line.calendar);
    moments.map_or(0, |(old, new)| (calendar.worked(new) - calendar.worked(old)).max(0))
}

fn to_move(walk: &CartTour) -> Total {
    let moved = walk.tasks.iter().filter(|task| matches!(task.act, Act::Move | Act::BringBack));
    moved.map(|task| task.qty).sum()
}

/// For each line when its last unit enters.
pub fn last_entries(plan: &Plan<'_>) -> Vec<Option<Moment>> {
    let plant = plan.plant;
    let mut last = vec![None; plant.lines.len()];
    for (i, unit) in plant.units.iter().enumerate() {
        let entry = &mut last[unit.line.at()];
        *entry = (*entry).max(plan.pace.enters(plant, UnitId::of(i)));
    }
    last
}
