//! The change notice as a workbook: one page that tells the whole story, then a sheet for each who has to act.

mod front;
mod jobs;
mod kits;
mod one_table;
mod other_runs;
mod receipts;
mod shortages;
mod units;
mod walk;

use super::{CompareTerms, Deliveries, Notice};
use crate::base::Moment;
use crate::report::limits;
use crate::report::sheet::Workbook;
use serde::Serialize;
use std::fmt;

/// One of the two plans: what the command line calls it, and its moment where that is known.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Side {
    /// The folder or the book.
    pub name: String,
    /// The moment it is planned for; a plan's tables don't tell it.
    pub as_of: Option<Moment>,
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.as_of {
            Some(as_of) => write!(f, "{}, as of {}", self.name, as_of.short()),
            None => write!(f, "{}", self.name),
        }
    }
}

/// The workbook. A sheet that would tell nothing is left out, but for the walk, where there is to be one.
pub fn workbook<'n>(notice: &'n Notice, sides: [&Side; 2], asked: &CompareTerms) -> Workbook<'n> {
    let mut sheets = Vec::new();
    if let Some(way) = &notice.walk {
        sheets.extend([walk::sheet(notice, way), walk::stays(way)]);
    }
    let deliveries = Deliveries::of(notice);
    sheets.extend([kits::sheet(&deliveries), other_runs::sheet(&deliveries)]);
    sheets.extend([units::sheet(notice), units::needs(notice), jobs::sheet(notice, asked)]);
    sheets.extend([shortages::sheet(notice), receipts::sheet(notice), receipts::orders(notice)]);
    sheets.push(receipts::outlook(notice));
    sheets.retain(|sheet| !sheet.tables.is_empty() || sheet.name == "walk");
    let names: Vec<&str> = sheets.iter().map(|sheet| sheet.name.as_str()).collect();
    let front = front::sheet(notice, &deliveries, sides, asked, &names);
    sheets.insert(0, front);
    sheets.iter_mut().for_each(limits::cut);
    let foot = format!("from {} to {}", sides[0], sides[1]);
    Workbook { file: "change-notice.xlsx", title: "Change notice".to_owned(), foot, sheets }
}
