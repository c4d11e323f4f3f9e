//! Planned orders that came, went or changed.

use super::code::Code;
use super::rows::{OrderRow, PlanRows};
use super::side::by_side;
use crate::base::Date;
use serde::Serialize;
use std::collections::BTreeMap;

/// A planned order that is not the same in both plans.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OrderChange {
    /// As it was; none where it is new.
    pub old: Option<OrderRow>,
    /// As it is; none where it is gone.
    pub new: Option<OrderRow>,
}

/// All planned orders of which the quantity or the release is another, by part and date.
pub fn differ(old: &PlanRows, new: &PlanRows) -> Vec<OrderChange> {
    let of = |rows: &PlanRows| -> BTreeMap<(Code, Date), OrderRow> {
        rows.orders.iter().map(|row| ((row.part.clone(), row.date), row.clone())).collect()
    };
    let pairs = by_side(of(old), of(new));
    pairs.map(|(_, old, new)| OrderChange { old, new }).filter(|change| change.old != change.new).collect()
}
