//! Calls that save only together: pieces of one move, of one unit or of one date, of which the line waits for the last anyway.

use super::tally::Tally;
use super::{Block, Call, OfPart, Saved};
use crate::base::{Date, LineId, OwnerId, PartId};
use crate::plan::{Alone, Waiting};
use itertools::Itertools;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// Of a block of more calls none is left out.
const MOST: usize = 60;

/// What two calls may have in common.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Shared {
    /// A line loses for both on a date.
    Date(LineId, Date),
    /// A unit stops for both with no known end.
    Unit(OwnerId),
    /// Something a shop makes waits for both.
    Piece(usize),
}

/// The blocks of a plan's calls, each by its part's place and its place among that part's.
pub(super) fn blocks(
    alone: &Alone<'_>,
    tally: &Tally<'_>,
    found: &[OfPart],
    calls: &[((usize, usize), Call)],
) -> Vec<Block> {
    let mut groups = Groups((0..calls.len()).collect());
    let mut first: BTreeMap<Shared, usize> = BTreeMap::new();
    let mut share = |shared: Shared, call: usize, groups: &mut Groups| {
        let other = *first.entry(shared).or_insert(call);
        groups.join(call, other);
    };
    let mut of_part: BTreeMap<PartId, Vec<usize>> = BTreeMap::new();
    for (number, ((of, which), call)) in calls.iter().enumerate() {
        of_part.entry(call.part).or_default().push(number);
        for lost in &call.alone.loss.by_date {
            share(Shared::Date(lost.line, lost.date), number, &mut groups);
        }
        for piece in found[*of].fails[*which].0.iter().filter(|piece| piece.at.is_none()) {
            share(Shared::Unit(piece.owner), number, &mut groups);
        }
    }
    for (piece, parts) in tally.together().enumerate() {
        for call in parts.iter().filter_map(|part| of_part.get(part)).flatten() {
            share(Shared::Piece(piece), *call, &mut groups);
        }
    }
    let worth = Worths { alone, tally, found, calls };
    groups.of_several().into_iter().filter_map(|some| worth.block(some)).collect()
}

/// Calls that have something in common: each leads to another of its group, the first to itself.
struct Groups(Vec<usize>);

impl Groups {
    fn first(&self, mut call: usize) -> usize {
        while self.0[call] != call {
            call = self.0[call];
        }
        call
    }

    fn join(&mut self, one: usize, other: usize) {
        let (one, other) = (self.first(one), self.first(other));
        self.0[one.max(other)] = one.min(other);
    }

    /// The groups of more than one.
    fn of_several(&self) -> Vec<Vec<usize>> {
        let groups = (0..self.0.len()).into_group_map_by(|call| self.first(*call));
        groups.into_values().filter(|group| group.len() > 1).sorted().collect()
    }
}

/// What some calls save.
struct Worths<'w, 'p> {
    alone: &'w Alone<'p>,
    tally: &'w Tally<'p>,
    found: &'w [OfPart],
    calls: &'w [((usize, usize), Call)],
}

impl Worths<'_, '_> {
    fn saved(&self, some: &[usize]) -> Saved {
        let mut by_part: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        some.iter().map(|call| self.calls[*call].0).for_each(|(of, call)| by_part.entry(of).or_default().push(call));
        let pieces: Vec<(PartId, Cow<'_, [Waiting]>)> =
            by_part.iter().map(|(of, calls)| (self.found[*of].part, self.pieces(*of, calls))).collect();
        let after = self.tally.with(&pieces.iter().map(|(part, pieces)| (*part, pieces.as_ref())).collect());
        Saved::between(&self.tally.with(&BTreeMap::new()), &after)
    }

    /// A part's pieces with some of its calls done.
    fn pieces(&self, of: usize, calls: &[usize]) -> Cow<'_, [Waiting]> {
        let of = &self.found[of];
        match calls {
            [call] => Cow::Borrowed(&of.only[*call]),
            calls if calls.len() == of.asked.len() => Cow::Borrowed(&of.done),
            calls => Cow::Owned(of.with(self.alone, |call| calls.contains(&call))),
        }
    }

    /// The block of some calls: those are left out without which as much is saved. Nothing where one call alone saves as much.
    fn block(&self, mut some: Vec<usize>) -> Option<Block> {
        let saves = self.saved(&some);
        let by_worth = |call: &usize| {
            let alone = &self.calls[*call].1.alone;
            (alone.no_end, alone.loss.by_dates(), alone.loss.if_nothing_is_made_up(), *call)
        };
        let more_than_looked_at = some.len() > MOST;
        let mut before = usize::MAX;
        while some.len() < before && !more_than_looked_at {
            before = some.len();
            for call in some.clone().into_iter().sorted_by_key(by_worth) {
                let rest = some.iter().copied().filter(|other| *other != call).collect_vec();
                if self.saved(&rest) == saves {
                    some = rest;
                }
            }
        }
        let alone = some.iter().any(|call| self.calls[*call].1.saves == Some(saves));
        (some.len() > 1 && !alone).then_some(Block { calls: some, saves })
    }
}
