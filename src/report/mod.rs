//! Reports: the plan as plain tables, then one file per view, then the writers.

pub mod blank_book;
mod csv;
pub mod findings;
mod fit;
mod front;
mod names;
mod pages;
mod parquet;
mod pull_list;
pub mod sheet;
mod shop_orders;
mod shortages;
pub mod table;
mod xlsx;

pub use csv::to_csv;
pub use names::{job_name, pull_status, unit_status};
pub use parquet::to_parquet;
pub use xlsx::to_xlsx;

use crate::plan::Plan;
use sheet::Workbook;

/// The three workbooks of a plan: the materials planner's, the shops' and the buyer's.
pub fn workbooks<'p>(plan: &'p Plan<'p>) -> [Workbook<'p>; 3] {
    [pull_list::workbook(plan), shop_orders::workbook(plan), shortages::workbook(plan)]
}

/// Plant, what is planned and when, for the foot of each page.
fn foot(plan: &Plan<'_>) -> String {
    let name = front::plant_name(plan);
    format!("{name}, {}, as of {}", plan.day.long(), plan.plant.as_of.short())
}
