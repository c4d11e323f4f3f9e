//! Pulls: what leaves the stores with which delivery run, as kits, sequenced parts and bulk packs.

use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::check::{Issue, Part};
use crate::netting::{Cover, Peg};
use crate::supply::Supply;
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
    /// The delivery run.
    pub run: DeliveryRun,
    /// The part.
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
    /// The pull.
    pub pull: Pull,
    /// The demands it serves, by their index among those of the part; `true` for those that made it follow. For bulk
    /// the others are served from what is left of its packs.
    pub demands: Vec<(u32, bool)>,
}

/// A demand's share that comes from the stores.
struct Share {
    demand: u32,
    run: DeliveryRun,
    qty: Quantity,
    status: Status,
}

/// The pulls of one part in order of run, destination and owner, each with the first demand behind it; nothing for demands
/// before the stores' first run.
pub fn pulls(id: PartId, part: &Part, supply: &Supply, runs: &Runs) -> Vec<(Pull, u32)> {
    let mut rows = Vec::new();
    match part.issue {
        Issue::Bulk => rows.extend(bulk(id, part, supply, runs).iter().map(|row| (row.pull, row.demands[0].0))),
        Issue::Kit | Issue::Sequence => {
            kits(id, part, supply, runs, |pull, shares| rows.push((pull, shares[0].demand)));
        }
    }
    rows
}

/// The pulls of one part in the same order, each with all demands behind it.
pub fn traced(id: PartId, part: &Part, supply: &Supply, runs: &Runs) -> Vec<Traced> {
    if part.issue == Issue::Bulk {
        return bulk(id, part, supply, runs);
    }
    let mut rows = Vec::new();
    kits(id, part, supply, runs, |pull, shares| {
        rows.push(Traced { pull, demands: shares.iter().map(|share| (share.demand, true)).collect() });
    });
    rows
}

/// What of each demand comes from the stores, in order of need.
fn shares(supply: &Supply, runs: &Runs) -> Vec<Share> {
    let mut shares: Vec<Share> = Vec::with_capacity(supply.demands.len());
    let mut runs = runs.in_turn();
    for peg in supply.pegs.iter().filter(|peg| pulled(peg)) {
        let need = supply.demands[peg.demand as usize].need;
        let Some(run) = runs.serving(need) else { continue };
        let status = status(peg, need, run);
        match shares.last_mut() {
            Some(share) if share.demand == peg.demand => {
                share.qty += peg.qty;
                share.status = share.status.max(status);
            }
            _ => shares.push(Share { demand: peg.demand, run, qty: peg.qty, status }),
        }
    }
    shares
}

/// One row for each run, destination and owner.
fn kits(id: PartId, part: &Part, supply: &Supply, runs: &Runs, mut row: impl FnMut(Pull, &[Share])) {
    let mut shares = shares(supply, runs);
    let place = |share: &Share| {
        let demand = &supply.demands[share.demand as usize];
        (demand.to, demand.owner)
    };
    for of_run in shares.chunk_by_mut(|a, b| a.run == b.run) {
        of_run.sort_unstable_by_key(|share| (place(share), share.demand));
        for kit in of_run.chunk_by(|a, b| place(a) == place(b)) {
            let first = &supply.demands[kit[0].demand as usize];
            let qty = kit.iter().map(|share| share.qty).sum::<Quantity>().round_up(part.decimals);
            let status = kit.iter().map(|share| share.status).max().unwrap_or(Status::Ready);
            let (run, to, owner, need) = (kit[0].run, first.to, Some(first.owner), first.need);
            row(Pull { run, part: id, qty, to, owner, need, status }, kit);
        }
    }
}

/// Packs are opened in order of need and rank; a demand that what is left does not serve makes whole packs follow.
fn bulk(id: PartId, part: &Part, supply: &Supply, runs: &Runs) -> Vec<Traced> {
    let mut left: BTreeMap<DestId, (Quantity, DeliveryRun)> = BTreeMap::new();
    let mut rows: BTreeMap<(DeliveryRun, DestId), Traced> = BTreeMap::new();
    for share in shares(supply, runs) {
        let demand = &supply.demands[share.demand as usize];
        let (open, from) = left.entry(demand.to).or_insert((Quantity::ZERO, share.run));
        let missing = share.qty - *open;
        if !missing.is_positive() {
            *open -= share.qty;
            if let Some(row) = rows.get_mut(&(*from, demand.to)) {
                row.demands.push((share.demand, false));
            }
            continue;
        }
        let follows = match part.pack {
            Some(pack) => missing.up_to_multiple(pack),
            None => missing.round_up(part.decimals),
        };
        (*open, *from) = (follows - missing, share.run);
        let row = rows.entry((share.run, demand.to)).or_insert_with(|| {
            let (run, to, need, status) = (share.run, demand.to, demand.need, share.status);
            let pull = Pull { run, part: id, qty: Quantity::ZERO, to, owner: None, need, status };
            Traced { pull, demands: Vec::new() }
        });
        row.demands.push((share.demand, true));
        row.pull.qty += follows;
        row.pull.status = row.pull.status.max(share.status);
    }
    rows.into_values().collect()
}
