//! What became of the shops' jobs.

use super::super::{Asked, JobChange, Notice, text, words};
use super::listing::{Listing, grouped};
use crate::report::sheet::{Column, Line, Look, Sheet, Show};

const COLUMNS: [Column; 10] = [
    Column { heading: "shop", show: Show::Text },
    Column { heading: "job", show: Show::Wrapped },
    Column { heading: "for", show: Show::Text },
    Column { heading: "was", show: Show::Quantity },
    Column { heading: "is", show: Show::Quantity },
    Column { heading: "started", show: Show::Moment },
    Column { heading: "starts", show: Show::Moment },
    Column { heading: "due", show: Show::Moment },
    Column { heading: "crew", show: Show::Whole },
    Column { heading: "what changed", show: Show::Wrapped },
];
const LEAST: [u16; 10] = [10, 16, 9, 7, 7, 17, 17, 17, 6, 40];

/// The sheet.
pub fn sheet<'n>(notice: &'n Notice, asked: &Asked) -> Sheet<'n> {
    let listing = Listing {
        name: "jobs",
        title: "Jobs of the shops".to_owned(),
        what: format!(
            "{}. Moved are those whose start is another by more than {}; by shop and start.",
            text::job_totals(notice),
            if asked.jobs_moved == 0 { "nothing".to_owned() } else { words::span(asked.jobs_moved) }
        ),
        columns: &COLUMNS,
        least: &LEAST,
    };
    let lines = notice.jobs.iter().filter_map(|change| Some((&change.row()?.shop, line(change)?)));
    listing.sheet(grouped(lines))
}

fn line(change: &JobChange) -> Option<Line<'_>> {
    let row = change.row()?;
    let look = if change.new.as_ref().is_some_and(|new| new.late_minutes > 0) { Look::Wrong } else { Look::Plain };
    let values = vec![
        row.shop.text().into(),
        row.job.text().into(),
        row.to.text().into(),
        change.old.as_ref().map(|old| old.qty).into(),
        change.new.as_ref().map(|new| new.qty).into(),
        change.old.as_ref().map(|old| old.start).into(),
        change.new.as_ref().map(|new| new.start).into(),
        row.due.into(),
        change.new.as_ref().map(|new| new.crew).into(),
        words::job(change).into(),
    ];
    Some((look, values))
}
