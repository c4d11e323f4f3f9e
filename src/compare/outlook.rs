//! What is to be ordered for units past the sequence, where that is not the same in both plans.

use super::code::Code;
use super::rows::{ExpectedRow, PlanRows};
use super::side::by_side;
use crate::base::Date;
use serde::Serialize;
use std::collections::BTreeMap;

/// An order for a period past the sequence that is not the same in both plans.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct OutlookChange {
    /// As it was; none where nothing was to be ordered.
    pub old: Option<ExpectedRow>,
    /// As it is; none where nothing is to be ordered.
    pub new: Option<ExpectedRow>,
}

/// All of them, by part and period. Other chances with which the same is to be ordered by the same day are no change.
pub fn differ(old: &PlanRows, new: &PlanRows) -> Vec<OutlookChange> {
    let of = |rows: &PlanRows| -> BTreeMap<(Code, Date, Date), ExpectedRow> {
        let orders = rows.outlook.iter().filter(|row| row.to_order.is_positive());
        orders.map(|row| ((row.part.clone(), row.from, row.to), row.clone())).collect()
    };
    let pairs = by_side(of(old), of(new)).map(|(_, old, new)| OutlookChange { old, new });
    let order = |row: &Option<ExpectedRow>| row.as_ref().map(|row| (row.to_order, row.order_by));
    pairs.filter(|change| order(&change.old) != order(&change.new)).collect()
}
