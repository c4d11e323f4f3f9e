//! Bins to count: the parts of which a small miscount makes somebody lack them, and what the line would lose for it.
//!
//! Rule `margin`.

use super::Saved;
use super::tally::Tally;
use super::without::MOST_PIECES;
use crate::base::{PartId, Quantity};
use crate::check::Serves;
use crate::plan::{Alone, Goods, Margin, Plan, Waiting, Worth};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// So many bins are told: half a page, and what a storekeeper counts in a day.
pub const MOST: usize = 20;

/// A bin to be counted.
#[derive(Clone, Debug)]
pub struct Bin {
    /// Its part, and how little may be wrong.
    pub margin: Margin,
    /// What the line would lose more with one step more than the margin gone; `None` where so much is missing that it is not worked
    /// out.
    pub loses: Option<Saved>,
}

/// Bins to be counted.
#[derive(Clone, Debug)]
pub struct Bins {
    /// Those with the least margins, at most [`MOST`].
    pub first: Vec<Bin>,
    /// How many more there are.
    pub more: usize,
}

/// The bins to be counted of a plan.
pub fn bins(plan: &Plan<'_>) -> Bins {
    let margins = plan.margins();
    let more = margins.len().saturating_sub(MOST);
    let margins = &margins[..margins.len() - more];
    let worths = worths(plan, margins);
    let first = margins.iter().zip(worths).map(|(margin, loses)| Bin { margin: *margin, loses });
    Bins { first: first.collect(), more }
}

/// What the line would lose more for each of them.
fn worths(plan: &Plan<'_>, margins: &[Margin]) -> Vec<Option<Saved>> {
    if margins.is_empty() || plan.effects.waited_for > MOST_PIECES {
        return vec![None; margins.len()];
    }
    let alone = Alone::of(plan);
    let now: Vec<(PartId, Vec<Waiting>)> =
        super::stopping(plan).into_par_iter().map(|part| (part, alone.part(part, None))).collect();
    let tally = Tally::of(plan, &alone.nobodys(), now.iter().map(|(part, pieces)| (*part, pieces.as_slice())));
    let before: Worth = tally.with(&BTreeMap::new());
    let of = |margin: &Margin| {
        let pieces = alone.part(margin.part, Some(&without(plan, margin)));
        let after = tally.with(&BTreeMap::from([(margin.part, pieces.as_slice())]));
        Some(Saved::between(&after, &before))
    };
    margins.par_iter().map(of).collect()
}

/// Stock and receipts with one step more than a margin gone from the stores.
fn without<'p>(plan: &Plan<'p>, margin: &Margin) -> Goods<'p> {
    let mut goods = Goods::of(plan.plant);
    let rows = plan
        .plant
        .stock
        .iter()
        .enumerate()
        .filter(|(_, row)| row.part == margin.part && plan.plant.serves(row) == Some(Serves::Anyone));
    let mut gone = margin.one_step_more(plan);
    for (index, row) in rows {
        let taken = gone.min(row.qty).max(Quantity::ZERO);
        goods.stock.change(index).qty -= taken;
        gone -= taken;
    }
    goods
}
