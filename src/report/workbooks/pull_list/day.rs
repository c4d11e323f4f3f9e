//! The pull list's day: its trips into the stores, what each pull takes from which bin, and what is not there.

use super::bins::{self, Bin, Picking};
use crate::base::{Moment, PartId, Quantity};
use crate::check::{Issue, Stock};
use crate::netting::{Cover, Demand};
use crate::plan::Plan;
use crate::pulls::{self, Pull};
use crate::supply::receipts_by_part;
use crate::waves::DeliveryRun;
use itertools::Itertools;
use rayon::prelude::*;
use std::borrow::Cow;

/// A quantity taken from one bin.
#[derive(Clone, Copy, Debug)]
pub struct Take {
    /// The bin, by its index among those of the part.
    pub bin: u32,
    /// How much.
    pub qty: Quantity,
    /// What the bin holds before.
    pub before: Quantity,
    /// What it holds afterwards.
    pub left: Quantity,
    /// Whether it was reserved for the unit.
    pub reserved: bool,
}

/// What is not there when a pull's run is picked.
#[derive(Clone, Copy, Debug)]
pub struct Missing {
    /// How much.
    pub qty: Quantity,
    /// What it waits for: a receipt, or nothing.
    pub cover: Cover,
    /// When that is there.
    pub available: Option<Moment>,
    /// When it is needed first.
    pub need: Moment,
}

/// A pull as it is picked.
#[derive(Clone, Debug)]
pub struct Picked {
    /// What should leave the stores.
    pub pull: Pull,
    /// What is there of it.
    pub taken: Quantity,
    /// Where that is taken from.
    pub takes: Vec<Take>,
    /// What is not there.
    pub missing: Vec<Missing>,
    /// The demands it serves.
    pub demands: Vec<Demand>,
}

/// What is picked in one go: all that is overdue, or one run of the day.
pub struct Trip {
    /// The run; none for what is overdue.
    pub run: Option<DeliveryRun>,
    /// Its pulls in walking order.
    pub picked: Vec<Picked>,
}

/// What the stores do on the plan's day, and what is overdue.
pub struct Day<'p> {
    /// Whose day it is.
    pub plan: &'p Plan<'p>,
    /// What is overdue, if anything is, then the day's runs.
    pub trips: Vec<Trip>,
    /// How many pulls leave between the as-of moment and the day.
    pub between: usize,
    /// For each part its bins as the day leaves them; none where nothing is pulled.
    bins: Vec<Vec<Bin<'p>>>,
}

impl Trip {
    /// `the 06:00 run`, or `overdue`.
    pub fn name(&self) -> String {
        self.run.map_or_else(|| "overdue".to_owned(), |run| format!("the {} run", run.leaves.clock()))
    }

    /// `06:00`, or `overdue`: under a heading that says that it is a run.
    pub fn short_name(&self) -> String {
        self.run.map_or_else(|| "overdue".to_owned(), |run| run.leaves.clock())
    }

    /// Its name in the name of a sheet.
    pub fn tab(&self) -> String {
        self.run.map_or_else(|| "overdue".to_owned(), |run| run.leaves.clock().replace(':', "."))
    }
}

impl<'p> Day<'p> {
    /// Picks everything that leaves the stores up to the end of the plan's day.
    pub fn of(plan: &'p Plan<'p>) -> Self {
        let as_of = plan.plant.as_of;
        let overdue = |pull: &Pull| pull.run.leaves < as_of;
        let until = plan.pulls.partition_point(|pull| overdue(pull) || pull.run.leaves.date() <= plan.day);
        let pulls = &plan.pulls[..until];
        let (bins, picked) = pick_all(plan, pulls);
        let mut day = Self { plan, trips: Vec::new(), between: 0, bins };
        let mut late = Trip { run: None, picked: Vec::new() };
        let runs = plan.runs.on(plan.day).filter(|run| run.leaves >= as_of);
        let mut runs: Vec<Trip> = runs.map(|run| Trip { run: Some(run), picked: Vec::new() }).collect();
        for picked in picked {
            if overdue(&picked.pull) {
                late.picked.push(picked);
            } else if let Some(trip) = runs.iter_mut().find(|trip| trip.run == Some(picked.pull.run)) {
                trip.picked.push(picked);
            } else {
                day.between += 1;
            }
        }
        day.trips.extend(Some(late).filter(|late| !late.picked.is_empty()));
        day.trips.append(&mut runs);
        day
    }

    /// The bin that something is taken from, as the day leaves it.
    pub fn bin(&self, part: PartId, take: &Take) -> &Bin<'p> {
        &self.bins[part.at()][take.bin as usize]
    }

    /// Where what is taken for a pull lies.
    pub fn places(&self, picked: &Picked) -> Cow<'p, str> {
        let mut places = picked.takes.iter().map(|take| &self.bin(picked.pull.part, take).place);
        match (places.next(), places.next()) {
            (None, _) => Cow::Borrowed(""),
            (Some(only), None) => only.clone(),
            (Some(first), Some(second)) => [first, second].into_iter().chain(places).join(", ").into(),
        }
    }

    /// All pulls of the list with their trips.
    pub fn all(&self) -> impl Iterator<Item = (&Trip, &Picked)> {
        self.trips.iter().flat_map(|trip| trip.picked.iter().map(move |picked| (trip, picked)))
    }
}

/// All pulls as they are picked, in their own order, and each part's bins afterwards.
fn pick_all<'p>(plan: &'p Plan<'p>, pulls: &[Pull]) -> (Vec<Vec<Bin<'p>>>, Vec<Picked>) {
    let plant = plan.plant;
    let mut of_part: Vec<Vec<u32>> = vec![Vec::new(); plant.parts.len()];
    pulls.iter().enumerate().for_each(|(i, pull)| of_part[pull.part.at()].push(i as u32));
    let mut stock: Vec<Vec<&'p Stock>> = vec![Vec::new(); plant.parts.len()];
    plant.stock.iter().for_each(|row| stock[row.part.at()].push(row));
    let receipts = receipts_by_part(plant);
    let last = pulls.iter().map(|pull| pull.run).max();
    let after = last.map_or(plant.as_of, |last| plan.runs.end_of(|run| run <= last));
    let pick = |part: usize| {
        if of_part[part].is_empty() {
            return (Vec::new(), Vec::new());
        }
        let (id, known) = (PartId::of(part), &plant.parts[part]);
        // Packs serve what comes after the day, and what others need of a bin may be needed far ahead.
        let whole = (known.issue == Issue::Bulk).then(|| plan.supply(id));
        let near = whole.is_none().then(|| plan.near(id, after));
        let Some(pegged) = whole.as_ref().map(|s| s.pegged()).or(near.as_ref().map(|n| n.pegged())) else {
            return (Vec::new(), Vec::new());
        };
        let rows = pulls::traced(id, known, pegged, &plan.runs);
        let mut picking = Picking::new(plan, id, pegged, bins::of_part(plant, known, &stock[part]), &receipts[part]);
        let numbers = of_part[part].iter();
        let picked: Vec<(u32, Picked)> = numbers.zip(&rows).map(|(i, row)| (*i, picking.pick(row))).collect();
        (picking.bins, picked)
    };
    let parts: Vec<_> = (0..plant.parts.len()).into_par_iter().map(pick).collect();
    let mut bins = Vec::with_capacity(parts.len());
    let mut all = Vec::with_capacity(pulls.len());
    for (of_part, picked) in parts {
        bins.push(of_part);
        all.extend(picked);
    }
    all.sort_unstable_by_key(|(i, _)| *i);
    (bins, all.into_iter().map(|(_, picked)| picked).collect())
}
