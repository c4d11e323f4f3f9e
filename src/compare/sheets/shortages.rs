//! Shortages that came, went or changed.

use super::super::{Notice, ShortageChange, text};
use super::listing::{Listing, grouped};
use crate::report::sheet::{Column, Line, Look, Sheet, Show};

const COLUMNS: [Column; 11] = [
    Column { heading: "what", show: Show::Text },
    Column { heading: "how", show: Show::Text },
    Column { heading: "unit", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "was", show: Show::Quantity },
    Column { heading: "is", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
    Column { heading: "needed", show: Show::Moment },
    Column { heading: "comes", show: Show::Moment },
    Column { heading: "minutes late", show: Show::Whole },
];
const LEAST: [u16; 11] = [14, 8, 12, 12, 26, 8, 8, 7, 18, 18, 10];

/// The sheet.
pub fn sheet(notice: &Notice) -> Sheet<'_> {
    let listing = Listing {
        name: "shortages",
        title: "Shortages that came and went".to_owned(),
        what: format!(
            "{}. By unit and part, the material of its jobs included: short is what nothing covers, late what comes after \
             it is needed.",
            text::shortage_totals(notice)
        ),
        columns: &COLUMNS,
        least: &LEAST,
    };
    listing.sheet(grouped(notice.shortages.iter().map(|change| (change.missing, line(notice, change)))))
}

fn line<'n>(notice: &'n Notice, change: &'n ShortageChange) -> Line<'n> {
    let facts = notice.parts.get(&change.part);
    let row = change.new.as_ref().or(change.old.as_ref());
    let worse = matches!(change.word(), "came" | "more" | "later");
    let values = vec![
        change.word().into(),
        change.missing.word().into(),
        change.unit.given().map_or("no unit", |unit| unit.text()).into(),
        change.part.text().into(),
        facts.map(|facts| facts.description.text()).into(),
        change.old.as_ref().map(|lack| lack.qty).into(),
        change.new.as_ref().map(|lack| lack.qty).into(),
        facts.map(|facts| facts.uom.text()).into(),
        row.and_then(|row| row.need).into(),
        row.and_then(|row| row.comes).into(),
        change.new.as_ref().map(|lack| lack.late_minutes).filter(|late| *late > 0).into(),
    ];
    (if worse { Look::Wrong } else { Look::Plain }, values)
}
