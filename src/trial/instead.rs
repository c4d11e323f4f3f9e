//! Every order that is tried as a whole plan, side by side, and the best of them with their change notices.

use super::carts::Carts;
use super::measure::{Measure, last_entries};
use super::moves::{Kind, Move, moves};
use crate::base::{Moment, Total};
use crate::check::Plant;
use crate::compare::{self, Codes, CompareTerms, Notice, PlanRows};
use crate::plan::{self, Plan, Request};
use rayon::prelude::*;
use serde::Serialize;

/// So many are proposed in any case.
pub(super) const BEST: usize = 3;

/// What is asked.
#[derive(Clone, Copy, Debug)]
pub struct Wish {
    /// How to plan.
    pub request: Request,
    /// What the change notices tell.
    pub asked: CompareTerms,
    /// So many of the next units of each line stay as they are.
    pub fixed: usize,
    /// At most so many are tried.
    pub most: usize,
}

/// An order that does better than the plan as it is.
#[derive(Clone, Debug, Serialize)]
pub struct Proposal {
    /// What to do.
    pub what: String,
    /// How the plan does then.
    pub then: Measure,
    /// What changes.
    pub notice: Notice,
}

/// What can be run instead.
#[derive(Clone, Debug, Serialize)]
pub struct Instead {
    /// How the plan does as it is.
    pub now: Measure,
    /// How many orders were tried.
    pub tried: usize,
    /// How many there were besides.
    pub not_tried: usize,
    /// The best three, best first, and behind them the best that holds no unit back where all of those do; only what does
    /// better than the plan as it is.
    pub best: Vec<Proposal>,
}

/// The plan as it is, to which trials are compared.
struct Base<'a> {
    plant: &'a Plant,
    rows: &'a PlanRows,
    last: Vec<Option<Moment>>,
    /// What is picked; where that counts.
    carts: Option<Carts<'a>>,
    wish: &'a Wish,
}

/// Tries what can be run instead of a plan, whose rows are given.
pub fn instead(plan: &Plan<'_>, rows: &PlanRows, wish: &Wish) -> Instead {
    let carts = wish.asked.picked_through.map(|through| Carts::of(plan, through, wish.asked.as_of));
    let base = Base { plant: plan.plant, rows, last: last_entries(plan), carts, wish };
    let all = moves(plan, wish.fixed);
    let tried = &all[..all.len().min(wish.most)];
    let now = Measure::of(plan, &base.last, Total::ZERO);
    let measured = tried.par_iter().map_init(|| plan.plant.clone(), |plant, trial| base.measure(plant, trial));
    let measured: Vec<Option<Measure>> = measured.collect();
    let mut ranked: Vec<(&Move, Measure)> =
        tried.iter().zip(measured).filter_map(|(trial, then)| Some((trial, then?))).collect();
    // A stable sort: what ranks the same stays in the order of the sequence.
    ranked.sort_by_key(|(_, then)| then.rank());
    // What must be moved on the carts is a cost of the trial, not a fault of the plan as it is.
    let better = |then: &Measure| Measure { to_move: now.to_move, ..*then }.rank() < now.rank();
    let better: Vec<(&Move, Measure)> = ranked.into_iter().filter(|(_, then)| better(then)).collect();
    let holds = |trial: &Move| trial.kind == Kind::Hold;
    let best = better.iter().take(BEST);
    let other = better.iter().skip(BEST).find(|(trial, _)| !holds(trial));
    let best = best.clone().chain(other.filter(|_| best.clone().all(|(trial, _)| holds(trial)))).copied();
    let mut plant = plan.plant.clone();
    let best = best.filter_map(|(trial, then)| base.proposal(&mut plant, trial, then)).collect();
    Instead { now, tried: tried.len(), not_tried: all.len() - tried.len(), best }
}

impl Base<'_> {
    /// A plant with a trial's order.
    fn ordered<'p>(&self, plant: &'p mut Plant, trial: &Move) -> &'p Plant {
        plant.units.clone_from(&self.plant.units);
        trial.make(&mut plant.units);
        plant
    }

    /// Plans a trial; nothing where its order can't be planned.
    fn measure(&self, plant: &mut Plant, trial: &Move) -> Option<Measure> {
        let plan = plan::plan(self.ordered(plant, trial), &self.wish.request).0?;
        let to_move = self.carts.as_ref().map_or(Total::ZERO, |carts| carts.to_move(&plan));
        Some(Measure::of(&plan, &self.last, to_move))
    }

    fn proposal(&self, plant: &mut Plant, trial: &Move, then: Measure) -> Option<Proposal> {
        let plan = plan::plan(self.ordered(plant, trial), &self.wish.request).0?;
        let rows = PlanRows::of_plan(&plan, &mut Codes::default()).ok()?;
        let notice = compare::notice(self.rows, &rows, &self.wish.asked);
        Some(Proposal { what: trial.words(self.plant), then, notice })
    }
}
