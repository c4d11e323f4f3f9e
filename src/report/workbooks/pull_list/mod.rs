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
mod tour;
mod walk;
mod weight;
mod words;
mod wrong;

use crate::plan::Plan;
use crate::report::sheet::{Sheet, Workbook};
use day::Day;
use rayon::prelude::*;
use tour::Tour;
use words::Reasons;

/// A sheet that is still to be made.
type Making<'d, 'p> = Box<dyn Fn() -> Sheet<'p> + Send + Sync + 'd>;

/// The workbook; its sheets are made side by side.
pub fn workbook<'p>(plan: &'p Plan<'p>) -> Workbook<'p> {
    let day = Day::of(plan);
    let reasons = Reasons::of(plan);
    let tours: Vec<Tour<'_>> = day.trips.par_iter().map(|trip| Tour::of(&day, trip)).collect();
    let (day, tours, reasons) = (&day, &tours, &reasons);
    let mut makings: Vec<Making<'_, 'p>> = vec![
        Box::new(|| summary::sheet(day, tours)),
        Box::new(|| owed::sheet(day)),
        Box::new(|| dock::sheet(plan)),
        Box::new(|| not_pulled::sheet(day)),
        Box::new(|| kits::sheet(day, tours)),
    ];
    for tour in tours {
        makings.push(Box::new(|| walk::sheet(day, tour, reasons)));
        makings.push(Box::new(|| cards::sheet(day, tour, reasons)));
    }
    makings.push(Box::new(|| in_order::sheet(day, reasons)));
    makings.push(Box::new(|| bulk::sheet(day)));
    makings.push(Box::new(|| feeders::sheet(plan)));
    let mut sheets: Vec<Sheet<'p>> = makings.into_par_iter().map(|make| make()).collect();
    sheets.iter_mut().for_each(|sheet| sheet.of_a_day = true);
    Workbook { file: "pull-list.xlsx", title: "Pull list".to_owned(), foot: super::foot(plan), sheets }
}
