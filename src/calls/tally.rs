//! What the line loses where the pieces of some parts are otherwise: of each move only what is there last counts, so that a part that
//! is otherwise is looked at where it is, not beside all others.

use crate::base::{LineId, OwnerId, PartId, Seconds};
use crate::plan::{Loss, Plan, StopAt, Waiting, Worth};
use foldhash::fast::FixedState;
use itertools::Itertools;
use std::cmp::Reverse;
use std::collections::{BTreeMap, HashMap};

/// What holds up a piece: a part's material, or nobody's; and until when, where that is known.
type Cause = (Option<PartId>, Option<StopAt>);

/// A piece at a station for which the line stops.
struct HeldUp {
    owner: OwnerId,
    /// Its number among its owner's that jobs and by-products bring.
    made: Option<u32>,
    causes: Vec<Cause>,
}

/// All pieces for which the line stops.
pub(super) struct Tally<'p> {
    plan: &'p Plan<'p>,
    pieces: Vec<HeldUp>,
    /// For each part those it holds up.
    of_part: HashMap<PartId, Vec<usize>, FixedState>,
    /// Those that jobs and by-products bring.
    made: HashMap<(OwnerId, u32), usize, FixedState>,
    /// For each move those with a known time, the last first.
    moves: BTreeMap<(LineId, Seconds), Vec<(Seconds, usize)>>,
    /// For each unit how many pieces of it have no known end.
    no_end: BTreeMap<OwnerId, i64>,
}

/// The parts whose pieces are otherwise, and these.
pub(super) type Otherwise<'w> = BTreeMap<PartId, &'w [Waiting]>;

/// The last of what holds up a piece; `None` where nothing says when that is.
fn last(causes: impl Iterator<Item = Cause>) -> Option<StopAt> {
    let mut last: Option<StopAt> = None;
    for (_, at) in causes {
        let at = at?;
        last = last.filter(|last| last.until >= at.until).or(Some(at));
    }
    last
}

/// What waits now, as far as it is otherwise.
#[derive(Default)]
struct Now {
    waits: Vec<StopAt>,
    /// How many pieces with no known end each unit has more.
    no_end: BTreeMap<OwnerId, i64>,
    /// What holds up those that jobs and by-products bring.
    made: BTreeMap<(OwnerId, u32), Vec<Cause>>,
}

impl Now {
    /// Takes in the pieces of a part.
    fn take(&mut self, part: PartId, pieces: &[Waiting]) {
        for piece in pieces {
            match piece.made {
                Some(made) => self.made.entry((piece.owner, made)).or_default().push((Some(part), piece.at)),
                None => self.piece(piece.owner, vec![(Some(part), piece.at)]),
            }
        }
    }

    /// Takes in a piece that waits for something.
    fn piece(&mut self, owner: OwnerId, causes: Vec<Cause>) {
        match last(causes.iter().copied()) {
            _ if causes.is_empty() => {}
            Some(at) => self.waits.push(at),
            None => *self.no_end.entry(owner).or_default() += 1,
        }
    }
}

impl<'p> Tally<'p> {
    /// Of a plan, given what waits for nobody's call and the pieces of each part.
    pub(super) fn of<'w>(
        plan: &'p Plan<'p>,
        nobodys: &[Waiting],
        parts: impl Iterator<Item = (PartId, &'w [Waiting])>,
    ) -> Self {
        let (pieces, of_part, made, moves, no_end) = Default::default();
        let mut tally = Self { plan, pieces, of_part, made, moves, no_end };
        nobodys.iter().for_each(|piece| tally.take(None, piece));
        parts.for_each(|(part, pieces)| pieces.iter().for_each(|piece| tally.take(Some(part), piece)));
        for (number, piece) in tally.pieces.iter().enumerate() {
            match last(piece.causes.iter().copied()) {
                Some(at) => tally.moves.entry((at.line, at.at)).or_default().push((at.until, number)),
                None => *tally.no_end.entry(piece.owner).or_default() += 1,
            }
        }
        tally
            .moves
            .values_mut()
            .for_each(|pieces| pieces.sort_unstable_by_key(|(until, number)| (Reverse(*until), *number)));
        tally
    }

    fn take(&mut self, part: Option<PartId>, piece: &Waiting) {
        let new = self.pieces.len();
        let number = piece.made.map_or(new, |made| *self.made.entry((piece.owner, made)).or_insert(new));
        if number == new {
            self.pieces.push(HeldUp { owner: piece.owner, made: piece.made, causes: Vec::new() });
        }
        self.pieces[number].causes.push((part, piece.at));
        part.into_iter().for_each(|part| self.of_part.entry(part).or_default().push(number));
    }

    /// What all of it comes to where some parts are otherwise.
    pub(super) fn with(&self, parts: &Otherwise<'_>) -> Worth {
        let mut now = Now::default();
        parts.iter().for_each(|(part, pieces)| now.take(*part, pieces));
        let of_parts = parts.keys().filter_map(|part| self.of_part.get(part)).flatten().copied();
        let touched = of_parts.chain(now.made.keys().filter_map(|key| self.made.get(key)).copied());
        let touched = touched.sorted_unstable().dedup().collect_vec();
        for number in &touched {
            let HeldUp { owner, made, causes } = &self.pieces[*number];
            if last(causes.iter().copied()).is_none() {
                *now.no_end.entry(*owner).or_default() -= 1;
            }
            let Some(made) = made else { continue };
            let others = causes.iter().copied().filter(|(part, _)| part.is_none_or(|part| !parts.contains_key(&part)));
            let more = now.made.remove(&(*owner, *made)).unwrap_or_default();
            now.piece(*owner, others.chain(more).collect());
        }
        std::mem::take(&mut now.made).into_iter().for_each(|((owner, _), causes)| now.piece(owner, causes));
        for (&(line, at), pieces) in &self.moves {
            let first = pieces.iter().find(|(_, number)| touched.binary_search(number).is_err());
            now.waits.extend(first.map(|(until, _)| StopAt { line, at, until: *until }));
        }
        Worth { loss: Loss::of(self.plan, &now.waits).0, no_end: self.units_with_no_end(&now.no_end) }
    }

    /// How many units have pieces with no known end, given how many each has more.
    fn units_with_no_end(&self, more: &BTreeMap<OwnerId, i64>) -> usize {
        let has = |owner: &OwnerId| self.no_end.get(owner).copied().unwrap_or_default();
        let ends = more.iter().filter(|(owner, more)| has(owner) > 0 && has(owner) + **more <= 0).count();
        let begin = more.iter().filter(|(owner, more)| has(owner) == 0 && **more > 0).count();
        self.no_end.len() + begin - ends
    }

    /// The parts that hold up one piece together.
    pub(super) fn together(&self) -> impl Iterator<Item = Vec<PartId>> {
        let parts =
            self.pieces.iter().map(|piece| piece.causes.iter().filter_map(|(part, _)| *part).collect::<Vec<_>>());
        parts.filter(|parts| parts.len() > 1)
    }
}
