//! What is on hand and would do: stock on hold, loose stock that serves a later need, a reservation due later. It stands before the
//! calls about its part, which are made as if it were not there.

use super::{OfPart, Saved};
use crate::base::{Date, Moment, OwnerId, PartId, Quantity, Seconds};
use crate::check::Stock;
use crate::cures::{Change, Cures, Kind, goods};
use crate::plan::{Alone, Plan, Waiting, Worth};
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

/// Something on hand that would cure pieces which stop the line.
#[derive(Clone, Debug)]
pub struct OnHand {
    /// A bought part that stops the line.
    pub part: PartId,
    /// `OnHold`, `LooseStock` or `Reservation`.
    pub kind: Kind,
    /// What is done, as rows of the book can say it.
    pub changes: Vec<Change>,
    /// For the last two, the pieces that it cures by their places in the list of cures.
    pub cures: Vec<usize>,
    /// The soonest moment until which it saves the line.
    pub saves_until: Option<Moment>,
    /// What the line loses if it alone fails, no other thing is done about these pieces, and all calls about other parts succeed.
    pub alone: Worth,
    /// What it saves if it alone succeeds; `None` where not all parts were looked at.
    pub saves: Option<Saved>,
}

/// Its place among others.
pub(super) type Key = (Option<Date>, bool, Reverse<Seconds>, Reverse<Seconds>, Option<Moment>, PartId, Kind);

impl OnHand {
    pub(super) fn key(&self) -> Key {
        let loss = &self.alone.loss;
        let day = self.saves_until.map(Moment::date);
        let (dates, all) = (Reverse(loss.by_dates()), Reverse(loss.if_nothing_is_made_up()));
        (day, self.alone.no_end == 0, dates, all, self.saves_until, self.part, self.kind)
    }

    /// Its rows of stock.
    pub fn rows<'p>(&self, plan: &Plan<'p>) -> Vec<&'p Stock> {
        let rows = self.changes.iter().filter_map(|change| match change {
            Change::Good { stock } | Change::Keep { stock, .. } => Some(*stock),
            _ => None,
        });
        rows.collect::<BTreeSet<usize>>().into_iter().map(|row| &plan.plant.stock[row]).collect()
    }

    /// How much lies there.
    pub fn qty(&self, plan: &Plan<'_>) -> Quantity {
        self.rows(plan).into_iter().map(|row| row.qty).sum()
    }
}

/// What may be done with what is on hand, by the part.
#[derive(Default)]
pub(super) struct Ways(BTreeMap<PartId, Vec<Way>>);

/// Its kind, what is done, and the pieces that it cures by their places in the list of cures.
type Way = (Kind, Vec<Change>, Vec<usize>);

impl Ways {
    /// Stock on hold, if all of it is found good; of the cures that work those with loose stock and with reservations.
    pub(super) fn of(plan: &Plan<'_>, cures: &Cures) -> Self {
        let mut ways = Self::default();
        let mut add = |part: PartId, kind: Kind, changes: Vec<Change>, piece: Option<usize>| {
            let of_part = ways.0.entry(part).or_default();
            let at = of_part.iter().position(|way| way.0 == kind).unwrap_or_else(|| {
                of_part.push((kind, Vec::new(), Vec::new()));
                of_part.len() - 1
            });
            of_part[at].1.extend(changes);
            of_part[at].2.extend(piece);
        };
        for (stock, row) in plan.plant.stock.iter().enumerate() {
            // What depends on a unit's options is made for that unit alone.
            let serves = row.reserved.is_none() && !plan.plant.part(row.part).configured;
            if row.hold.is_some() && row.qty.is_positive() && serves {
                add(row.part, Kind::OnHold, vec![Change::Good { stock }], None);
            }
        }
        for (number, (piece, advice)) in cures.pieces.iter().enumerate() {
            let cure = advice.working().map(|cure| &cure.candidate);
            let cure = cure.filter(|cure| matches!(cure.kind, Kind::LooseStock | Kind::Reservation));
            if let Some(cure) = cure {
                add(piece.part, cure.kind, cure.changes.clone(), Some(number));
            }
        }
        ways
    }

    /// What cures some pieces of a part and makes no other wait.
    pub(super) fn about<'w>(
        &'w self,
        alone: &'w Alone<'_>,
        of: &'w OfPart,
        save: impl Fn(&[Waiting]) -> Option<Saved> + 'w,
    ) -> impl Iterator<Item = OnHand> + 'w {
        let ways = self.0.get(&of.part).into_iter().flatten();
        ways.filter_map(move |(kind, changes, cures)| {
            let plan = alone.plan();
            let left = alone.part(of.part, Some(&goods(plan.plant, changes)));
            let (before, after): (BTreeSet<&Waiting>, BTreeSet<&Waiting>) =
                (of.now.iter().collect(), left.iter().collect());
            let cured = || of.now.iter().filter(|piece| !after.contains(piece));
            let worth = Worth::of(plan, cured().copied());
            let mut was: BTreeMap<(OwnerId, Option<u32>), Vec<&Waiting>> = BTreeMap::new();
            of.now.iter().for_each(|piece| was.entry((piece.owner, piece.made)).or_default().push(piece));
            let waited = |piece: &Waiting| was.get(&(piece.owner, piece.made)).is_some_and(|was| longer(was, piece));
            let nobody_else = after.iter().all(|piece| before.contains(piece) || waited(piece));
            let owners: BTreeSet<OwnerId> = cured().map(|piece| piece.owner).collect();
            let doubts = plan.doubts(of.part);
            let own = doubts.iter().filter(|doubt| owners.contains(&doubt.demand.owner));
            let saves_until = own.filter_map(|doubt| plan.saves_until(&doubt.demand)).min();
            (nobody_else && !worth.is_nothing()).then(|| OnHand {
                part: of.part,
                kind: *kind,
                changes: changes.clone(),
                cures: cures.clone(),
                saves_until,
                alone: worth,
                saves: save(&left),
            })
        })
    }
}

/// Whether one of a unit's pieces, as they were, waited for longer than a piece does.
fn longer(was: &[&Waiting], piece: &Waiting) -> bool {
    was.iter().any(|was| match (was.at, piece.at) {
        (None, _) => true,
        (Some(was), Some(is)) => (was.line, was.at) == (is.line, is.at) && is.until <= was.until,
        (Some(_), None) => false,
    })
}
