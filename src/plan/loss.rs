//! What the line loses where it waits for each piece: move by move, for a line that stands delays all behind it. Each date
//! begun on its times, and if nothing is made up.
//!
//! Rules `line-loss`, `alone`.

use super::consequences::{Consequence, Outcome, There};
use super::on_line::OnLine;
use super::{Plan, Settled};
use crate::base::{Calendar, Date, DestId, LineId, Moment, OwnerId, PartId, Seconds};
use crate::check::DestKind;
use crate::netting::Demand;
use foldhash::fast::FixedState;
use itertools::Itertools;
use std::cmp::Reverse;
use std::collections::HashMap;

/// A piece that a line waits for at a move: that with which its unit arrives where it can be fitted at the last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct StopAt {
    /// The line that waits.
    pub line: LineId,
    /// The move, in the line's working seconds.
    pub at: Seconds,
    /// When the piece is there and handed over, in the line's working seconds.
    pub until: Seconds,
}

/// What a line loses on a date.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Lost {
    /// The line that stands.
    pub line: LineId,
    /// A date on which it works.
    pub date: Date,
    /// Its working seconds.
    pub seconds: Seconds,
}

/// What the lines lose for some pieces. A comparison of calls, no forecast: what is built out of sequence is not counted.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Loss {
    /// Each date begun on its times, by line, then date; only those on which something is lost.
    pub by_date: Vec<Lost>,
    /// If nothing is made up, by line; only lines that lose something.
    pub in_all: Vec<(LineId, Seconds)>,
}

impl Loss {
    /// For pieces in the order of their table; and for each how much it adds to the dates' losses.
    pub fn of(plan: &Settled<'_>, waits: &[StopAt]) -> (Self, Vec<Seconds>) {
        let (mut loss, mut adds) = (Self::default(), vec![0; waits.len()]);
        let key = |number: &usize| (waits[*number].line, waits[*number].at, Reverse(waits[*number].until), *number);
        // At each move the last piece decides, of those alike the first.
        let mut deciding = (0..waits.len()).sorted_unstable_by_key(key).collect_vec();
        deciding.dedup_by_key(|number| (waits[*number].line, waits[*number].at));
        for moves in deciding.chunk_by(|a, b| waits[*a].line == waits[*b].line) {
            let line = waits[moves[0]].line;
            let calendar = plan.plant.calendar(plan.plant.lines[line.at()].calendar);
            let lost = by_date(calendar, waits, moves, &mut adds);
            loss.by_date.extend(lost.into_iter().map(|(date, seconds)| Lost { line, date, seconds }));
            let all = moves.iter().fold(0, |late, number| {
                let StopAt { at, until, .. } = waits[*number];
                late + (until - (at + late)).max(0)
            });
            loss.in_all.extend((all > 0).then_some((line, all)));
        }
        (loss, adds)
    }

    /// What all lines lose, each date begun on its times.
    pub fn by_dates(&self) -> Seconds {
        self.by_date.iter().map(|lost| lost.seconds).sum()
    }

    /// What all lines lose if nothing is made up.
    pub fn if_nothing_is_made_up(&self) -> Seconds {
        self.in_all.iter().map(|(_, seconds)| seconds).sum()
    }
}

/// What a line loses on each date, begun on its times, for the pieces that decide at its moves; and what each adds.
fn by_date(calendar: &Calendar, waits: &[StopAt], moves: &[usize], adds: &mut [Seconds]) -> Vec<(Date, Seconds)> {
    let mut lost = Vec::new();
    let mut left = moves;
    // Of the pieces of earlier dates the one that is there last, of those alike the first.
    let mut carried: Option<usize> = None;
    let mut date = calendar.starts(waits[moves[0]].at).date();
    loop {
        let [begins, ends] = [date, date.plus(1)].map(|date| calendar.worked(date.midnight()));
        let mut late = 0;
        if let Some(number) = carried.filter(|number| waits[*number].until > begins) {
            late = waits[number].until.min(ends) - begins;
            adds[number] += late;
        }
        let today = left.partition_point(|number| waits[*number].at < ends);
        for &number in &left[..today] {
            let StopAt { at, until, .. } = waits[number];
            let more = (until.min(ends) - (at + late).min(ends)).max(0);
            late += more;
            adds[number] += more;
        }
        let later = |number: &usize| (waits[*number].until, Reverse(*number));
        carried = carried.into_iter().chain(left[..today].iter().copied()).max_by_key(later);
        left = &left[today..];
        lost.extend((late > 0).then_some((date, late)));
        date = match left.first() {
            _ if carried.is_some_and(|number| waits[number].until > ends) => date.plus(1),
            Some(next) => calendar.starts(waits[*next].at).date(),
            None => return lost,
        };
    }
}

/// A piece of a unit at a station, there at a moment: all that tells a row of the consequences from the others there.
type PieceKey = (OwnerId, DestId, PartId, There);

/// For each move of each line the piece that is there last of those it waits for: as many as there are moves, whatever is missing.
#[derive(Debug, Default)]
pub(super) struct Waits(HashMap<(LineId, i64), Last, FixedState>);

/// The last piece of a move.
#[derive(Clone, Copy, Debug)]
struct Last {
    until: Seconds,
    /// What is there before this moment is handed over earlier in the line's working time, too.
    from: Moment,
    /// When the unit arrives where the piece is needed.
    arrives: Moment,
    piece: PieceKey,
}

impl Last {
    /// Its place in the order of the table.
    fn place(&self) -> (Moment, PieceKey) {
        (self.arrives, self.piece)
    }

    /// Whether a piece may decide instead, by when it is there and its place in the table.
    fn yields(&self, place: (Moment, PieceKey)) -> bool {
        let there = place.1.3;
        there >= There::At(self.from) && (there > self.piece.3 || place < self.place())
    }

    fn note(&mut self, other: Self) {
        if (other.until, Reverse(other.place())) > (self.until, Reverse(self.place())) {
            *self = other;
        }
    }
}

/// The pieces that decide what is lost, in their order; all others add nothing.
#[derive(Debug, Default)]
pub(super) struct Adds(Vec<Deciding>);

#[derive(Clone, Copy, Debug)]
struct Deciding {
    piece: PieceKey,
    at: StopAt,
    seconds: Seconds,
}

impl Waits {
    /// Whether a piece of a demand that is fitted where it is needed may decide at its move, given when its unit arrives there.
    pub(super) fn may_decide(&self, on: OnLine<'_>, demand: &Demand, there: There, arrives: Moment) -> bool {
        let piece = (demand.owner, demand.to, demand.part, there);
        let at = move_to(on, demand.owner, demand.to);
        at.is_some_and(|at| self.0.get(&at).is_none_or(|known| known.yields((arrives, piece))))
    }

    /// From when on a piece must be there to decide at a move, as far as that is known by now.
    pub(super) fn decides_from(&self, on: OnLine<'_>, owner: OwnerId, to: DestId) -> Option<Moment> {
        Some(self.0.get(&move_to(on, owner, to)?)?.from)
    }

    /// Takes in a piece at a station that stops the line for a known time; no other counts.
    pub(super) fn take(&mut self, on: OnLine<'_>, row: &Consequence) {
        let There::At(there) = row.there else { return };
        let Some(at) = row.hand_over_at.and_then(|fit_by| move_to(on, row.owner, fit_by)) else { return };
        let (arrives, piece) = (row.arrives, piece(row));
        let known = self.0.get_mut(&at);
        if known.as_deref().is_some_and(|known| !known.yields((arrives, piece))) {
            return;
        }
        let calendar = on.plant.calendar(on.plant.lines[at.0.at()].calendar);
        let until = calendar.worked(there.plus(on.plant.hand_over));
        let from = calendar.ends(until).plus(-on.plant.hand_over);
        let last = Last { until, from, arrives, piece };
        match known {
            Some(known) => known.note(last),
            None => _ = self.0.insert(at, last),
        }
    }

    pub(super) fn join(&mut self, other: Self) {
        #[expect(clippy::iter_over_hash_type, reason = "each goes to a place of its own")]
        for (at, last) in other.0 {
            self.0.entry(at).or_insert(last).note(last);
        }
    }

    /// What the lines lose for all of them, and which of them decide how much of it.
    pub(super) fn loss(self, plan: &Settled<'_>) -> (Loss, Adds) {
        let all = self.0.into_iter().sorted_unstable_by_key(|(_, last)| last.place()).collect_vec();
        let wait = |((line, number), last): &((LineId, i64), Last)| StopAt {
            line: *line,
            at: plan.pace.move_work(*line, *number),
            until: last.until,
        };
        let waits = all.iter().map(wait).collect_vec();
        let (loss, adds) = Loss::of(plan, &waits);
        let deciding = all.iter().zip(waits).zip(adds).filter(|(_, seconds)| *seconds > 0);
        let deciding = deciding.map(|(((_, last), at), seconds)| Deciding { piece: last.piece, at, seconds });
        (loss, Adds(deciding.sorted_unstable_by_key(|deciding| deciding.piece).collect()))
    }
}

/// What tells a row from the others at its station.
fn piece(row: &Consequence) -> PieceKey {
    (row.owner, row.to, row.part, row.there)
}

/// At which move a line waits for a piece at a station and until when; `None` where it does not, or no time is known.
pub(super) fn wait_of(on: OnLine<'_>, row: &Consequence) -> Option<StopAt> {
    let There::At(there) = row.there else { return None };
    row.stop_minutes?;
    let (line, number) = move_to(on, row.owner, row.hand_over_at?)?;
    Some(StopAt { line, at: on.pace.move_work(line, number), until: on.worked(line, there.plus(on.plant.hand_over)) })
}

/// The move with which an owner's unit comes to a station.
pub(super) fn move_to(on: OnLine<'_>, owner: OwnerId, station: DestId) -> Option<(LineId, i64)> {
    let DestKind::Station { line, position, .. } = on.plant.dest(station).what else { return None };
    Some((line, on.pace.move_at(on.pace.owners[owner.at()].unit?, position)?))
}

impl Plan<'_> {
    /// By how many seconds a piece lengthens what its line loses, over all dates, each begun on its times; `None` at a shop.
    pub fn adds_seconds(&self, row: &Consequence) -> Option<Seconds> {
        let at_station = self.plant.position(row.to).is_some();
        let adds = &self.effects.adds.0;
        at_station.then(|| match (row.outcome, row.stop_minutes) {
            (Outcome::StopsTheLine, Some(_)) => {
                adds.binary_search_by_key(&piece(row), |deciding| deciding.piece).map_or(0, |at| adds[at].seconds)
            }
            _ => 0,
        })
    }

    /// Whose piece the line waits for when it would wait for one that adds nothing; `None` of another.
    pub fn behind(&self, row: &Consequence) -> Option<OwnerId> {
        if self.adds_seconds(row) != Some(0) || row.stop_minutes.is_none() {
            return None;
        }
        let (line, number) = move_to(self.on_line(), row.owner, row.hand_over_at?)?;
        let at = self.pace.move_work(line, number);
        let before = self.effects.adds.0.iter().filter(|deciding| deciding.at.line == line && deciding.at.at <= at);
        before.max_by_key(|deciding| deciding.at.until).map(|deciding| deciding.piece.0)
    }

    /// What the lines lose for some pieces alone, given in the order of their table: those of one call, say.
    pub fn loss_of<'r>(&self, rows: impl Iterator<Item = &'r Consequence>) -> Loss {
        let mut waits = Waits::default();
        let stops = rows.filter(|row| row.outcome == Outcome::StopsTheLine);
        stops.filter(|row| self.plant.position(row.to).is_some()).for_each(|row| waits.take(self.on_line(), row));
        waits.loss(self).0
    }
}
