//! What is wanted and what comes free, and the demands that equal wants add up to.
//!
//! Rules `one-demand`, `by-products`.

use std::collections::BTreeMap;

use super::moves::Moves;
use super::numbers::Millionths;
use super::plant::Plant;
use super::sheets::Key;
use super::takers::Crowd;

/// The plant with its units and takers.
pub struct View<'a> {
    pub plant: &'a Plant,
    pub crowd: &'a Crowd,
    /// The moves of each line.
    pub moves: BTreeMap<Key, Moves<'a>>,
}

impl View<'_> {
    pub fn new<'a>(plant: &'a Plant, crowd: &'a Crowd) -> View<'a> {
        let moves = plant.lines.iter().map(|line| (line.key.clone(), Moves::new(plant, line)));
        View { plant, crowd, moves: moves.collect() }
    }
}

/// One piece of a demand, before equal ones are added up.
#[derive(Clone, Debug)]
pub struct Want {
    pub demand: DemandKey,
    pub qty: Millionths,
    pub is_extra: bool,
    /// The moment by which a job that gives this part must have brought it.
    pub serve_by: i64,
}

/// What makes a demand one row; in the order in which a part's demands are covered.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DemandKey {
    pub part: Key,
    pub need: i64,
    pub rank: usize,
    pub to: Key,
}

/// A quantity of a by-product that comes free for a unit.
#[derive(Clone, Debug)]
pub struct Free {
    pub rank: usize,
    pub part: Key,
    pub qty: Millionths,
    pub available: i64,
    /// The demand whose job it comes with, where it comes with one.
    pub giver: Option<DemandKey>,
}

pub type Demands = BTreeMap<DemandKey, Millionths>;

/// Adds up what is wanted alike.
pub fn demands(wants: &[Want]) -> Demands {
    let mut demands = Demands::new();
    for want in wants {
        *demands.entry(want.demand.clone()).or_default() += want.qty;
    }
    demands
}

/// What the extras want; those of a set-aside unit are set aside with it.
pub fn of_extras(view: &View) -> Vec<Want> {
    let mut wants = Vec::new();
    for extra in view.plant.extras.iter().filter(|extra| extra.qty > 0) {
        let rank = view.crowd.rank_of(&extra.unit).expect("a taker for each extra");
        if view.crowd.takers[rank].set_aside {
            continue;
        }
        let need = extra.needed.unwrap_or_else(|| view.need_at(rank, &extra.to));
        let (part, to) = (extra.part.clone(), extra.to.clone());
        let demand = DemandKey { part, need, rank, to };
        wants.push(Want { demand, qty: extra.qty, is_extra: true, serve_by: need });
    }
    wants
}
