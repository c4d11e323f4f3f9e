//! Parts, and the lines of bills.

use crate::base::{ChangeId, DestId, PartId, Quantity, Ratio, ShopId};
use std::ops::Range;

/// Where a part comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// Bought.
    Buy,
    /// Made in a feeder shop.
    Make(ShopId),
    /// No part one can hold: its lines stand in its place.
    Phantom,
    /// Comes off while something else is built.
    ByProduct,
}

/// How material is issued.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Issue {
    /// Collected for one unit and station.
    Kit,
    /// Brought in line order.
    Sequence,
    /// Brought in whole packs.
    Bulk,
}

/// A part.
#[derive(Clone, Debug)]
pub struct Part {
    /// Its code.
    pub code: String,
    /// What it is.
    pub description: String,
    /// Its unit of measure.
    pub uom: String,
    /// Decimal places of that unit.
    pub decimals: u8,
    /// Where it comes from.
    pub source: Source,
    /// Minutes to set up a job.
    pub setup: Ratio,
    /// Minutes for each.
    pub minutes: Ratio,
    /// Where it is stored.
    pub location: String,
    /// How it is issued.
    pub issue: Issue,
    /// What is in a pack.
    pub pack: Option<Quantity>,
    /// Who sells it.
    pub supplier: String,
    /// Calendar days from order to receipt.
    pub lead_days: u32,
    /// The least that is bought at once; nothing where any amount is.
    pub minimum_buy: Quantity,
    /// Orders are whole multiples of this.
    pub buy_multiple: Option<Quantity>,
    /// Calendar days an order covers.
    pub cover_days: u32,
    /// What should never be gone below.
    pub safety_stock: Quantity,
    /// Price of one.
    pub cost: Option<Quantity>,
    /// Kilograms of one.
    pub weight: Option<Quantity>,
    /// What it is: an index of the plant's kinds.
    pub kind: Option<u32>,
    /// The last station where it can still be fitted, where that is not the one it is needed at.
    pub fit_by: Option<DestId>,
    /// Its bill lines; none for bought parts and by-products.
    pub bill: Range<usize>,
    /// Whether what is below it depends on options or changes: no loose stock covers it then.
    pub configured: bool,
    /// The row it stands on.
    pub row: u32,
}

/// A line of a bill.
#[derive(Clone, Debug)]
pub struct BillLine {
    /// What goes in, or comes off.
    pub part: PartId,
    /// How much of it one parent takes (or gives), in its own unit of measure, scrap included; never negative.
    pub factor: Ratio,
    /// Whether it comes off instead of going in.
    pub gives: bool,
    /// The station, where the line names one.
    pub station: Option<DestId>,
    /// Index of its condition.
    pub when: u32,
    /// The change from which on it holds.
    pub from: Option<ChangeId>,
    /// The change from which on it no longer holds.
    pub until: Option<ChangeId>,
    /// The row it stands on.
    pub row: u32,
}

impl BillLine {
    /// Whether it counts for every unit: nothing is asked, and no change begins or ends it.
    pub fn always(&self) -> bool {
        self.when == 0 && self.from.is_none() && self.until.is_none()
    }

    /// Whether it counts where these conditions hold and these changes are reached. Rule `active-lines`.
    pub fn counts(&self, holds: impl FnOnce(u32) -> bool, reached: impl Fn(ChangeId) -> bool) -> bool {
        holds(self.when) && self.from.is_none_or(&reached) && !self.until.is_some_and(&reached)
    }
}

impl Part {
    /// Whether it is counted in whole pieces: a scrap is left out then.
    pub fn counted(&self) -> bool {
        self.decimals == 0 && self.issue != Issue::Bulk
    }

    /// Whether it is bought.
    pub fn bought(&self) -> bool {
        self.source == Source::Buy
    }
}
