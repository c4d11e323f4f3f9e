//! What is on hand for others: stock on hold, loose stock that serves a later need, reservations due later.

use super::candidates::{Search, take};
use super::change::Change;
use crate::base::{Moment, OwnerId, Quantity, UnitId};
use crate::check::Stock;
use crate::netting::{Cover, Demand};
use crate::plan::{self, There};
use itertools::Itertools;
use std::cmp::Reverse;

/// How many units with loose stock, and how many with a reservation, are asked to wait in turn.
const ASKED: usize = 2;

impl Search<'_, '_> {
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
        let rows = self.outlook.goods.stock.own().take(self.stock);
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
    pub(super) fn on_hold(&self) -> Option<Vec<Change>> {
        let own = |row: &Stock| row.reserved.map_or(self.alike(), |unit| unit == self.piece.unit);
        self.keep(|row| row.hold.is_some() && own(row))
    }

    /// Stock that lies at another station or shop and serves no other place.
    pub(super) fn at_another_place(&self) -> Option<Vec<Change>> {
        let elsewhere = |row: &Stock| row.lineside.is_some_and(|place| place != self.piece.to);
        self.keep(|row| self.alike() && row.hold.is_none() && row.reserved.is_none() && elsewhere(row))
    }

    /// Loose stock that units with time to wait would take: what is theirs by order goes to the piece, and those between
    /// keep what they have.
    pub(super) fn loose(&self) -> Vec<Vec<Change>> {
        let There::At(there) = self.piece.there else { return Vec::new() };
        let supply = self.outlook.supply(self.piece.part);
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
        let rows = self.outlook.goods.stock.own().take(self.stock);
        let rows = rows.filter(|(_, row)| row.part == self.piece.part && loose(row) && row.qty.is_positive());
        rows.map(|(stock, row)| (stock, row.qty)).collect()
    }

    /// What is reserved for other units, those that can wait longest first.
    pub(super) fn reserved(&self) -> Vec<Vec<Change>> {
        if !self.alike() {
            return Vec::new();
        }
        let supply = self.outlook.supply(self.piece.part);
        let takers = supply.pegs.iter().filter(|peg| peg.cover == Cover::Reserved && peg.qty >= self.piece.qty);
        let takers = takers.map(|peg| supply.demands[peg.demand as usize]);
        let others = takers.filter(|demand| demand.owner != self.piece.owner);
        let ranked = others.filter_map(|demand| Some((Reverse(self.latest(&demand)?), demand.owner))).sorted();
        let later = ranked.filter(|(Reverse(latest), _)| self.own_latest().is_none_or(|own| *latest > own));
        let units = later.filter_map(|(_, owner)| self.unit(owner)).dedup().take(ASKED);
        units.filter_map(|unit| self.keep(|row| row.hold.is_none() && row.reserved == Some(unit))).collect()
    }

    fn unit(&self, owner: OwnerId) -> Option<UnitId> {
        let owner = &self.outlook.plan.pace.owners[owner.at()];
        owner.unit.filter(|_| owner.planned)
    }

    /// By when a demand must be there so that the line does not wait.
    fn latest(&self, demand: &Demand) -> Option<Moment> {
        self.unit(demand.owner)?;
        Some(plan::latest(self.outlook.plan, demand.owner, demand.to, demand.part).unwrap_or(demand.need))
    }

    fn own_latest(&self) -> Option<Moment> {
        self.piece.pegs.iter().filter_map(|(demand, _)| self.latest(demand)).min()
    }
}
