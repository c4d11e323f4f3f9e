//! What could be done about a piece that stops the line, in the order in which it is tried; each a small change of the plant.

use super::change::Change;
use super::piece::Piece;
use crate::base::{Moment, OwnerId, Quantity, UnitId};
use crate::check::{Plant, Stock};
use crate::netting::{Cover, Demand};
use crate::plan::{self, Plan, There};
use itertools::Itertools;
use std::cmp::Reverse;

/// The kinds of cures, in the order in which they are tried.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Stock on hold would cure it, if quality finds it good.
    OnHold,
    /// Loose stock that serves a later need, which a receipt refills.
    LooseStock,
    /// A reservation that is due later, likewise.
    Reservation,
    /// The shop makes it first.
    MakeFirst,
    /// Some of a receipt comes sooner.
    PartShipment,
    /// It is ordered once more.
    Order,
}

/// Something that could be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Candidate {
    /// Of which kind it is.
    pub kind: Kind,
    /// What it changes.
    pub changes: Vec<Change>,
}

/// How many units with loose stock, and how many with a reservation, are asked to wait in turn.
const ASKED: usize = 2;

/// What is known where candidates are looked for. Rows from `stock` and `receipts` on were added by cures.
pub struct Search<'s, 'p> {
    /// The plan as it stands with the cures chosen so far.
    pub plan: &'s Plan<'p>,
    /// The piece.
    pub piece: &'s Piece,
    /// How many rows of stock the book has.
    pub stock: usize,
    /// How many receipts the book has.
    pub receipts: usize,
}

impl Search<'_, '_> {
    /// All candidates, eight at most, in order.
    pub fn candidates(&self) -> Vec<Candidate> {
        let mut found = Vec::new();
        let mut add = |kind: Kind, changes: Option<Vec<Change>>| {
            found.extend(changes.filter(|list| !list.is_empty()).map(|changes| Candidate { kind, changes }));
        };
        add(Kind::OnHold, self.on_hold());
        add(Kind::LooseStock, self.from_another_place());
        self.loose().into_iter().for_each(|changes| add(Kind::LooseStock, Some(changes)));
        self.reserved().into_iter().for_each(|changes| add(Kind::Reservation, Some(changes)));
        add(Kind::MakeFirst, self.first());
        add(Kind::PartShipment, self.sooner());
        add(Kind::Order, self.order());
        found
    }

    fn plant(&self) -> &Plant {
        self.plan.plant
    }

    /// Whether all pieces of the part are alike: what depends on a unit's options is made for that unit alone.
    fn alike(&self) -> bool {
        !self.plant().part(self.piece.part).configured
    }

    /// So much as the piece needs out of rows of stock, in sheet order.
    fn keep(&self, wanted: impl Fn(&Stock) -> bool) -> Option<Vec<Change>> {
        self.keep_for(self.piece.unit, self.piece.qty, wanted)
    }

    fn keep_for(&self, unit: UnitId, qty: Quantity, wanted: impl Fn(&Stock) -> bool) -> Option<Vec<Change>> {
        let (mut left, mut changes) = (qty, Vec::new());
        let rows = self.plant().stock.iter().take(self.stock).enumerate();
        for (stock, row) in rows.filter(|(_, row)| row.part == self.piece.part && wanted(row)) {
            let qty = left.min(row.qty);
            if qty.is_positive() {
                left -= qty;
                changes.push(Change::Keep { stock, qty, unit });
            }
        }
        left.is_zero().then_some(changes)
    }

    /// Stock on hold.
    fn on_hold(&self) -> Option<Vec<Change>> {
        let own = |row: &Stock| row.reserved.map_or(self.alike(), |unit| unit == self.piece.unit);
        self.keep(|row| row.hold.is_some() && own(row))
    }

    /// Stock that lies at another station or shop and serves no other place.
    fn from_another_place(&self) -> Option<Vec<Change>> {
        let elsewhere = |row: &Stock| row.lineside.is_some_and(|place| place != self.piece.to);
        self.keep(|row| self.alike() && row.hold.is_none() && row.reserved.is_none() && elsewhere(row))
    }

    /// Loose stock that units with time to wait would take: what is theirs by order goes to the piece, and those between
    /// keep what they have.
    fn loose(&self) -> Vec<Vec<Change>> {
        let There::At(there) = self.piece.there else { return Vec::new() };
        let supply = self.plan.supply(self.piece.part);
        let takers = supply.pegs.iter().filter(|peg| peg.cover == Cover::Stock);
        let takers = takers.map(|peg| (supply.demands[peg.demand as usize], peg.qty)).collect_vec();
        let can_wait = |(i, (demand, qty)): (usize, &(Demand, Quantity))| {
            let latest = self.latest(demand).filter(|latest| *latest >= there && *qty >= self.piece.qty)?;
            Some((Reverse(latest), i))
        };
        let waiting = takers.iter().enumerate().filter_map(can_wait).sorted().take(ASKED);
        waiting.filter_map(|(_, i)| self.instead_of(&takers[i..])).collect()
    }

    /// The piece takes the first taker's stock; the others keep theirs.
    fn instead_of(&self, takers: &[(Demand, Quantity)]) -> Option<Vec<Change>> {
        let (_, others) = takers.split_first()?;
        let own = others.iter().map(|(demand, qty)| Some((self.unit(demand.owner)?, *qty)));
        let own: Vec<(UnitId, Quantity)> = own.collect::<Option<_>>()?;
        let mut rows = self.loose_rows();
        let wanted = std::iter::once((self.piece.unit, self.piece.qty)).chain(own);
        let mut changes = Vec::new();
        for (unit, qty) in wanted {
            changes.extend(take(&mut rows, qty)?.into_iter().map(|(stock, qty)| Change::Keep { stock, qty, unit }));
        }
        Some(changes)
    }

    /// Rows of loose stock in the stores, with what is in them.
    fn loose_rows(&self) -> Vec<(usize, Quantity)> {
        let loose = |row: &Stock| row.hold.is_none() && row.reserved.is_none() && row.lineside.is_none();
        let rows = self.plant().stock.iter().take(self.stock).enumerate();
        let rows = rows.filter(|(_, row)| row.part == self.piece.part && loose(row) && row.qty.is_positive());
        rows.map(|(stock, row)| (stock, row.qty)).collect()
    }

    /// What is reserved for other units, those that can wait longest first.
    fn reserved(&self) -> Vec<Vec<Change>> {
        if !self.alike() {
            return Vec::new();
        }
        let supply = self.plan.supply(self.piece.part);
        let takers = supply.pegs.iter().filter(|peg| peg.cover == Cover::Reserved && peg.qty >= self.piece.qty);
        let takers = takers.map(|peg| supply.demands[peg.demand as usize]);
        let others = takers.filter(|demand| demand.owner != self.piece.owner);
        let ranked = others.filter_map(|demand| Some((Reverse(self.latest(&demand)?), demand.owner))).sorted();
        let later = ranked.filter(|(Reverse(latest), _)| self.own_latest().is_none_or(|own| *latest > own));
        let units = later.filter_map(|(_, owner)| self.unit(owner)).dedup().take(ASKED);
        units.filter_map(|unit| self.keep(|row| row.hold.is_none() && row.reserved == Some(unit))).collect()
    }

    /// The late jobs of the unit, its own and those that feed it.
    fn first(&self) -> Option<Vec<Change>> {
        if !self.piece.made() {
            return None;
        }
        let own = |part| Change::First { code: self.plan.pace.owners[self.piece.owner.at()].code.clone(), part };
        let late = self.plan.jobs.iter().filter(|job| job.owner == self.piece.owner && !job.started);
        let late = late.filter(|job| job.available > job.need).map(|job| job.part).sorted().dedup();
        Some(late.map(own).collect())
    }

    /// Some of the receipts that cover it now.
    fn sooner(&self) -> Option<Vec<Change>> {
        let by = self.piece.by?;
        let mut changes = Vec::new();
        for (_, peg) in &self.piece.pegs {
            let Cover::Receipt(first) = peg.cover else { continue };
            let mut rows = self.rows_like(first as usize);
            let taken = take(&mut rows, peg.qty)?;
            changes.extend(taken.into_iter().map(|(receipt, qty)| Change::Sooner { receipt, qty, by }));
        }
        Some(changes)
    }

    /// The rows that one receipt stands for: those of its order that come with it.
    fn rows_like(&self, first: usize) -> Vec<(usize, Quantity)> {
        let receipts = &self.plant().receipts;
        let like = &receipts[first];
        let same = receipts.iter().take(self.receipts).enumerate().filter(|(_, row)| {
            row.part == like.part && row.available == like.available && row.order.eq_ignore_ascii_case(&like.order)
        });
        same.map(|(i, row)| (i, row.qty)).collect()
    }

    /// As little as can be ordered.
    fn order(&self) -> Option<Vec<Change>> {
        let part = self.plant().part(self.piece.part);
        let by = self.piece.by.filter(|_| part.bought())?;
        let least = self.piece.qty.max(part.minimum_buy);
        let qty = part.buy_multiple.map_or(least.round_up(part.decimals), |multiple| least.up_to_multiple(multiple));
        Some(vec![Change::Order { part: self.piece.part, qty, by }])
    }

    fn unit(&self, owner: OwnerId) -> Option<UnitId> {
        let owner = &self.plan.pace.owners[owner.at()];
        owner.unit.filter(|_| owner.planned)
    }

    /// By when a demand must be there so that the line does not wait.
    fn latest(&self, demand: &Demand) -> Option<Moment> {
        self.unit(demand.owner)?;
        Some(plan::latest(self.plan, demand.owner, demand.to, demand.part).unwrap_or(demand.need))
    }

    fn own_latest(&self) -> Option<Moment> {
        self.piece.pegs.iter().filter_map(|(demand, _)| self.latest(demand)).min()
    }
}

/// Takes a quantity out of rows in order; `None` where they don't hold it.
fn take(rows: &mut [(usize, Quantity)], qty: Quantity) -> Option<Vec<(usize, Quantity)>> {
    let (mut left, mut taken) = (qty, Vec::new());
    for (row, there) in rows {
        let qty = left.min(*there);
        if qty.is_positive() {
            left -= qty;
            *there -= qty;
            taken.push((*row, qty));
        }
    }
    left.is_zero().then_some(taken)
}
