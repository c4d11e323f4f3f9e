//! What of each part is late or short: totals, and what waits first.

use super::consequences::{Consequence, Outcome};
use super::doubts::Doubt;
use crate::base::{Date, DestId, Moment, OwnerId, PartId, Quantity};
use crate::netting::{Cover, Demand};
use crate::supply::Covered;

/// What of a bought part or a by-product is late or short.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trouble {
    /// A bought part or a by-product.
    pub part: PartId,
    /// Whether something waits in the coming week; if so, the next two speak of that week alone.
    pub soon: bool,
    /// What it does at worst; `None` where only owners that are on no line wait.
    pub outcome: Option<Outcome>,
    /// What waits first: of what stops the line, where something does.
    pub first: Demand,
    /// How much comes too late.
    pub late: Quantity,
    /// How much never comes.
    pub short: Quantity,
    /// How many pieces wait.
    pub pieces: usize,
    /// When the first of them is needed.
    pub since: Moment,
    /// On how many different days they are needed.
    pub days: usize,
    /// How many different ones wait, whose material it is.
    pub owners: usize,
}

/// The pieces of a part that come too late or never, and which a buyer can do something about: none that shops make.
pub fn waiting(doubts: &[Doubt]) -> impl Iterator<Item = &Doubt> + Clone {
    doubts.iter().filter(|doubt| waits(doubt))
}

fn waits(doubt: &Doubt) -> bool {
    matches!(doubt.cover, Cover::Receipt(_) | Cover::None) && doubt.covered() != Covered::InTime
}

/// For each owner the last part of which something waits for it, if any.
pub(super) struct Seen(Vec<PartId>);

impl Seen {
    /// Of so many owners, before anything is looked at.
    pub(super) fn of(owners: usize) -> Self {
        Self(vec![PartId(u32::MAX); owners])
    }

    /// Whether an owner has not been seen with a part, which is put right; parts come one after the other.
    fn is_new(&mut self, owner: OwnerId, part: PartId) -> bool {
        std::mem::replace(&mut self.0[owner.at()], part) != part
    }
}

/// The trouble with one part, as its pieces are looked at, in order of need.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tally {
    /// The last day of the coming week.
    week: Date,
    so_far: Option<Trouble>,
    last_day: Option<Date>,
    /// The first of those that stop the line, of the pieces whose outcome was told one by one.
    stops: Option<Demand>,
}

impl Tally {
    /// Nothing yet, given the last day of the coming week.
    pub(super) fn new(week: Date) -> Self {
        Self { week, so_far: None, last_day: None, stops: None }
    }

    /// Takes in a piece; whether it waits, and what it does counts.
    pub(super) fn add(&mut self, doubt: &Doubt, seen: &mut Seen) -> bool {
        if !waits(doubt) {
            return false;
        }
        let Demand { need, owner, part, .. } = doubt.demand;
        let (day, week) = (need.date(), self.week);
        let trouble = self.so_far.get_or_insert_with(|| Trouble::of(doubt.demand, week));
        *(if doubt.cover == Cover::None { &mut trouble.short } else { &mut trouble.late }) += doubt.qty;
        trouble.pieces += 1;
        trouble.days += usize::from(self.last_day.replace(day) != Some(day));
        trouble.owners += usize::from(seen.is_new(owner, part));
        !trouble.soon || day <= week
    }

    /// Takes in what a piece does that counts.
    pub(super) fn does(&mut self, outcome: Outcome, demand: &Demand) {
        if let Some(trouble) = &mut self.so_far {
            trouble.outcome = trouble.outcome.max(Some(outcome));
        }
        if outcome == Outcome::StopsTheLine && self.stops.is_none() {
            self.stops = Some(*demand);
        }
    }

    /// The trouble, given what those pieces do that were not told one by one; `None` where nothing waits.
    pub(super) fn finish(self, doubts: &[Doubt], rows: &[Consequence]) -> Option<Trouble> {
        let mut trouble = self.so_far?;
        let counts = waiting(doubts).take_while(|doubt| !trouble.soon || doubt.demand.need.date() <= self.week);
        let (outcome, first) = worst(counts, rows).unzip();
        let stops = first.filter(|_| outcome == Some(Outcome::StopsTheLine));
        let stops = self.stops.into_iter().chain(stops).min_by_key(|demand| (demand.need, demand.owner, demand.to));
        trouble.outcome = trouble.outcome.max(outcome);
        trouble.first = stops.unwrap_or(trouble.first);
        Some(trouble)
    }
}

impl Trouble {
    /// Of a part for which a demand waits first, given the last day of the coming week.
    fn of(first: Demand, week: Date) -> Self {
        let Demand { part, need: since, .. } = first;
        let (late, short) = (Quantity::ZERO, Quantity::ZERO);
        let soon = since.date() <= week;
        Self { part, soon, outcome: None, first, late, short, pieces: 0, since, days: 0, owners: 0 }
    }
}

/// What some pieces of a part do at worst, and the first of those that stop the line, or of all; `None` where they do nothing.
fn worst<'d>(pieces: impl Iterator<Item = &'d Doubt> + Clone, rows: &[Consequence]) -> Option<(Outcome, Demand)> {
    let first = pieces.clone().next()?.demand;
    let same = |row: &&Consequence, demand: &Demand| (row.owner, row.to) == (demand.owner, demand.to);
    // Most often the first piece stops the line, and stands among the first rows.
    let near = rows.iter().take(4).filter(|row| same(row, &first)).map(|row| row.outcome).max();
    if near == Some(Outcome::StopsTheLine) {
        return Some((Outcome::StopsTheLine, first));
    }
    let mut outcomes: Vec<((OwnerId, DestId), Outcome)> =
        rows.iter().map(|row| ((row.owner, row.to), row.outcome)).collect();
    outcomes.sort_unstable();
    // The worst of each stands last.
    let outcome = |demand: &Demand| {
        let key = (demand.owner, demand.to);
        let after = outcomes.partition_point(|(other, _)| *other <= key);
        after.checked_sub(1).map(|last| outcomes[last]).filter(|(other, _)| *other == key).map(|(_, outcome)| outcome)
    };
    let stops = pieces.clone().find(|doubt| outcome(&doubt.demand) == Some(Outcome::StopsTheLine));
    match stops {
        Some(stops) => Some((Outcome::StopsTheLine, stops.demand)),
        None => Some((pieces.filter_map(|doubt| outcome(&doubt.demand)).max()?, first)),
    }
}
