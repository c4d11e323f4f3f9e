//! What is on hand for others: stock on hold, loose stock that serves a later need, reservations due later.

use super::candidates::{Search, take};
use super::change::Change;
use crate::base::{Moment, OwnerId, Quantity, UnitId};
use crate::check::{Serves, Stock};
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
        let (changes, left) = self.keep_some(self.piece.qty, wanted);
        left.is_zero().then_some(changes)
    }

    /// As much of a quantity as rows of stock hold, in sheet order, and what is missing then.
    fn keep_some(&self, qty: Quantity, wanted: impl Fn(&Stock) -> bool) -> (Vec<Change>, Quantity) {
        let (mut left, mut changes) = (qty, Vec::new());
        let rows = self.outlook.goods.stock.own().take(self.stock);
        for (stock, row) in rows.filter(|(_, row)| row.part == self.piece.part && wanted(row)) {
            let qty = left.min(row.qty);
            if qty.is_positive() {
                left -= qty;
                changes.push(Change::Keep { stock, qty, unit: self.piece.unit });
            }
        }
        (changes, left)
    }

    /// Stock on hold.
    pub(super) fn on_hold(&self) -> Option<Vec<Change>> {
        self.keep(|row| self.held(row))
    }

    /// Stock that lies at another station or shop and serves no other place.
    pub(super) fn at_another_place(&self) -> Option<Vec<Change>> {
        self.keep(|row| self.elsewhere(row))
    }

    /// Some of both, where neither has enough.
    pub(super) fn on_hold_and_elsewhere(&self) -> Option<Vec<Change>> {
        let (mut changes, left) = self.keep_some(self.piece.qty, |row| self.held(row));
        let (more, left) = self.keep_some(left, |row| self.elsewhere(row));
        let both = left.is_zero() && !changes.is_empty() && !more.is_empty();
        changes.extend(more);
        both.then_some(changes)
    }

    fn held(&self, row: &Stock) -> bool {
        row.hold.is_some() && row.reserved.map_or(self.alike(), |unit| unit == self.piece.unit)
    }

    fn elsewhere(&self, row: &Stock) -> bool {
        let place = row.lineside.is_some_and(|place| place != self.piece.to);
        self.alike() && row.hold.is_none() && row.reserved.is_none() && place
    }

    /// Loose stock that units with time to wait would take, those that can wait longest first and as many of them as it needs:
    /// what is theirs by order goes to the piece, and the others keep what they have.
    pub(super) fn loose(&self) -> Vec<Vec<Change>> {
        let There::At(there) = self.piece.there else { return Vec::new() };
        let supply = self.outlook.supply(self.piece.part);
        let takers = supply.pegs.iter().filter(|peg| peg.cover == Cover::Stock);
        let takers = takers.map(|peg| (supply.demands[peg.demand as usize], peg.qty)).collect_vec();
        let can_wait = |(i, (demand, _)): (usize, &(Demand, Quantity))| {
            let latest = self.latest(demand).filter(|latest| *latest >= there)?;
            Some((Reverse(latest), i))
        };
        let waiting = takers.iter().enumerate().filter_map(can_wait).sorted().map(|(_, i)| i).collect_vec();
        let alone = waiting.iter().filter(|i| takers[**i].1 >= self.piece.qty).take(ASKED).map(|i| vec![*i]);
        let mut givers = alone.collect_vec();
        if givers.is_empty() {
            givers.extend(self.together(&takers, &waiting));
        }
        givers.iter().filter_map(|givers| self.instead_of(&takers, givers)).collect()
    }

    /// The first of those that can wait which together have enough.
    fn together(&self, takers: &[(Demand, Quantity)], waiting: &[usize]) -> Option<Vec<usize>> {
        let mut sum = Quantity::ZERO;
        let enough = waiting.iter().position(|i| {
            sum += takers[*i].1;
            sum >= self.piece.qty
        })?;
        Some(waiting[..=enough].to_vec())
    }

    /// The piece takes the stock of takers that wait, and the last of these what it leaves; the others keep theirs.
    fn instead_of(&self, takers: &[(Demand, Quantity)], givers: &[usize]) -> Option<Vec<Change>> {
        let first = *givers.iter().min()?;
        let given: Quantity = givers.iter().map(|i| takers[*i].1).sum();
        let left = |i: usize| if Some(&i) == givers.last() { given - self.piece.qty } else { Quantity::ZERO };
        let own = takers.iter().enumerate().skip(first).map(|(i, (demand, qty))| {
            let keeps = if givers.contains(&i) { left(i) } else { *qty };
            Some((self.unit(demand.owner).or(keeps.is_zero().then_some(self.piece.unit))?, keeps))
        });
        let own: Vec<(UnitId, Quantity)> = own.collect::<Option<_>>()?;
        let mut rows = self.loose_rows();
        let wanted = std::iter::once((self.piece.unit, self.piece.qty)).chain(own);
        let mut changes = Vec::new();
        for (unit, qty) in wanted.filter(|(_, qty)| qty.is_positive()) {
            changes.extend(take(&mut rows, qty)?.into_iter().map(|(stock, qty)| Change::Keep { stock, qty, unit }));
        }
        Some(changes)
    }

    /// Rows of loose stock in the stores, with what is in them.
    fn loose_rows(&self) -> Vec<(usize, Quantity)> {
        let loose = |row: &Stock| self.outlook.plan.plant.serves(row) == Some(Serves::Anyone);
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
