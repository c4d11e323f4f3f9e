//! What a trial plan is judged by: the units that stop, minutes, late jobs, and picked pieces that must be moved.

use crate::base::{Moment, Seconds, Total, UnitId};
use crate::check::{Line, Plant};
use crate::compare::{Act, Walk};
use crate::plan::{Plan, Totals};
use serde::Serialize;

/// How a plan does.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Measure {
    /// Units that stop the line.
    pub units_that_stop: usize,
    /// Those among them for which no time is known.
    pub not_known_how_long: usize,
    /// The minutes of those for which it is known.
    pub stop_minutes: i64,
    /// The line's working minutes by which the last unit enters later than in the plan as it is.
    pub gap_minutes: i64,
    /// Jobs of feeder shops that are late.
    pub late_jobs: usize,
    /// Picked pieces to move to another kit or to bring back.
    pub to_move: Total,
}

/// What trials are ranked by, the less the better; a stop that no time is known for is longer than any.
pub type Rank = (usize, usize, i64, usize, Total);

impl Measure {
    /// Of a plan, and how much of what is picked must be moved or brought back for it.
    pub fn of(plan: &Plan<'_>, last: &[Option<Moment>], to_move: Total) -> Self {
        let totals = Totals::of(plan);
        let entries = last.iter().zip(last_entries(plan)).zip(&plan.plant.lines);
        let lost: Seconds = entries.map(|((old, new), line)| later(plan.plant, line, old.zip(new))).sum();
        Self {
            units_that_stop: totals.units,
            not_known_how_long: totals.unknown,
            stop_minutes: totals.minutes,
            gap_minutes: (lost + 59).div_euclid(60),
            late_jobs: plan.jobs.iter().filter(|job| job.available > job.need).count(),
            to_move,
        }
    }

    /// With what it takes to set the carts right.
    pub fn carts(&mut self, walk: Option<&Walk>) {
        self.to_move = walk.map_or(Total::ZERO, to_move);
    }

    /// What it is ranked by.
    pub fn rank(&self) -> Rank {
        let minutes = self.stop_minutes + self.gap_minutes;
        (self.units_that_stop, self.not_known_how_long, minutes, self.late_jobs, self.to_move)
    }
}

/// The working seconds of a line by which the second moment is later than the first.
fn later(plant: &Plant, line: &Line, moments: Option<(Moment, Moment)>) -> Seconds {
    let calendar = plant.calendar(line.calendar);
    moments.map_or(0, |(old, new)| (calendar.worked(new) - calendar.worked(old)).max(0))
}

fn to_move(walk: &Walk) -> Total {
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
