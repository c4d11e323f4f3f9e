//! The materials planner's workbook: what leaves the stores on the day, run by run.

mod bins;
mod bulk;
mod cards;
mod count;
mod day;
mod dock;
mod driver;
mod feeders;
mod in_order;
mod kits;
mod labels;
mod line_page;
pub mod listed;
pub mod misses;
mod not_pulled;
mod owed;
mod summary;
mod tour;
mod walk;
mod walk_sheet;
mod walks;
mod words;
mod work;
mod wrong;

use super::{Making, side_by_side, weight};
use crate::plan::Plan;
use crate::report::sheet::{Sheet, Workbook};
use day::Day;
use rayon::prelude::*;
use tour::Tour;
use words::Reasons;

/// The workbook; its sheets are made side by side.
pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let day = Day::of(plan);
    let reasons = Reasons::of(plan);
    let tours: Vec<Tour<'_>> = day.trips.par_iter().map(|trip| Tour::of(&day, trip)).collect();
    let coming = dock::coming(plan);
    let (day, tours, reasons, coming) = (&day, &tours, &reasons, &coming);
    let mut makings: Vec<Making<'_, 'p>> = vec![
        Box::new(|| Some(summary::sheet(day, tours))),
        Box::new(|| Some(owed::sheet(day))),
        Box::new(|| Some(line_page::sheet(day))),
        Box::new(|| Some(work::sheet(day, tours, coming))),
        Box::new(|| Some(count::sheet(plan))),
        Box::new(|| Some(dock::sheet(plan, coming))),
        Box::new(|| Some(not_pulled::sheet(day))),
    ];
    // What is printed for a run lies together.
    for tour in tours {
        makings.push(Box::new(|| Some(walk_sheet::sheet(day, tour, reasons))));
        makings.push(Box::new(|| Some(labels::sheet(day, tour))));
        makings.push(Box::new(|| cards::sheet(day, tour, reasons)));
        makings.push(Box::new(|| driver::sheet(day, tour)));
    }
    makings.push(Box::new(|| Some(in_order::sheet(day, reasons))));
    makings.push(Box::new(|| Some(bulk::sheet(day))));
    makings.push(Box::new(|| Some(feeders::sheet(plan))));
    // What is only looked at stands behind what is printed.
    makings.push(Box::new(|| Some(misses::sheet(plan, tours))));
    makings.push(Box::new(|| Some(kits::sheet(day, tours))));
    for tour in tours {
        makings.push(Box::new(|| Some(walk::sheet(day, tour, reasons))));
    }
    let mut sheets: Vec<Sheet<'p>> = side_by_side(makings).into_iter().flatten().collect();
    sheets.iter_mut().for_each(|sheet| sheet.of_a_day = true);
    Workbook { file: "pull-list.xlsx", title: "Pull list".to_owned(), foot: super::foot(plan), sheets }
}
