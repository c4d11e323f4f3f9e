//! The materials planner's workbook: what leaves the stores on the day, run by run.

mod bins;
mod bulk;
mod cards;
mod day;
mod dock;
mod feeders;
mod in_order;
mod kits;
mod not_pulled;
mod owed;
mod summary;
mod walk;
mod weight;
mod words;
mod wrong;

use super::sheet::Workbook;
use crate::plan::Plan;
use day::Day;
use words::Reasons;

/// Its file.
pub const FILE: &str = "pull-list.xlsx";

/// The workbook.
pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let day = Day::of(plan);
    let reasons = Reasons::of(plan);
    let mut sheets =
        vec![summary::sheet(&day), owed::sheet(&day), dock::sheet(plan), not_pulled::sheet(&day), kits::sheet(&day)];
    for trip in &day.trips {
        sheets.push(walk::sheet(&day, trip, &reasons));
        sheets.push(cards::sheet(&day, trip, &reasons));
    }
    sheets.push(in_order::sheet(&day, &reasons));
    sheets.push(bulk::sheet(&day));
    sheets.push(feeders::sheet(plan));
    Workbook { file: FILE, title: "Pull list".to_owned(), foot: super::foot(plan), sheets }
}
