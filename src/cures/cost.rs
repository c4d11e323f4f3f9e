//! What a cure costs others: two plans of one sequence compared, unit by unit.

use super::piece::Piece;
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::netting::{Cover, Demand};
use crate::plan::{Doubt, Outlook, Scope, Stop, Wait};
use crate::supply::Covered;
use foldhash::fast::FixedState;
use itertools::Itertools;
use std::collections::{BTreeMap, HashSet};

/// What others pay for a cure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cost {
    /// Units that wait for a piece they did not wait for, or wait longer for one, and for how long.
    pub stops: Vec<(OwnerId, Stop)>,
    /// The minutes that they wait more.
    pub minutes: i64,
    /// Pieces of others that are no longer there for their run.
    pub late: Vec<(OwnerId, PartId)>,
}

/// Whose piece on hand was given, and what covers that one now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Given {
    /// Whose it was.
    pub owner: OwnerId,
    /// For where.
    pub to: DestId,
    /// How much.
    pub qty: Quantity,
    /// The purchase order that refills it, blank for a job, and when; `None` where nothing does.
    pub refilled: Option<(String, Moment)>,
}

impl Cost {
    /// Of a plan beside the one before it. A unit that stops anyhow pays, too, when one more piece of it is not there: what
    /// was to cure it would no longer do. Pieces that only come later are not told of the piece's own unit.
    pub fn between(before: &Outlook<'_>, after: &Outlook<'_>, piece: &Piece) -> Self {
        let scope = after.differ(before);
        let (old, new) = (before.waits(&scope), after.waits(&scope));
        let mut stops: BTreeMap<OwnerId, Stop> = BTreeMap::new();
        let mut minutes = 0;
        for (wait, stop) in longer(&old, &new) {
            let worst = stops.entry(wait.0).or_default();
            worst.unknown |= stop.unknown;
            worst.minutes = worst.minutes.max(stop.minutes);
            minutes += (stop.minutes - old.get(wait).map_or(0, |old| old.1.minutes)).max(0);
        }
        let lacking: HashSet<Lacking, FixedState> = not_there(before, &scope).collect();
        let late = not_there(after, &scope).filter(|other| other.0 != piece.owner && !lacking.contains(other));
        let late = late.sorted().map(|(owner, part, _)| (owner, part)).dedup().collect();
        Self { stops: stops.into_iter().collect(), minutes, late }
    }

    /// How dear it is, the less the better: how many stop, how many of them for how long is not known, for how many minutes.
    pub fn rank(&self) -> (usize, usize, i64) {
        (self.stops.len(), self.stops.iter().filter(|(_, stop)| stop.unknown).count(), self.minutes)
    }

    /// Whether nobody pays by standing.
    pub fn stops_nobody(&self) -> bool {
        self.stops.is_empty()
    }
}

/// What the line waits for longer than before, or for more of, or waited not for at all.
pub fn longer<'w>(old: &'w Waits, new: &'w Waits) -> impl Iterator<Item = (&'w Wait, &'w Stop)> {
    let longer = |(wait, (qty, stop)): (&'w Wait, &'w (Quantity, Stop))| {
        let old = old.get(wait);
        let more = old.is_none_or(|old| *qty > old.0) || stop.longer_than(old.map(|old| &old.1));
        more.then_some((wait, stop))
    };
    new.iter().filter_map(longer)
}

/// For how much of each piece the line waits, and for how long.
type Waits = BTreeMap<Wait, (Quantity, Stop)>;

/// Who lacks what, and where; nowhere for owners that are on no line.
type Lacking = (OwnerId, PartId, Option<DestId>);

/// Pieces that are not there for their run, where outlooks may differ; of owners that are on no line those which are late or
/// never there.
fn not_there<'o>(outlook: &'o Outlook<'_>, scope: &'o Scope) -> impl Iterator<Item = Lacking> + 'o {
    let of_units = outlook.consequences_in(scope).map(|row| (row.owner, row.part, Some(row.to)));
    let off_line = |demand: &Demand| !outlook.plan.pace.owners[demand.owner.at()].planned;
    let late = move |doubt: &Doubt| off_line(&doubt.demand) && doubt.covered() != Covered::InTime;
    let others = outlook.doubts_in(scope).filter(late);
    of_units.chain(others.map(|doubt| (doubt.demand.owner, doubt.demand.part, None)))
}

/// Whose pieces of a part on hand went elsewhere, and when each is refilled.
pub fn given(before: &Outlook<'_>, after: &Outlook<'_>, piece: &Piece) -> Vec<Given> {
    let (old, new) = (on_hand(before, piece.part), on_hand(after, piece.part));
    let mut found = Vec::new();
    for ((owner, to, need), had) in old {
        let has = new.get(&(owner, to, need)).copied().unwrap_or_default();
        if owner != piece.owner && has < had {
            let demand = |demand: &Demand| (demand.owner, demand.to, demand.need) == (owner, to, need);
            found.push(Given { owner, to, qty: had - has, refilled: refilled(after, piece.part, demand) });
        }
    }
    found
}

/// What each demand of a part has of what is on hand.
fn on_hand(outlook: &Outlook<'_>, part: PartId) -> BTreeMap<(OwnerId, DestId, Moment), Quantity> {
    let supply = outlook.supply(part);
    let mut found = BTreeMap::new();
    for peg in supply.pegs.iter().filter(|peg| peg.on_hand()) {
        let demand = supply.demands[peg.demand as usize];
        *found.entry((demand.owner, demand.to, demand.need)).or_default() += peg.qty;
    }
    found
}

/// The last receipt or job that covers a demand; `None` where some of it is short.
fn refilled(outlook: &Outlook<'_>, part: PartId, wanted: impl Fn(&Demand) -> bool) -> Option<(String, Moment)> {
    let supply = outlook.supply(part);
    let pegs = supply.pegs.iter().filter(|peg| wanted(&supply.demands[peg.demand as usize])).collect_vec();
    if pegs.iter().any(|peg| peg.cover == Cover::None) {
        return None;
    }
    let covers = pegs.iter().filter_map(|peg| match peg.cover {
        Cover::Receipt(receipt) => Some((outlook.receipt(receipt).order.clone(), peg.available?)),
        Cover::Job(_) => Some((String::new(), peg.available?)),
        _ => None,
    });
    covers.max_by_key(|(_, at)| *at)
}
