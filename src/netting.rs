//! Demands of one part against its stock and receipts, piece by piece: the one place where something is taken.
//!
//! Rules `cover-order`, `pegs`.

use crate::base::{DestId, Moment, OwnerId, PartId, Quantity, UnitId};
use crate::check::{Plant, Receipt, Serves, Stock};
use crate::line::Owner;
use std::collections::HashMap;

/// What one owner needs of one part at one place by one moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Demand {
    /// What is needed: a bought part, one that is made, or a by-product.
    pub part: PartId,
    /// By when.
    pub need: Moment,
    /// For whom, in order of rank.
    pub owner: OwnerId,
    /// Where to.
    pub to: DestId,
    /// How much.
    pub qty: Quantity,
}

/// What covers a piece of a demand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Cover {
    /// What comes off the unit itself.
    ByProduct,
    /// Stock reserved for the unit.
    Reserved,
    /// Stock that lies at the station or shop.
    Lineside,
    /// Stock in the stores.
    Stock,
    /// An open receipt, by its index in the plant.
    Receipt(u32),
    /// A job, by its index in the plan.
    Job(u32),
    /// Nothing: it is short.
    None,
}

/// A piece of a demand and what covers it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Peg {
    /// The demand, by its index among those of the part.
    pub demand: u32,
    /// How much.
    pub qty: Quantity,
    /// What covers it.
    pub cover: Cover,
    /// When that is there, where it is not there already.
    pub available: Option<Moment>,
}

/// A quantity that becomes free at a moment.
pub type Lot = (Moment, Quantity);

/// By-products by who gives and takes them.
pub type Lots = HashMap<(OwnerId, PartId), Vec<Lot>>;

/// Sorts demands by need, rank and destination and adds up equals: the order in which they are served.
pub fn in_order(demands: &mut Vec<Demand>) {
    demands.sort_unstable_by_key(|demand| (demand.need, demand.owner, demand.to));
    demands.dedup_by(|later, first| {
        let same = (later.need, later.owner, later.to) == (first.need, first.owner, first.to);
        if same {
            first.qty += later.qty;
        }
        same
    });
}

/// The usable stock of one part.
#[derive(Clone, Debug, Default)]
pub struct Stocks {
    reserved: HashMap<UnitId, Quantity>,
    lineside: HashMap<DestId, Quantity>,
    stores: Quantity,
}

impl Stocks {
    /// All parts' usable stock, by part.
    pub fn of_all(plant: &Plant) -> Vec<Self> {
        let mut all: Vec<Self> = plant.parts.iter().map(|_| Self::default()).collect();
        plant.stock.iter().for_each(|row| all[row.part.at()].add(plant, row));
        all
    }

    /// The usable stock of one part, from its rows.
    pub fn of_rows<'r>(plant: &Plant, rows: impl IntoIterator<Item = &'r Stock>) -> Self {
        let mut stocks = Self::default();
        rows.into_iter().for_each(|row| stocks.add(plant, row));
        stocks
    }

    fn add(&mut self, plant: &Plant, row: &Stock) {
        match plant.serves(row) {
            Some(Serves::Unit(unit)) => *self.reserved.entry(unit).or_default() += row.qty,
            Some(Serves::Place(place)) => *self.lineside.entry(place).or_default() += row.qty,
            Some(Serves::Anyone) => self.stores += row.qty,
            None => {}
        }
    }

    /// All of it together, whether anybody can use it or not.
    pub fn all(&self) -> Quantity {
        let amounts = self.reserved.values().chain(self.lineside.values());
        amounts.copied().sum::<Quantity>() + self.stores
    }

    /// What lies in the stores and is for anybody.
    pub fn in_stores(&self) -> Quantity {
        self.stores
    }
}

/// What one part's demands are served from.
pub struct Netting<'a> {
    stocks: Stocks,
    owners: &'a [Owner],
    /// By owner, the soonest last.
    lots: HashMap<OwnerId, Vec<Lot>>,
    receipts: Vec<(u32, Moment, Quantity)>,
    next_receipt: usize,
    /// What lies in the stores at first, and what has been taken of reserved and lineside stock.
    on_hand: Quantity,
    /// Whether there is anything for one owner or one place alone.
    some_set_aside: bool,
}

impl<'a> Netting<'a> {
    /// A part's stock alone.
    pub fn new(stocks: Stocks, owners: &'a [Owner]) -> Self {
        let some_set_aside = !stocks.reserved.is_empty() || !stocks.lineside.is_empty();
        let on_hand = stocks.stores;
        Self { stocks, owners, lots: HashMap::new(), receipts: Vec::new(), next_receipt: 0, on_hand, some_set_aside }
    }

    /// With receipts, given by their index, in the order in which they are taken.
    #[must_use]
    pub fn with_receipts<'r>(mut self, receipts: impl Iterator<Item = (u32, &'r Receipt)>) -> Self {
        self.receipts = receipts.map(|(i, receipt)| (i, receipt.available, receipt.qty)).collect();
        self
    }

    /// With the by-products of each owner, soonest first.
    #[must_use]
    pub fn with_lots(mut self, lots: HashMap<OwnerId, Vec<Lot>>) -> Self {
        self.some_set_aside |= !lots.is_empty();
        self.lots = lots;
        self.lots.values_mut().for_each(|lots| lots.reverse());
        self
    }

    /// Serves a demand; gives what nothing covers. Demands come in the order of [`in_order`].
    #[inline]
    pub fn serve(&mut self, number: u32, demand: &Demand, pegs: &mut Vec<Peg>) -> Quantity {
        let mut left = demand.qty;
        if self.some_set_aside {
            self.take_set_aside(number, demand, &mut left, pegs);
        }
        add(pegs, number, take(&mut left, &mut self.stocks.stores), Cover::Stock, None);
        while let (true, Some((i, available, stock))) = (left.is_positive(), self.receipts.get_mut(self.next_receipt)) {
            add(pegs, number, take(&mut left, stock), Cover::Receipt(*i), Some(*available));
            self.next_receipt += usize::from(stock.is_zero());
        }
        left
    }

    /// Once all demands are served, the stock that they can use: all that lies in the stores, and of reserved and lineside
    /// stock what they have taken. What is left of these serves nobody else, and hides no shortage.
    pub fn on_hand(&self) -> Quantity {
        self.on_hand
    }

    /// Takes what is for this owner or this place alone.
    fn take_set_aside(&mut self, number: u32, demand: &Demand, left: &mut Quantity, pegs: &mut Vec<Peg>) {
        if let Some(lots) = self.lots.get_mut(&demand.owner) {
            while let (true, Some((free, stock))) = (left.is_positive(), lots.last_mut()) {
                add(pegs, number, take(left, stock), Cover::ByProduct, Some(*free));
                if stock.is_zero() {
                    lots.pop();
                }
            }
        }
        let unit = self.owners[demand.owner.at()].unit;
        if let Some(stock) = unit.and_then(|unit| self.stocks.reserved.get_mut(&unit)) {
            let taken = take(left, stock);
            self.on_hand += taken;
            add(pegs, number, taken, Cover::Reserved, None);
        }
        if let Some(stock) = self.stocks.lineside.get_mut(&demand.to) {
            let taken = take(left, stock);
            self.on_hand += taken;
            add(pegs, number, taken, Cover::Lineside, None);
        }
    }
}

fn add(pegs: &mut Vec<Peg>, demand: u32, qty: Quantity, cover: Cover, available: Option<Moment>) {
    if qty.is_positive() {
        pegs.push(Peg { demand, qty, cover, available });
    }
}

/// Takes as much of `left` as there is.
fn take(left: &mut Quantity, stock: &mut Quantity) -> Quantity {
    let taken = (*left).min(*stock);
    *left -= taken;
    *stock -= taken;
    taken
}
