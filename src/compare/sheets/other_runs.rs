//! Kits that change in nothing but the run they go with.

use super::super::words::not_ready;
use super::super::{Deliveries, OtherRun};
use super::one_table::OneTable;
use crate::report::listing::listing;
use crate::report::sheet::{Look, Sheet};

pub fn sheet<'n>(deliveries: &Deliveries<'n>) -> Sheet<'n> {
    let lines = deliveries.other_run.iter().map(line).enumerate().collect();
    let listing = OneTable {
        name: "other runs",
        title: "Kits that go with another run".to_owned(),
        what: "Nothing is added to these and nothing taken out: only the run is another. By the earlier of the two runs. Where \
               some of a kit is not ready for its new run, that stands behind."
            .to_owned(),
    };
    listing.sheet(lines)
}

listing! {
    /// A kit that goes with another run.
    OtherRuns: fn line<'n>(kit: &OtherRun<'n>) {
        let first = kit.lines[0];
    }
    look: Look::Plain;
    "done", 6, Box => "";
    "unit", 12, Text => first.unit.text();
    "station", 14, Text => first.to.text();
    "went with", 17, Moment => kit.was;
    "goes with", 17, Moment => first.wave;
    "lines", 8, Whole => kit.lines.len() as i64;
    "stands", 30, Wrapped => not_ready(&kit.lines);
}
