//! The workbook of `weigh`: which units are odd and why that could be, what the scale should show, and all weights by position.

mod first;
mod next;
mod positions;
mod units;

use crate::plan::Plan;
use crate::report::limits;
use crate::report::sheet::Workbook;
use crate::weigh::Weights;

/// Its sheets: the odd units, all that were weighed, the next ones, and the weights by position.
pub fn workbook<'w>(plan: &'w Plan<'w>, weights: &'w Weights) -> Workbook<'w> {
    let mut sheets = vec![first::sheet(plan, weights), next::sheet(plan, weights)];
    sheets.extend([units::sheet(plan, weights), positions::sheet(plan, weights)]);
    let name = super::front::plant_name(plan);
    let foot = format!("{name}, {}, as of {}", plan.plant.book, plan.plant.as_of.short());
    let mut workbook = Workbook { file: "weights.xlsx", title: "Bills against the scale".to_owned(), foot, sheets };
    limits::cut_all(&mut workbook);
    workbook
}
