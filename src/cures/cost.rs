//! What a cure costs others: two plans of one sequence compared, unit by unit.

use super::piece::Piece;
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::netting::{Cover, Demand};
use crate::plan::{Doubt, Outlook, Stop, WaitedFor};
use crate::supply::Covered;
use itertools::Itertools;
use std::collections::{BTreeMap, BTreeSet};

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
        let (mut stops, mut minutes, mut late): (BTreeMap<OwnerId, Stop>, i64, Vec<Lacking>) = Default::default();
        for (old, new) in after.unlike(before) {
            let (old, new) = (Side::of(before, old), Side::of(after, new));
            for (wait, stop, more) in new.waits.longer(&old.waits) {
                let worst = stops.entry(wait.0).or_default();
                worst.unknown |= stop.unknown;
                worst.minutes = worst.minutes.max(stop.minutes);
                minutes += more;
            }
            late.extend(new.lacking.difference(&old.lacking).filter(|other| other.0 != piece.owner));
        }
        let late = late.into_iter().sorted().map(|(owner, part, _)| (owner, part)).dedup().collect();
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

/// Who lacks what, and where; nowhere for owners that are on no line.
type Lacking = (OwnerId, PartId, Option<DestId>);

/// What some pieces of a part do in an outlook.
#[derive(Default)]
struct Side {
    waits: WaitedFor,
    /// Those that are not there for their run; of owners that are on no line those which are late or never there.
    lacking: BTreeSet<Lacking>,
}

impl Side {
    fn of(outlook: &Outlook<'_>, pieces: Vec<Doubt>) -> Self {
        let mut side = Self::default();
        let off_line = |demand: &Demand| !outlook.plan.pace.owners[demand.owner.at()].planned;
        let late = |doubt: &&Doubt| off_line(&doubt.demand) && doubt.covered() != Covered::InTime;
        let others = pieces.iter().filter(late).map(|doubt| (doubt.demand.owner, doubt.demand.part, None));
        side.lacking.extend(others);
        for row in outlook.rows(pieces) {
            side.lacking.insert((row.owner, row.part, Some(row.to)));
            side.waits.take(&row);
        }
        side
    }
}

/// Whether the line waits for anything longer in an outlook than before, or for more of it.
pub fn waits_longer(before: &Outlook<'_>, after: &Outlook<'_>) -> bool {
    after.unlike(before).any(|(old, new)| {
        let (old, new) = (Side::of(before, old), Side::of(after, new));
        new.waits.longer(&old.waits).next().is_some()
    })
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
