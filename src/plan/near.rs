//! The first demands of a part: all that are needed before a moment. Nothing is known of the others, and nothing is told.

use super::Plan;
use super::demands::Desk;
use crate::base::{Moment, PartId};
use crate::netting::{Demand, Peg};
use crate::supply::{self, Pegged};
use std::borrow::Cow;

/// A part's demands before a moment with what covers them. What is served first does not depend on what comes later, so that
/// these are as the whole plan has them; how much is asked or left in all, only [`Plan::supply`] and [`Plan::account`] know.
#[derive(Clone, Debug)]
pub struct Near<'p> {
    until: Moment,
    demands: Cow<'p, [Demand]>,
    pegs: Cow<'p, [Peg]>,
}

impl Near<'_> {
    /// The moment before which needs are known.
    pub fn until(&self) -> Moment {
        self.until
    }

    /// The demands with what covers them.
    pub fn pegged(&self) -> Pegged<'_> {
        Pegged { demands: &self.demands, pegs: &self.pegs }
    }
}

impl Plan<'_> {
    /// A part's demands that are needed before a moment.
    pub fn near(&self, part: PartId, until: Moment) -> Near<'_> {
        if let Some(supply) = self.held(part) {
            let Pegged { demands, pegs } = supply.pegged().before(until);
            return Near { until, demands: Cow::Borrowed(demands), pegs: Cow::Borrowed(pegs) };
        }
        let (mut demands, mut pegs) = (Vec::new(), Vec::new());
        self.source.demands.of_part_before(part, until, &mut Desk::default(), &mut demands);
        let (stocks, receipts) = self.source.goods_of(self.ground(), part);
        supply::cover_first(&self.pace.owners, stocks, &receipts, &demands, &mut pegs);
        Near { until, demands: Cow::Owned(demands), pegs: Cow::Owned(pegs) }
    }
}
