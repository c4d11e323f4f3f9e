//! What became of the units, and what they need more or less.

use super::super::{Notice, UnitChange, totals, words};
use super::listing::{Listing, grouped};
use crate::base::Quantity;
use crate::report::sheet::{Column, Line, Look, Sheet, Show};

const COLUMNS: [Column; 7] = [
    Column { heading: "unit", show: Show::Text },
    Column { heading: "line", show: Show::Text },
    Column { heading: "seq", show: Show::Quantity },
    Column { heading: "entered", show: Show::Moment },
    Column { heading: "enters", show: Show::Moment },
    Column { heading: "what changed", show: Show::Wrapped },
    Column { heading: "stands", show: Show::Wrapped },
];
const LEAST: [u16; 7] = [12, 8, 8, 17, 17, 40, 20];

const NEEDS: [Column; 8] = [
    Column { heading: "unit", show: Show::Text },
    Column { heading: "station", show: Show::Text },
    Column { heading: "part", show: Show::Wrapped },
    Column { heading: "description", show: Show::Wrapped },
    Column { heading: "was", show: Show::Quantity },
    Column { heading: "is", show: Show::Quantity },
    Column { heading: "more or less", show: Show::Quantity },
    Column { heading: "uom", show: Show::Text },
];
const NEEDS_LEAST: [u16; 8] = [12, 10, 12, 30, 10, 10, 10, 8];

/// The sheet of units.
pub fn sheet(notice: &Notice) -> Sheet<'_> {
    let listing = Listing {
        name: "units",
        title: "Units".to_owned(),
        what: "First those that are new, gone, on or off hold, built otherwise or in another place of the order; then those \
               that stand otherwise; last those that only moved. Options of units on hold or set aside are not told, as \
               their plan tells none."
            .to_owned(),
        columns: &COLUMNS,
        least: &LEAST,
    };
    listing.sheet(grouped(notice.units.iter().map(|change| (change.weight(), line(change)))))
}

fn line(change: &UnitChange) -> Line<'_> {
    let row = change.new.as_ref().or(change.old.as_ref());
    let look = match &change.new {
        Some(new) if change.stands_otherwise() && matches!(new.status.text(), "late" | "short") => Look::Wrong,
        _ => Look::Plain,
    };
    let values = vec![
        change.unit.text().into(),
        row.map(|row| row.line.text()).into(),
        row.map(|row| row.seq).into(),
        change.old.as_ref().and_then(|old| old.enters).into(),
        change.new.as_ref().and_then(|new| new.enters).into(),
        words::unit(change).into(),
        change.new.as_ref().map(words::standing).into(),
    ];
    (look, values)
}

/// The sheet of needs of another quantity.
pub fn needs(notice: &Notice) -> Sheet<'_> {
    let listing = Listing {
        name: "needs",
        title: "What units need more or less".to_owned(),
        what: "From the bills and extras, whatever covers it and whenever it is needed; units that are new, gone, on or off hold \
               are left out, as all of theirs comes or goes."
            .to_owned(),
        columns: &NEEDS,
        least: &NEEDS_LEAST,
    };
    let lines = totals(&notice.needs, &notice.units).into_iter().map(|need| {
        let facts = notice.parts.get(&need.part);
        let difference: Quantity = need.new - need.old;
        let unit = need.unit.given().map_or("no unit".to_owned(), ToString::to_string);
        let values = vec![
            unit.into(),
            need.to.to_string().into(),
            need.part.to_string().into(),
            facts.map(|facts| facts.description.text()).into(),
            need.old.into(),
            need.new.into(),
            difference.into(),
            need.uom.to_string().into(),
        ];
        (need.unit, (Look::Plain, values))
    });
    listing.sheet(grouped(lines))
}
