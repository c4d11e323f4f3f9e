//! Proof over every order that could be placed: what no build ever has, what a build has too much of, and how many builds there are.
//!
//! The clauses of §4 of the contract (`model`) may allow more than an order can lead to, never less. So what they can't do is
//! proved; what they can is placed as an order and resolved by the program's own `configure` before anybody is told. (Proofs of
//! this kind for vehicles: W. Küchlin and C. Sinz, Journal of Automated Reasoning 24, 2000.)
//!
//! Rules `builds`, `proofs`.

pub(crate) mod bill;
mod broken;
mod exact;
mod figures;
mod frame;
mod gates;
mod limit;
mod mentions;
mod model;
mod possible;
mod reasons;
mod says;
mod smallest;
mod solver;
mod space;
mod states;
mod sums;
mod telling;
mod totals;
mod twice;
pub mod units;
mod witness;
mod words;

pub use bill::{Bill, Way};
pub use figures::{Count, Figures, Over};

use crate::base::{Findings, FloorplanId, LineId};
use crate::check::Plant;
use crate::configure::Placing;
use crate::line::Pace;
use broken::Breaks;
use frame::Frame;
use model::Model;
use possible::{Possible, Seen};
use rayon::prelude::*;
use states::State;
use twice::Twice;
use witness::Shown;

/// What is proved.
#[derive(Debug, Default)]
pub struct Proof {
    /// What is wrong, at its cells.
    pub findings: Findings,
    /// Figures of each floorplan that can be ordered, in the order of the table.
    pub figures: Vec<Figures>,
}

/// What is known of one floorplan on one line.
struct OfFrame<'a> {
    frame: Frame<'a>,
    bill: &'a Bill,
    can: Shown,
    possible: Possible,
    breaks: Vec<Breaks>,
    twice: Vec<Twice>,
    figures: Option<Figures>,
}

/// Proves a sound plant for every order that could be placed; `done` is told how many floorplans are, of how many.
pub fn prove(plant: &Plant, pace: &Pace, done: impl Fn(usize, usize) + Sync) -> Proof {
    let states = states::states(plant, pace);
    let wanted = vec![true; plant.parts.len()];
    let floorplans = 0..plant.floorplans.len();
    let bills: Vec<Bill> = floorplans.clone().into_par_iter().map(|at| Bill::of(plant, at, &wanted)).collect();
    let lines: Vec<LineId> =
        if by_line(plant) { (0..plant.lines.len()).map(LineId::of).collect() } else { vec![LineId(0)] };
    let frames: Vec<(usize, LineId)> = floorplans.flat_map(|at| lines.iter().map(move |line| (at, *line))).collect();
    let finished = std::sync::atomic::AtomicUsize::new(0);
    let found: Vec<OfFrame<'_>> = frames
        .par_iter()
        .map(|(at, line)| {
            let frame = Frame::of(plant, FloorplanId::of(*at), *line);
            let found = of_frame(frame, &bills[*at], &states, (lines.len() > 1).then_some(*line));
            let so_far = finished.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1;
            done(so_far, frames.len());
            found
        })
        .collect();
    let mut proof = Proof::default();
    telling::tell(plant, &states, &found, &mut proof.findings);
    proof.figures = found.into_iter().filter_map(|found| found.figures).collect();
    proof
}

/// Whether any condition names a line.
fn by_line(plant: &Plant) -> bool {
    let named = |name| plant.lines.iter().any(|line| line.as_name == name);
    plant.conditions.iter().any(|condition| condition.names().any(named))
}

fn of_frame<'a>(frame: Frame<'a>, bill: &'a Bill, states: &[State], line: Option<LineId>) -> OfFrame<'a> {
    let placing = Placing::of(frame.plant);
    let mut model = Model::of(&frame, false);
    let can = model.show(&placing, &[]);
    let (possible, breaks, twice, figures) = match can {
        Shown::By(_) => {
            let possible = possible::look(&mut model, &placing, bill, states);
            let breaks = broken::look(&frame, &placing, bill, states);
            let twice = twice::look(&frame, &placing, bill, states);
            (possible, breaks, twice, Some(figures::of(&mut model, &placing, bill, states, line)))
        }
        // Of a floorplan that nobody can order nothing is told; of one of which that is not known, nothing is known.
        Shown::Never => (Possible::default(), Vec::new(), Vec::new(), None),
        Shown::Unknown(limit) => (Possible::all(frame.plant, bill, Seen::Unknown(limit)), Vec::new(), Vec::new(), None),
    };
    drop(model);
    OfFrame { frame, bill, can, possible, breaks, twice, figures }
}
