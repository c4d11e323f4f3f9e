//! Pieces that may not be there in time: of bought parts eight or twelve bytes each, for where supply is bad that is every piece
//! there is.

use super::goods::ChangedRows;
use super::slots::{NONE, Slot};
use super::{Settled, There};
use crate::base::{Moment, MustBe, PartId, Quantity, broken, numbered};
use crate::check::Receipt;
use crate::netting::{Cover, Demand, Peg};
use crate::supply::{Covered, Pegged};
use crate::waves::{InTurn, Runs};
use itertools::Itertools;

/// A piece of a demand that is not there when the picking of its run starts or when it is needed, or that a job or a by-product
/// covers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Doubt {
    /// The need that it is a piece of.
    pub demand: Demand,
    /// How much of it.
    pub qty: Quantity,
    /// What covers it.
    pub cover: Cover,
    /// When that is there.
    pub available: Option<Moment>,
    /// The slot of a demand for a bought part; [`NONE`] of another.
    pub(super) slot: u32,
    /// Whether it is late and still there when its run is picked: a run that leaves as the stores close may be picked after it.
    pub for_its_run: bool,
}

impl Doubt {
    fn of(demand: &Demand, peg: &Peg) -> Self {
        Self {
            demand: *demand,
            qty: peg.qty,
            cover: peg.cover,
            available: peg.available,
            slot: NONE,
            for_its_run: false,
        }
    }

    /// When it is there, as promised.
    pub(super) fn there(&self) -> There {
        self.available.map_or(There::Unknown, There::At)
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
    pegged.pieces().filter_map(move |(demand, peg)| Some((peg.demand, doubt(demand, peg, &mut runs)?)))
}

/// The doubt of a piece, if there is any; pieces come in order of need.
pub(super) fn doubt(demand: &Demand, peg: &Peg, runs: &mut InTurn<'_>) -> Option<Doubt> {
    Some(Doubt { for_its_run: for_its_run(demand, peg, runs)?, ..Doubt::of(demand, peg) })
}

/// Whether a piece that is in doubt is there when its run is picked; `None` where there is no doubt of it.
fn for_its_run(demand: &Demand, peg: &Peg, runs: &mut InTurn<'_>) -> Option<bool> {
    match (peg.cover, peg.available) {
        (Cover::Receipt(_), Some(at)) => {
            let picked = runs.serving(demand.need).map_or(demand.need, |run| run.picked);
            (at > picked.min(demand.need)).then_some(at <= picked)
        }
        (cover, _) => matches!(cover, Cover::None | Cover::Job(_) | Cover::ByProduct).then_some(false),
    }
}

/// A piece of a bought part. Its demand follows from the slot, but for the quantity where other pieces cover the rest.
#[derive(Clone, Copy, Debug)]
struct Packed {
    slot: u32,
    /// The place of its quantity among those of the part; the upper bit is set for a piece that is not all of its demand, the
    /// next for one that is there for its run, the third for one whose outcome is looked up when jobs are known.
    size: u32,
}

/// No receipt: nothing covers a piece.
const NOTHING: u32 = u32::MAX;
const SPLIT: u32 = 1 << 31;
const FOR_ITS_RUN: u32 = 1 << 30;
const LATER: u32 = 1 << 29;
const SIZE: u32 = LATER - 1;
/// Among so many quantities that came last a piece's is looked for, before it is noted once more.
const LAST_SIZES: usize = 16;

/// All pieces of one bought part, in order of need.
#[derive(Clone, Debug, Default)]
pub(super) struct OfPart {
    pieces: Vec<Packed>,
    sizes: Vec<Quantity>,
    /// For each piece its receipt, or [`NOTHING`]; nothing at all where no piece has one.
    receipts: Vec<u32>,
    /// The whole demand of each piece that is not all of its own.
    demands: Vec<Quantity>,
}

impl OfPart {
    /// Adds a piece; whether it is to be told later what it does.
    pub(super) fn push(&mut self, slot: u32, doubt: &Doubt, later: bool) {
        let receipt = match doubt.cover {
            Cover::Receipt(receipt) => Some(receipt),
            Cover::None => None,
            _ => broken("a bought part is covered by a job or a by-product"),
        };
        if receipt.is_some() && self.receipts.is_empty() {
            self.receipts.resize(self.pieces.len(), NOTHING);
        }
        if receipt.is_some() || !self.receipts.is_empty() {
            self.receipts.push(receipt.unwrap_or(NOTHING));
        }
        let split = doubt.qty != doubt.demand.qty;
        let size = self.size_of(doubt.qty);
        let marks = [(split, SPLIT), (doubt.for_its_run, FOR_ITS_RUN), (later, LATER)];
        let marks = marks.iter().filter(|(is, _)| *is).map(|(_, mark)| mark).sum::<u32>();
        self.pieces.push(Packed { slot, size: size | marks });
        if split {
            self.demands.push(doubt.demand.qty);
        }
    }

    /// The place of a quantity.
    fn size_of(&mut self, qty: Quantity) -> u32 {
        let from = self.sizes.len().saturating_sub(LAST_SIZES);
        let known = self.sizes[from..].iter().rposition(|size| *size == qty).map(|at| from + at);
        let place = known.unwrap_or_else(|| {
            self.sizes.push(qty);
            self.sizes.len() - 1
        });
        Some(numbered(place)).filter(|place| *place <= SIZE).must("a part has more quantities than a piece can name")
    }

    /// Leaves nothing but the room for it.
    pub(super) fn clear(&mut self) {
        self.pieces.clear();
        self.sizes.clear();
        self.receipts.clear();
        self.demands.clear();
    }

    /// The pieces of a part, given where its slots and receipts are looked up.
    pub(super) fn read<'d>(&'d self, part: PartId, look: Look<'d>) -> impl Iterator<Item = Doubt> + 'd {
        self.some(part, look, |_| true)
    }

    /// Those of them that were left for later.
    fn later<'d>(&'d self, part: PartId, look: Look<'d>) -> impl Iterator<Item = Doubt> + 'd {
        self.some(part, look, |piece| piece.size & LATER != 0)
    }

    fn some<'d>(
        &'d self,
        part: PartId,
        look: Look<'d>,
        which: impl Fn(&Packed) -> bool + 'd,
    ) -> impl Iterator<Item = Doubt> + 'd {
        let mut demands = self.demands.iter();
        self.pieces.iter().enumerate().filter_map(move |(at, piece)| {
            let whole = if piece.size & SPLIT == 0 { None } else { demands.next() };
            which(piece).then(|| {
                let mut doubt = self.read_at(part, at, look);
                doubt.demand.qty = whole.copied().unwrap_or(doubt.qty);
                doubt
            })
        })
    }

    /// For each piece its slot, or nothing for one that is there when its run is picked.
    pub(super) fn slots(&self) -> impl Iterator<Item = Option<u32>> {
        self.pieces.iter().map(|piece| Some(piece.slot).filter(|_| piece.size & FOR_ITS_RUN == 0))
    }

    /// The pieces that are needed at one slot; as if each were all of its demand.
    pub(super) fn at_slot<'d>(&'d self, part: PartId, slot: u32, look: Look<'d>) -> impl Iterator<Item = Doubt> + 'd {
        let first = self.pieces.partition_point(|piece| piece.slot < slot);
        let count = self.pieces[first..].iter().take_while(move |piece| piece.slot == slot).count();
        (first..first + count).map(move |at| self.read_at(part, at, look))
    }

    /// A piece by its number, as if it were all of its demand.
    pub(super) fn read_at(&self, part: PartId, at: usize, look: Look<'_>) -> Doubt {
        let Packed { slot, size } = self.pieces[at];
        let Slot { need, owner, to } = look.slots[slot as usize];
        let qty = self.sizes[(size & SIZE) as usize];
        let (cover, available) = match self.receipts.get(at).copied().unwrap_or(NOTHING) {
            NOTHING => (Cover::None, None),
            number => (Cover::Receipt(number), Some(look.available(number))),
        };
        let for_its_run = size & FOR_ITS_RUN != 0;
        Doubt { demand: Demand { part, need, owner, to, qty }, qty, cover, available, slot, for_its_run }
    }
}

/// Where slots and receipts are looked up.
#[derive(Clone, Copy)]
pub(super) struct Look<'l> {
    pub(super) slots: &'l [Slot],
    pub(super) receipts: &'l ChangedRows<'l, Receipt>,
    /// When each receipt is there, where all are as the plant has them; it is looked up soonest here.
    pub(super) there: &'l [Moment],
}

impl Look<'_> {
    /// When a receipt is there.
    fn available(self, number: u32) -> Moment {
        let known = self.there.get(number as usize).copied();
        known.unwrap_or_else(|| self.receipts.at(number as usize).available)
    }
}

impl Settled<'_> {
    /// The pieces of a part that are not there when the picking of their run starts, or that a job or a by-product covers, in
    /// order of need.
    pub fn doubts(&self, part: PartId) -> Vec<Doubt> {
        let mut doubts = Vec::new();
        self.put_doubts(part, &mut doubts);
        doubts
    }

    /// The same, put into a list instead of what it holds.
    pub(super) fn put_doubts(&self, part: PartId, into: &mut Vec<Doubt>) {
        into.clear();
        if self.plant.part(part).bought() {
            into.extend(self.bought_doubts(part));
        } else {
            into.extend(self.made_doubts(part));
        }
    }

    /// Those pieces of a part of which it was left open what they do, put into a list instead of what it holds.
    pub(super) fn put_later(&self, part: PartId, into: &mut Vec<Doubt>) {
        if self.plant.part(part).bought() {
            into.clear();
            into.extend(self.doubts[part.at()].later(part, self.look()));
        } else {
            self.put_doubts(part, into);
        }
    }

    /// The same of a bought part, one after the other as they are asked for.
    pub(super) fn bought_doubts(&self, part: PartId) -> impl Iterator<Item = Doubt> {
        self.doubts[part.at()].read(part, self.look())
    }

    /// Those of them that are needed before a moment.
    pub fn doubts_before(&self, part: PartId, until: Moment) -> Vec<Doubt> {
        let before = |doubt: &Doubt| doubt.demand.need < until;
        if self.plant.part(part).bought() {
            self.bought_doubts(part).take_while(before).collect()
        } else {
            self.made_doubts(part).take_while(before).collect()
        }
    }

    /// The same of a part that is not bought.
    pub(super) fn made_doubts(&self, part: PartId) -> impl Iterator<Item = Doubt> {
        doubts(self.made(part).pegged(), &self.runs).map(|(_, doubt)| doubt)
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
        Look { slots: self.slots(), receipts: &self.goods.receipts, there: &self.receipts_there }
    }
}
