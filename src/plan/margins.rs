//! How much less than the book says may lie in the stores and nobody lacks it: for each bought part, over the needs of the next days.
//!
//! Rule `margin`.

use super::Plan;
use crate::base::{Date, Moment, PartId, Quantity};
use crate::netting::{Cover, Demand};
use itertools::Itertools;
use rayon::prelude::*;

/// A part whose count matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Margin {
    /// A bought part that lies in the stores.
    pub part: PartId,
    /// What lies in the stores for anyone, by the book.
    pub stores: Quantity,
    /// The greatest miscount for which nobody lacks it.
    pub margin: Quantity,
    /// Where that is so: what has come by then.
    pub comes: Quantity,
    /// And what is needed up to and with it.
    pub needed: Quantity,
    /// The moment of that need.
    pub at: Moment,
    /// The first to lack it where one step more is not there.
    pub first: Demand,
}

/// A need that draws on the stores, and what is there up to and with it.
#[derive(Clone, Copy)]
struct Drawn<'d> {
    demand: &'d Demand,
    comes: Quantity,
    needed: Quantity,
    left: Quantity,
}

impl Margin {
    /// What is taken away where one step more than the margin is not there; never more than lies in the stores.
    pub fn one_step_more(&self, plan: &Plan<'_>) -> Quantity {
        (self.margin + step(plan, self.part)).min(self.stores)
    }
}

/// The smallest amount of a part that is counted: one in the last decimal place of its unit of measure.
pub fn step(plan: &Plan<'_>, part: PartId) -> Quantity {
    let places = u32::from(plan.plant.part(part).decimals.min(6));
    Quantity::from_millionths(10_i64.pow(6 - places))
}

impl Plan<'_> {
    /// The last of the days whose needs are looked at: the plant's `count days` on which the stores are open, the as-of date not counted.
    pub fn last_count_day(&self) -> Date {
        let today = self.plant.as_of.date();
        (0..self.plant.count_days).fold(today, |day, _| self.plant.stores_calendar().open_day_from(day.plus(1)))
    }

    /// The bought parts of which a miscount of less than all that the stores hold makes somebody lack it in these days: the least
    /// margin first, of those alike the first need. What is already late or short in these days is left out.
    pub fn margins(&self) -> Vec<Margin> {
        let until = self.last_count_day().plus(1).midnight();
        let parts = (0..self.plant.parts.len()).map(PartId::of).filter(|part| self.plant.part(*part).bought());
        let found: Vec<Margin> =
            parts.collect::<Vec<_>>().into_par_iter().filter_map(|part| self.margin(part, until)).collect();
        found.into_iter().sorted_by_key(|margin| (margin.margin, margin.first.need, margin.part)).collect()
    }

    /// That of a part over its needs before a moment; `None` where somebody lacks it anyway, or nobody would with nothing in the stores.
    fn margin(&self, part: PartId, until: Moment) -> Option<Margin> {
        let stores = self.source.in_stores(part);
        if !stores.is_positive() {
            return None;
        }
        let near = self.near(part, until);
        let drawn = self.drawn(part, stores, near.pegged())?;
        let least = drawn.iter().min_by_key(|drawn| drawn.left)?;
        if least.left >= stores {
            return None;
        }
        let margin = Margin {
            part,
            stores,
            margin: least.left,
            comes: least.comes,
            needed: least.needed,
            at: least.demand.need,
            first: *least.demand,
        };
        let taken = margin.one_step_more(self);
        let first = drawn.iter().find(|drawn| drawn.left < taken)?;
        Some(Margin { first: *first.demand, ..margin })
    }

    /// The needs that draw on the stores, each with what is left; `None` where one of them is late or short.
    fn drawn<'d>(&self, part: PartId, stores: Quantity, pegged: crate::supply::Pegged<'d>) -> Option<Vec<Drawn<'d>>> {
        let open = self.deliveries.of_part(part).iter().map(|delivery| (delivery.available, delivery.open));
        let mut coming = open.sorted_by_key(|(available, _)| *available).peekable();
        let (mut comes, mut needed) = (Quantity::ZERO, Quantity::ZERO);
        let mut drawn = Vec::new();
        for (demand, number) in pegged.demands.iter().zip(0..) {
            let from_stores = |cover| matches!(cover, Cover::Stock | Cover::Receipt(_) | Cover::None);
            let own = pegged.pegs_of(number).iter().filter(|peg| from_stores(peg.cover));
            let own: Quantity = own.map(|peg| peg.qty).sum();
            if !own.is_positive() {
                continue;
            }
            while let Some((_, qty)) = coming.next_if(|(available, _)| *available <= demand.need) {
                comes += qty;
            }
            needed += own;
            let left = stores + comes - needed;
            if left < Quantity::ZERO {
                return None;
            }
            drawn.push(Drawn { demand, comes, needed, left });
        }
        Some(drawn)
    }
}
