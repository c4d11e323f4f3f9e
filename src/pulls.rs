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

/// A demand's share that comes from the stores.
struct Share {
    run: DeliveryRun,
    qty: Quantity,
    status: Status,
}

/// The pulls of one part, and nothing for demands before the stores' first run.
pub fn pulls(id: PartId, part: &Part, supply: &Supply, runs: &Runs) -> Vec<Pull> {
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

fn kits(id: PartId, part: &Part, supply: &Supply, shares: &[(usize, Share)]) -> Vec<Pull> {
    let mut rows: BTreeMap<(DeliveryRun, DestId, OwnerId), Pull> = BTreeMap::new();
    for (at, share) in shares {
        let demand = &supply.demands[*at];
        let fresh = Pull {
            run: share.run,
            part: id,
            qty: Quantity::ZERO,
            to: demand.to,
            owner: Some(demand.owner),
            need: demand.need,
            status: share.status,
        };
        let row = rows.entry((share.run, demand.to, demand.owner)).or_insert(fresh);
        row.qty += share.qty;
        row.need = row.need.min(demand.need);
        row.status = row.status.max(share.status);
    }
    rows.into_values().map(|row| Pull { qty: row.qty.round_up(part.decimals), ..row }).collect()
}

/// Packs are opened in order of need and rank; a demand that what is left does not serve makes whole packs follow.
fn bulk(id: PartId, part: &Part, supply: &Supply, shares: &[(usize, Share)]) -> Vec<Pull> {
    let mut left: BTreeMap<DestId, Quantity> = BTreeMap::new();
    let mut rows: BTreeMap<(DeliveryRun, DestId), Pull> = BTreeMap::new();
    for (at, share) in shares {
        let demand = &supply.demands[*at];
        let open = left.entry(demand.to).or_default();
        let missing = share.qty - *open;
        if !missing.is_positive() {
            *open -= share.qty;
            continue;
        }
        let follows = match part.pack {
            Some(pack) => missing.up_to_multiple(pack),
            None => missing.round_up(part.decimals),
        };
        *open = follows - missing;
        let fresh = Pull {
            run: share.run,
            part: id,
            qty: Quantity::ZERO,
            to: demand.to,
            owner: None,
            need: demand.need,
            status: share.status,
        };
        let row = rows.entry((share.run, demand.to)).or_insert(fresh);
        row.qty += follows;
        row.status = row.status.max(share.status);
    }
    rows.into_values().collect()
}
