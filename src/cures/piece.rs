//! The pieces that stop the line, each with what covers it now and by when it would have to be there.

use crate::base::{DestId, Moment, OwnerId, PartId, Quantity, UnitId};
use crate::netting::{Cover, Demand, Peg};
use crate::plan::{self, Consequence, Outcome, Outlook, Plan, There};

/// A piece for which the line waits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// Whose it is.
    pub owner: OwnerId,
    /// The row of the sequence.
    pub unit: UnitId,
    /// What is not there.
    pub part: PartId,
    /// Where it is needed.
    pub to: DestId,
    /// How much of it.
    pub qty: Quantity,
    /// When the unit arrives.
    pub arrives: Moment,
    /// When the piece is there.
    pub there: There,
    /// How many minutes the line waits; `None` where no time is known.
    pub stop_minutes: Option<i64>,
    /// By when it must be there, with a run where that is still to be picked; `None` where that is past.
    pub by: Option<Moment>,
    /// What covers it now.
    pub pegs: Vec<(Demand, Peg)>,
}

impl Piece {
    /// Of a consequence; `None` where the line does not wait for it.
    fn of(outlook: &Outlook<'_>, row: &Consequence) -> Option<Self> {
        let plan = outlook.plan;
        let unit = plan.pace.owners[row.owner.at()].unit.filter(|_| row.outcome == Outcome::StopsTheLine)?;
        let pegs = pegs(outlook, row);
        let by = pegs.iter().filter_map(|(demand, _)| by_when(plan, row, demand)).min();
        let Consequence { owner, part, to, qty, arrives, there, stop_minutes, .. } = *row;
        Some(Self { owner, unit, part, to, qty, arrives, there, stop_minutes, by, pegs })
    }

    /// Leaves no more of it than so much.
    fn cut(&mut self, most: Quantity) {
        let mut left = self.qty.min(most);
        self.qty = left;
        self.pegs.retain_mut(|(_, peg)| {
            peg.qty = peg.qty.min(left);
            left -= peg.qty;
            peg.qty.is_positive()
        });
    }

    /// Takes in another piece of the part for the unit at that place.
    fn join(&mut self, other: Self) {
        self.qty += other.qty;
        self.there = self.there.max(other.there);
        self.stop_minutes = self.stop_minutes.zip(other.stop_minutes).map(|(one, other)| one.max(other));
        self.by = [self.by, other.by].into_iter().flatten().min();
        self.pegs.extend(other.pegs);
    }

    /// Whether a shop makes it.
    pub fn made(&self) -> bool {
        self.pegs.iter().any(|(_, peg)| matches!(peg.cover, Cover::Job(_)))
    }
}

/// What covers the piece that a consequence is about.
fn pegs(outlook: &Outlook<'_>, row: &Consequence) -> Vec<(Demand, Peg)> {
    let supply = outlook.supply(row.part);
    let with_demand = supply.pegs.iter().map(|peg| (supply.demands[peg.demand as usize], *peg));
    let own = with_demand.filter(|(demand, _)| demand.owner == row.owner && demand.to == row.to);
    let fits = |peg: &Peg| match peg.cover {
        Cover::None => row.there == There::Unknown,
        Cover::Receipt(_) => peg.available.map(There::At) == Some(row.there),
        Cover::Job(_) | Cover::ByProduct => true,
        Cover::Reserved | Cover::Lineside | Cover::Stock => false,
    };
    own.filter(|(_, peg)| fits(peg)).collect()
}

/// By the picking of the run; once that is past, in time to be handed over.
fn by_when(plan: &Plan<'_>, row: &Consequence, demand: &Demand) -> Option<Moment> {
    let now = plan.plant.as_of;
    let picked = plan.runs.serving(demand.need).map_or(demand.need, |run| run.picked);
    let latest = plan::latest(plan, row.owner, row.to, row.part).unwrap_or(demand.need);
    [picked, latest].into_iter().find(|by| *by > now)
}

/// The first pieces that stop the line in a plan as it is, by the unit's arrival, rank, place and part; each is worked out when
/// it is asked for.
pub fn pieces<'o>(outlook: &'o Outlook<'_>) -> impl Iterator<Item = Piece> + 'o {
    outlook.plan.effects.first.iter().filter_map(|row| Piece::of(outlook, row))
}

/// What is left of a piece in an outlook, so much of the part being left for other pieces of the unit at that place; `None`
/// where the line waits for no more than that.
pub fn piece_now(outlook: &Outlook<'_>, piece: &Piece, others: Quantity) -> Option<Piece> {
    let mut left = stopping(outlook, piece) - others;
    let mut found: Option<Piece> = None;
    let (alike, rest): (Vec<_>, Vec<_>) = rows_of(outlook, piece).into_iter().partition(|row| row.there == piece.there);
    for row in alike.into_iter().chain(rest) {
        if !left.is_positive() {
            break;
        }
        let mut more = Piece::of(outlook, &row)?;
        more.cut(left);
        left -= more.qty;
        match &mut found {
            None => found = Some(more),
            Some(found) => found.join(more),
        }
    }
    found
}

/// The consequences of a unit's part at a place, the line waiting.
fn rows_of(outlook: &Outlook<'_>, piece: &Piece) -> Vec<Consequence> {
    let own = outlook.consequences_for(piece.part, piece.owner).into_iter();
    own.filter(|row| row.outcome == Outcome::StopsTheLine && row.to == piece.to).collect()
}

/// How much of a part a unit waits for at a place, the line standing.
pub fn stopping(outlook: &Outlook<'_>, piece: &Piece) -> Quantity {
    rows_of(outlook, piece).iter().map(|row| row.qty).sum()
}
