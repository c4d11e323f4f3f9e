//! Pulls: what leaves the stores with which delivery run, as kits, sequenced parts and bulk packs.
//!
//! Rules `kit-rows`, `bulk-packs`, `pull-states`.

use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::check::{Issue, Part};
use crate::netting::{Cover, Demand, Peg};
use crate::supply::Pegged;
use crate::waves::{DeliveryRun, Runs};
use std::collections::BTreeMap;

/// How a pull stands, the worst last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// On hand.
    Ready,
    /// A receipt is there when picking starts.
    Arriving,
    /// There in time for the need, but after its run is picked.
    SpecialRun,
    /// There after it is needed.
    Late,
    /// Never there.
    Short,
}

/// A quantity that leaves the stores.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pull {
    /// The last at or before the need.
    pub run: DeliveryRun,
    /// What is pulled.
    pub part: PartId,
    /// How much, in whole places of its unit of measure.
    pub qty: Quantity,
    /// The station or shop.
    pub to: DestId,
    /// For whom; `None` for bulk.
    pub owner: Option<OwnerId>,
    /// When it is needed first.
    pub need: Moment,
    /// How it stands.
    pub status: Status,
}

/// Whether what covers a peg comes from the stores.
fn pulled(peg: &Peg) -> bool {
    matches!(peg.cover, Cover::Reserved | Cover::Stock | Cover::Receipt(_) | Cover::None)
}

fn status(peg: &Peg, need: Moment, run: DeliveryRun) -> Status {
    match (peg.cover, peg.available) {
        (Cover::None, _) => Status::Short,
        (_, None) => Status::Ready,
        (_, Some(available)) if available <= run.picked => Status::Arriving,
        (_, Some(available)) if available <= need => Status::SpecialRun,
        _ => Status::Late,
    }
}

/// A pull and the demands behind it.
#[derive(Clone, Debug)]
pub struct Traced {
    /// What leaves the stores.
    pub pull: Pull,
    /// The demands it serves, by their index among those of the part; `true` for those that made it follow. For bulk
    /// the others are served from what is left of its packs.
    pub demands: Vec<(u32, bool)>,
}

/// A demand's share that comes from the stores.
struct Share {
    to: DestId,
    owner: OwnerId,
    demand: u32,
    qty: Quantity,
    status: Status,
}

/// Shows the pulls of one part in order of run, destination and owner, each with the first demand behind it; nothing for
/// demands before the stores' first run.
pub fn pulls(id: PartId, part: &Part, pegged: Pegged<'_>, runs: &Runs, mut row: impl FnMut(&Pull, u32)) {
    match part.issue {
        Issue::Bulk => {
            let mut rows = bulk(id, part, pegged, runs, |_, _, _| {});
            rows.sort_by_key(|(pull, _)| (pull.run, pull.to));
            rows.iter().for_each(|(pull, first)| row(pull, *first));
        }
        Issue::Kit | Issue::Sequence => {
            kits(id, part, pegged, runs, |pull, shares| row(&pull, shares[0].demand));
        }
    }
}

/// The pulls of one part in the same order, each with all demands behind it.
pub fn traced(id: PartId, part: &Part, pegged: Pegged<'_>, runs: &Runs) -> Vec<Traced> {
    if part.issue == Issue::Bulk {
        return traced_bulk(id, part, pegged, runs);
    }
    let mut rows = Vec::new();
    kits(id, part, pegged, runs, |pull, shares| {
        rows.push(Traced { pull, demands: shares.iter().map(|share| (share.demand, true)).collect() });
    });
    rows
}

fn traced_bulk(id: PartId, part: &Part, pegged: Pegged<'_>, runs: &Runs) -> Vec<Traced> {
    let mut demands: Vec<Vec<(u32, bool)>> = Vec::new();
    let rows = bulk(id, part, pegged, runs, |row, demand, follows| {
        demands.resize_with(demands.len().max(row + 1), Vec::new);
        demands[row].push((demand, follows));
    });
    let mut rows: Vec<Traced> =
        rows.into_iter().zip(demands).map(|((pull, _), demands)| Traced { pull, demands }).collect();
    rows.sort_by_key(|row| (row.pull.run, row.pull.to));
    rows
}

/// Shows what of each demand comes from the stores, in order of need: what goes with one run after the other.
fn each_run(pegged: Pegged<'_>, runs: &Runs, mut show: impl FnMut(DeliveryRun, &mut [Share])) {
    let mut shares: Vec<Share> = Vec::new();
    let mut runs = runs.in_turn();
    let mut last = None;
    for (&Demand { need, to, owner, .. }, peg) in pegged.pieces().filter(|(_, peg)| pulled(peg)) {
        let Some(run) = runs.serving(need) else { continue };
        if let Some(before) = last.replace(run).filter(|before| *before != run) {
            show(before, &mut shares);
            shares.clear();
        }
        let status = status(peg, need, run);
        match shares.last_mut() {
            Some(share) if share.demand == peg.demand => {
                share.qty += peg.qty;
                share.status = share.status.max(status);
            }
            _ => shares.push(Share { to, owner, demand: peg.demand, qty: peg.qty, status }),
        }
    }
    last.into_iter().for_each(|run| show(run, &mut shares));
}

/// One row for each run, destination and owner.
fn kits(id: PartId, part: &Part, pegged: Pegged<'_>, runs: &Runs, mut row: impl FnMut(Pull, &[Share])) {
    let place = |share: &Share| (share.to, share.owner);
    each_run(pegged, runs, |run, shares| {
        if !shares.is_sorted_by_key(place) {
            shares.sort_by_key(place);
        }
        for kit in shares.chunk_by(|a, b| place(a) == place(b)) {
            let (to, owner) = place(&kit[0]);
            let need = pegged.demands[kit[0].demand as usize].need;
            let qty = kit.iter().map(|share| share.qty).sum::<Quantity>().round_up(part.decimals);
            let status = kit.iter().map(|share| share.status).max().unwrap_or(Status::Ready);
            row(Pull { run, part: id, qty, to, owner: Some(owner), need, status }, kit);
        }
    });
}

/// Packs are opened in order of need and rank; a demand that what is left does not serve makes whole packs follow. Gives the
/// pulls in no order, each with the first demand behind it, and notes for each its demands, as [`Traced`] holds them.
fn bulk(
    id: PartId,
    part: &Part,
    pegged: Pegged<'_>,
    runs: &Runs,
    mut note: impl FnMut(usize, u32, bool),
) -> Vec<(Pull, u32)> {
    // For each destination what is left of its packs, and the pull that brought the last of them.
    let mut open: BTreeMap<DestId, (Quantity, Option<usize>)> = BTreeMap::new();
    let mut rows: Vec<(Pull, u32)> = Vec::new();
    each_run(pegged, runs, |run, shares| {
        for share in shares {
            let (left, last) = open.entry(share.to).or_default();
            let missing = share.qty - *left;
            if !missing.is_positive() {
                *left -= share.qty;
                last.iter().for_each(|row| note(*row, share.demand, false));
                continue;
            }
            let follows = match part.pack {
                Some(pack) => missing.up_to_multiple(pack),
                None => missing.round_up(part.decimals),
            };
            let row = last.filter(|row| rows[*row].0.run == run).unwrap_or_else(|| {
                let (to, need, status) = (share.to, pegged.demands[share.demand as usize].need, share.status);
                let pull = Pull { run, part: id, qty: Quantity::ZERO, to, owner: None, need, status };
                rows.push((pull, share.demand));
                rows.len() - 1
            });
            (*left, *last) = (follows - missing, Some(row));
            note(row, share.demand, true);
            let pull = &mut rows[row].0;
            pull.qty += follows;
            pull.status = pull.status.max(share.status);
        }
    });
    rows
}
