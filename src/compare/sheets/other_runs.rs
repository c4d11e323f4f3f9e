//! Kits that change in nothing but the run they go with.

use super::super::words::not_ready;
use super::super::{Deliveries, OtherRun};
use super::listing::Listing;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};

const COLUMNS: [Column; 7] = [
    Column { heading: "done", show: Show::Box },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "station", show: Show::Text },
    Column { heading: "went with", show: Show::Moment },
    Column { heading: "goes with", show: Show::Moment },
    Column { heading: "lines", show: Show::Whole },
    Column { heading: "stands", show: Show::Wrapped },
];
const LEAST: [u16; 7] = [6, 12, 14, 17, 17, 8, 30];

/// The sheet.
pub fn sheet<'n>(deliveries: &Deliveries<'n>) -> Sheet<'n> {
    let lines = deliveries.other_run.iter().map(line).enumerate().collect();
    let listing = Listing {
        name: "other runs",
        title: "Kits that go with another run".to_owned(),
        what: "Nothing is added to these and nothing taken out: only the run is another. By the earlier of the two runs. Where \
               some of a kit is not ready for its new run, that stands behind."
            .to_owned(),
        columns: &COLUMNS,
        least: &LEAST,
    };
    listing.sheet(lines)
}

fn line<'n>(kit: &OtherRun<'n>) -> Line<'n> {
    let first = kit.lines[0];
    let values = vec![
        "".into(),
        first.unit.text().into(),
        first.to.text().into(),
        kit.was.into(),
        first.wave.into(),
        (kit.lines.len() as i64).into(),
        not_ready(&kit.lines).into(),
    ];
    (Look::Plain, values)
}
