//! Pieces that may not be there in time: of bought parts sixteen bytes each, for where supply is bad that is every piece there is.

use super::Plan;
use super::goods::Rows;
use super::packed::Halves;
use super::slots::Slot;
use crate::base::{Moment, MustBe, PartId, Quantity, broken};
use crate::check::Receipt;
use crate::netting::{Cover, Demand, Peg};
use crate::supply::{Covered, Pegged};
use crate::waves::{InTurn, Runs};
use itertools::Itertools;

/// A piece of a demand that is not there when the picking of its run starts, or that a job or a by-product covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Doubt {
    /// The demand.
    pub demand: Demand,
    /// How much of it.
    pub qty: Quantity,
    /// What covers it.
    pub cover: Cover,
    /// When that is there.
    pub available: Option<Moment>,
}

impl Doubt {
    fn of(demand: &Demand, peg: &Peg) -> Self {
        Self { demand: *demand, qty: peg.qty, cover: peg.cover, available: peg.available }
    }

    /// How well it is covered.
    pub fn covered(&self) -> Covered {
        Covered::of(self.cover, self.available, self.demand.need)
    }
}

/// The pieces of a part that are not there when the picking of their run starts, or that a job or a by-product covers, each
/// with its demand's number, in order of need.
pub(super) fn doubts<'s>(pegged: Pegged<'s>, runs: &'s Runs) -> impl Iterator<Item = (u32, Doubt)> + 's {
    let mut runs = runs.in_turn();
    let not_on_hand = pegged.pieces().filter(|(_, peg)| !peg.on_hand());
    let doubtful = not_on_hand.filter(move |(demand, peg)| is_doubtful(demand, peg, &mut runs));
    doubtful.map(|(demand, peg)| (peg.demand, Doubt::of(demand, peg)))
}

fn is_doubtful(demand: &Demand, peg: &Peg, runs: &mut InTurn<'_>) -> bool {
    match (peg.cover, peg.available) {
        (Cover::Receipt(_), Some(at)) => at > runs.serving(demand.need).map_or(demand.need, |run| run.picked),
        (cover, _) => matches!(cover, Cover::None | Cover::Job(_) | Cover::ByProduct),
    }
}

/// A piece of a bought part. Its demand follows from the slot, but for the quantity where other pieces cover the rest.
#[derive(Clone, Copy, Debug)]
struct Packed {
    slot: u32,
    /// The receipt, or [`NOTHING`]; the upper bit is set for a piece that is not all of its demand.
    cover: u32,
    qty: Halves,
}

const NOTHING: u32 = SPLIT - 1;
const SPLIT: u32 = 1 << 31;

/// All pieces of one bought part, in order of need.
#[derive(Clone, Debug, Default)]
pub(super) struct OfPart {
    pieces: Vec<Packed>,
    /// The whole demand of each piece that is not all of its own.
    demands: Vec<Quantity>,
}

impl OfPart {
    pub(super) fn push(&mut self, slot: u32, doubt: &Doubt) {
        let split = doubt.qty != doubt.demand.qty;
        let cover = match doubt.cover {
            Cover::Receipt(receipt) => Some(receipt).filter(|receipt| *receipt < NOTHING).must("too many receipts"),
            Cover::None => NOTHING,
            _ => broken("a bought part is covered by a job or a by-product"),
        };
        let qty = Halves::of(doubt.qty);
        self.pieces.push(Packed { slot, cover: cover | if split { SPLIT } else { 0 }, qty });
        if split {
            self.demands.push(doubt.demand.qty);
        }
    }

    pub(super) fn shrink(&mut self) {
        self.pieces.shrink_to_fit();
        self.demands.shrink_to_fit();
    }

    /// The pieces of a part, given where its slots and receipts are looked up.
    pub(super) fn read<'d>(&'d self, part: PartId, look: Look<'d>) -> impl Iterator<Item = Doubt> + 'd {
        let mut demands = self.demands.iter();
        self.pieces.iter().map(move |piece| {
            let mut doubt = piece.read(part, look);
            if let Some(whole) = (piece.cover & SPLIT != 0).then(|| demands.next()).flatten() {
                doubt.demand.qty = *whole;
            }
            doubt
        })
    }

    /// The pieces that are needed at one slot; as if each were all of its demand.
    pub(super) fn at_slot<'d>(&'d self, part: PartId, slot: u32, look: Look<'d>) -> impl Iterator<Item = Doubt> + 'd {
        let first = self.pieces.partition_point(|piece| piece.slot < slot);
        let pieces = self.pieces[first..].iter().take_while(move |piece| piece.slot == slot);
        pieces.map(move |piece| piece.read(part, look))
    }
}

/// Where slots and receipts are looked up.
#[derive(Clone, Copy)]
pub(super) struct Look<'l> {
    pub(super) slots: &'l [Slot],
    pub(super) receipts: &'l Rows<'l, Receipt>,
}

impl Packed {
    /// The piece as if it were all of its demand.
    fn read(&self, part: PartId, look: Look<'_>) -> Doubt {
        let Slot { need, owner, to } = look.slots[self.slot as usize];
        let qty = self.qty.qty();
        let (cover, available) = match self.cover & !SPLIT {
            NOTHING => (Cover::None, None),
            number => (Cover::Receipt(number), Some(look.receipts.at(number as usize).available)),
        };
        Doubt { demand: Demand { part, need, owner, to, qty }, qty, cover, available }
    }
}

impl Plan<'_> {
    /// The pieces of a part that are not there when the picking of their run starts, or that a job or a by-product covers, in
    /// order of need.
    pub fn doubts(&self, part: PartId) -> Vec<Doubt> {
        if self.plant.part(part).bought() {
            self.doubts[part.at()].read(part, self.look()).collect()
        } else {
            self.made_doubts(part).collect()
        }
    }

    /// The same of a part that is not bought.
    pub(super) fn made_doubts(&self, part: PartId) -> impl Iterator<Item = Doubt> {
        doubts(self.made(part).pegged(), &self.runs).map(|(_, doubt)| doubt)
    }

    /// Some of a part's pieces by their numbers, as if each were all of its demand.
    pub(super) fn doubts_at(&self, part: PartId, numbers: &[u32]) -> Vec<Doubt> {
        let numbers = numbers.iter().map(|number| *number as usize);
        if self.plant.part(part).bought() {
            let pieces = &self.doubts[part.at()].pieces;
            numbers.map(|number| pieces[number].read(part, self.look())).collect()
        } else {
            let all: Vec<Doubt> = self.made_doubts(part).collect();
            numbers.map(|number| all[number]).collect()
        }
    }

    /// The bought parts that a job needs, each with the slot at which it does.
    pub(super) fn bought_for(&self, job: u32) -> impl Iterator<Item = (u32, PartId)> {
        let needs = self.jobs[job as usize].below.needs.iter().map(|(part, _)| *part);
        self.slot_of_job(job).into_iter().cartesian_product(needs.filter(|part| self.plant.part(*part).bought()))
    }

    /// The pieces of a job's material that are not there when the picking of their run starts, or that another job or a
    /// by-product covers, by part; none for a job that has begun.
    pub fn doubts_of_job(&self, job: u32) -> Vec<Doubt> {
        if self.jobs[job as usize].started {
            return Vec::new();
        }
        let bought = self.bought_for(job);
        let bought = bought.flat_map(|(slot, part)| self.doubts[part.at()].at_slot(part, slot, self.look()));
        let made = self.made_material(job).filter(|(_, peg)| !peg.on_hand());
        let made = made.map(|(demand, peg)| Doubt::of(demand, peg));
        bought.chain(made).sorted_by_key(|doubt| doubt.demand.part).collect()
    }

    pub(super) fn look(&self) -> Look<'_> {
        Look { slots: self.slots(), receipts: &self.goods.receipts }
    }
}
