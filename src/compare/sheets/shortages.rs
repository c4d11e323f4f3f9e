//! Shortages that came, went or changed.

use super::super::{Notice, ShortageChange, text};
use super::one_table::{OneTable, grouped};
use crate::report::listing::listing;
use crate::report::sheet::{Look, Sheet};

pub fn sheet(notice: &Notice) -> Sheet<'_> {
    let listing = OneTable {
        name: "shortages",
        title: "Shortages that came and went".to_owned(),
        what: format!(
            "{}. By unit and part, the material of its jobs included: short is what nothing covers, late what comes after \
             it is needed.",
            text::shortage_totals(notice)
        ),
    };
    listing.sheet(grouped(notice.shortages.iter().map(|change| (change.missing, line(notice, change)))))
}

listing! {
    /// A shortage that came, went or changed.
    Shortages: fn line<'n>(notice: &'n Notice, change: &'n ShortageChange) {
        let facts = notice.parts.get(&change.part);
        let row = change.new.as_ref().or(change.old.as_ref());
        let worse = matches!(change.word(), "came" | "more" | "later");
    }
    look: if worse { Look::Wrong } else { Look::Plain };
    "what", 14, Text => change.word();
    "how", 8, Text => change.missing.word();
    "unit", 12, Text => change.unit.given().map_or("no unit", |unit| unit.text());
    "part", 12, Wrapped => change.part.text();
    "description", 26, Wrapped => facts.map(|facts| facts.description.text());
    "was", 8, Quantity => change.old.as_ref().map(|lack| lack.qty);
    "is", 8, Quantity => change.new.as_ref().map(|lack| lack.qty);
    "uom", 7, Text => facts.map(|facts| facts.uom.text());
    "needed", 18, Moment => row.and_then(|row| row.need);
    "comes", 18, Moment => row.and_then(|row| row.comes);
    "minutes late", 10, Whole => change.new.as_ref().map(|lack| lack.late_minutes).filter(|late| *late > 0);
}
