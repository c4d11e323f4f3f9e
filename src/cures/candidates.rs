//! What could be done about a piece that stops the line, in the order in which it is tried; each a small change of the plant.

use super::change::Change;
use super::piece::Piece;
use crate::base::Quantity;
use crate::check::Plant;
use crate::netting::{Cover, Demand, Peg};
use crate::plan::Outlook;
use itertools::Itertools;
use std::collections::BTreeMap;

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
    /// How much of what comes others take, who need it before and don't have it by then.
    pub ahead: Quantity,
}

/// What is known where candidates are looked for. Rows from `stock` and `receipts` on were added by cures.
pub struct Search<'s, 'p> {
    /// The plan as it stands with the cures chosen so far.
    pub outlook: &'s Outlook<'p>,
    /// What stops the line and is to be cured.
    pub piece: &'s Piece,
    /// How many rows of stock the book has.
    pub stock: usize,
    /// How many receipts the book has.
    pub receipts: usize,
}

impl Search<'_, '_> {
    /// All candidates, eleven at most, in order.
    pub fn candidates(&self) -> Vec<Candidate> {
        let mut found = Vec::new();
        let mut add = |kind: Kind, changes: Option<Vec<Change>>| {
            let ahead = Quantity::ZERO;
            found.extend(changes.filter(|list| !list.is_empty()).map(|changes| Candidate { kind, changes, ahead }));
        };
        add(Kind::OnHold, self.on_hold());
        add(Kind::LooseStock, self.at_another_place());
        self.loose().into_iter().for_each(|changes| add(Kind::LooseStock, Some(changes)));
        self.reserved().into_iter().for_each(|changes| add(Kind::Reservation, Some(changes)));
        add(Kind::OnHold, self.on_hold_and_elsewhere());
        add(Kind::MakeFirst, self.first());
        let before = self.before();
        let all: Quantity = before.iter().map(|peg| peg.qty).sum();
        let turns =
            if before.is_empty() { vec![(&[][..], all)] } else { vec![(&[][..], Quantity::ZERO), (&before, all)] };
        let shipments = turns.iter().map(|(before, ahead)| (Kind::PartShipment, self.sooner(before), *ahead));
        let orders = turns.iter().map(|(_, ahead)| (Kind::Order, self.order(*ahead), *ahead));
        for (kind, changes, ahead) in shipments.chain(orders) {
            let changes = changes.filter(|list| !list.is_empty());
            found.extend(changes.map(|changes| Candidate { kind, changes, ahead }));
        }
        found
    }

    /// What others need of the part before the piece and don't have by the moment by which it must be there: they would take
    /// what comes then.
    fn before(&self) -> Vec<Peg> {
        let Some(by) = self.piece.by else { return Vec::new() };
        let supply = self.outlook.supply(self.piece.part);
        let own = |demand: &Demand| self.piece.pegs.iter().any(|(own, _)| own == demand);
        let Some(last) = supply.demands.iter().rposition(own) else { return Vec::new() };
        let waits = |peg: &Peg| match peg.cover {
            Cover::None => true,
            Cover::Receipt(_) => peg.available.is_some_and(|at| at > by),
            _ => false,
        };
        let before = supply.pegs.iter().take_while(|peg| (peg.demand as usize) < last);
        before.filter(|peg| waits(peg) && !own(&supply.demands[peg.demand as usize])).copied().collect()
    }

    pub(super) fn plant(&self) -> &Plant {
        self.outlook.plan.plant
    }

    /// The late jobs of the unit, its own and those that feed it.
    fn first(&self) -> Option<Vec<Change>> {
        if !self.piece.made() {
            return None;
        }
        let plan = self.outlook.plan;
        let own = |part| Change::First { code: plan.pace.owners[self.piece.owner.at()].code.clone(), part };
        let late = plan.jobs.iter().filter(|job| job.owner == self.piece.owner && !job.started);
        let late = late.filter(|job| job.available > job.need).map(|job| job.part).sorted().dedup();
        Some(late.map(own).collect())
    }

    /// Some of the receipts that cover it now, and of those that cover what is needed before.
    fn sooner(&self, before: &[Peg]) -> Option<Vec<Change>> {
        let by = self.piece.by?;
        if self.piece.pegs.iter().all(|(_, peg)| peg.cover == Cover::None) {
            return None;
        }
        // How much of each row is moved: pieces of one delivery don't take the same twice.
        let mut moved: BTreeMap<usize, Quantity> = BTreeMap::new();
        for peg in before.iter().chain(self.piece.pegs.iter().map(|(_, peg)| peg)) {
            let Cover::Receipt(first) = peg.cover else { continue };
            // What a job waits for with other material may itself be there by then.
            if peg.available.is_some_and(|at| at <= by) {
                continue;
            }
            let mut rows = self.rows_like(first as usize);
            rows.iter_mut().for_each(|(row, there)| *there -= moved.get(row).copied().unwrap_or_default());
            for (row, qty) in take(&mut rows, peg.qty)? {
                *moved.entry(row).or_default() += qty;
            }
        }
        Some(moved.into_iter().map(|(receipt, qty)| Change::Sooner { receipt, qty, by }).collect())
    }

    /// The rows that one receipt stands for: those of its order that come with it.
    fn rows_like(&self, first: usize) -> Vec<(usize, Quantity)> {
        let receipts = &self.outlook.goods.receipts;
        let like = receipts.at(first);
        let same = receipts.own().take(self.receipts).filter(|(_, row)| {
            row.part == like.part && row.available == like.available && row.order.eq_ignore_ascii_case(&like.order)
        });
        same.map(|(i, row)| (i, row.qty)).collect()
    }

    /// As little as can be ordered, so much besides being needed before.
    fn order(&self, ahead: Quantity) -> Option<Vec<Change>> {
        let part = self.plant().part(self.piece.part);
        let by = self.piece.by.filter(|_| part.bought())?;
        let least = (self.piece.qty + ahead).max(part.minimum_buy);
        let qty = part.buy_multiple.map_or(least.round_up(part.decimals), |multiple| least.up_to_multiple(multiple));
        Some(vec![Change::Order { part: self.piece.part, qty, by }])
    }
}

/// Takes a quantity out of rows in order; `None` where they don't hold it.
pub(super) fn take(rows: &mut [(usize, Quantity)], qty: Quantity) -> Option<Vec<(usize, Quantity)>> {
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
