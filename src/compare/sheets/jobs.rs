//! What became of the shops' jobs.

use super::super::{CompareTerms, JobChange, JobRow, Notice, text, words};
use super::one_table::{OneTable, grouped};
use crate::report::listing::listing;
use crate::report::sheet::{Look, Sheet};

pub fn sheet<'n>(notice: &'n Notice, asked: &CompareTerms) -> Sheet<'n> {
    let listing = OneTable {
        name: "jobs",
        title: "Jobs of the shops".to_owned(),
        what: format!(
            "{}. Moved are those whose start is another by more than {}; by shop and start.",
            text::job_totals(notice),
            if asked.jobs_moved == 0 { "nothing".to_owned() } else { words::span(asked.jobs_moved) }
        ),
    };
    let lines = notice.jobs.iter().filter_map(|change| change.row().map(|row| (&row.shop, line(change, row))));
    listing.sheet(grouped(lines))
}

listing! {
    /// A job that is new, gone or changed.
    Jobs: fn line<'n>(change: &'n JobChange, row: &'n JobRow) {
        let look = if change.new.as_ref().is_some_and(|new| new.late_minutes > 0) { Look::Wrong } else { Look::Plain };
    }
    look: look;
    "shop", 10, Text => row.shop.text();
    "job", 16, Wrapped => row.job.text();
    "for", 9, Text => row.to.text();
    "was", 7, Quantity => change.old.as_ref().map(|old| old.qty);
    "is", 7, Quantity => change.new.as_ref().map(|new| new.qty);
    "started", 17, Moment => change.old.as_ref().map(|old| old.start);
    "starts", 17, Moment => change.new.as_ref().map(|new| new.start);
    "due", 17, Moment => row.due;
    "crew", 6, Whole => change.new.as_ref().map(|new| new.crew);
    "what changed", 40, Wrapped => words::job(change);
}
