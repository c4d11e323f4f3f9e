//! Pulls: what leaves the stores with which delivery run, as kits, sequenced parts and bulk packs.

use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::check::{Issue, Part};
use crate::netting::{Cover, Demand, Peg};
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
    run: DeliveryRun,
    qty: Quantity,
    status: Status,
}

/// The pulls of one part, and nothing for demands before the stores' first run.
pub fn pulls(id: PartId, part: &Part, supply: &Supply, runs: &Runs) -> Vec<Pull> {
    traced(id, part, supply, runs).into_iter().map(|row| row.pull).collect()
}

/// The pulls of one part in the same order, each with the demands behind it.
pub fn traced(id: PartId, part: &Part, supply: &Supply, runs: &Runs) -> Vec<Traced> {
    let mut shares: Vec<(usize, Share)> = Vec::new();
    for peg in supply.pegs.iter().filter(|peg| pulled(peg)) {
        let at = peg.demand as usize;
        let need = supply.demands[at].need;
        let Some(run) = runs.serving(need) else { continue };
        let status = status(peg, need, run);
        match shares.last_mut() {
            Some((last, share)) if *last == at => {
                share.qty += peg.qty;
                share.status = share.status.max(status);
            }
            _ => shares.push((at, Share { run, qty: peg.qty, status })),
        }
    }
    match part.issue {
        Issue::Bulk => bulk(id, part, supply, &shares),
        Issue::Kit | Issue::Sequence => kits(id, part, supply, &shares),
    }
}

fn kits(id: PartId, part: &Part, supply: &Supply, shares: &[(usize, Share)]) -> Vec<Traced> {
    let mut rows: BTreeMap<(DeliveryRun, DestId, OwnerId), Traced> = BTreeMap::new();
    for (at, share) in shares {
        let demand = &supply.demands[*at];
        let fresh = || fresh(id, share, demand, Some(demand.owner));
        let row = rows.entry((share.run, demand.to, demand.owner)).or_insert_with(fresh);
        row.demands.push((*at as u32, true));
        row.pull.qty += share.qty;
        row.pull.need = row.pull.need.min(demand.need);
        row.pull.status = row.pull.status.max(share.status);
    }
    let round = |mut row: Traced| {
        row.pull.qty = row.pull.qty.round_up(part.decimals);
        row
    };
    rows.into_values().map(round).collect()
}

/// Packs are opened in order of need and rank; a demand that what is left does not serve makes whole packs follow.
fn bulk(id: PartId, part: &Part, supply: &Supply, shares: &[(usize, Share)]) -> Vec<Traced> {
    let mut left: BTreeMap<DestId, (Quantity, DeliveryRun)> = BTreeMap::new();
    let mut rows: BTreeMap<(DeliveryRun, DestId), Traced> = BTreeMap::new();
    for (at, share) in shares {
        let demand = &supply.demands[*at];
        let (open, from) = left.entry(demand.to).or_insert((Quantity::ZERO, share.run));
        let missing = share.qty - *open;
        if !missing.is_positive() {
            *open -= share.qty;
            if let Some(row) = rows.get_mut(&(*from, demand.to)) {
                row.demands.push((*at as u32, false));
            }
            continue;
        }
        let follows = match part.pack {
            Some(pack) => missing.up_to_multiple(pack),
            None => missing.round_up(part.decimals),
        };
        (*open, *from) = (follows - missing, share.run);
        let row = rows.entry((share.run, demand.to)).or_insert_with(|| fresh(id, share, demand, None));
        row.demands.push((*at as u32, true));
        row.pull.qty += follows;
        row.pull.status = row.pull.status.max(share.status);
    }
    rows.into_values().collect()
}

fn fresh(part: PartId, share: &Share, demand: &Demand, owner: Option<OwnerId>) -> Traced {
    let (run, to, need, status) = (share.run, demand.to, demand.need, share.status);
    Traced { pull: Pull { run, part, qty: Quantity::ZERO, to, owner, need, status }, demands: Vec::new() }
}
