//! What became of the units, and what they need more or less.

use super::super::{NeedChange, Notice, UnitChange, totals, words};
use super::one_table::{OneTable, grouped};
use crate::base::Quantity;
use crate::report::listing::listing;
use crate::report::sheet::{Look, Sheet};

/// The sheet of units.
pub fn sheet(notice: &Notice) -> Sheet<'_> {
    let listing = OneTable {
        name: "units",
        title: "Units".to_owned(),
        what: "First those that are new, gone, on or off hold, built otherwise or in another place of the order; then those \
               that stand otherwise; last those that only moved. Options of units on hold or set aside are not told, as \
               their plan tells none."
            .to_owned(),
    };
    listing.sheet(grouped(notice.units.iter().map(|change| (change.weight(), line(change)))))
}

listing! {
    /// A unit that changed.
    Units: fn line<'n>(change: &'n UnitChange) {
        let row = change.new.as_ref().or(change.old.as_ref());
        let look = match &change.new {
            Some(new) if change.stands_otherwise() && matches!(new.status.text(), "late" | "short") => Look::Wrong,
            _ => Look::Plain,
        };
    }
    look: look;
    "unit", 12, Text => change.unit.text();
    "line", 8, Text => row.map(|row| row.line.text());
    "seq", 8, Quantity => row.map(|row| row.seq);
    "entered", 17, Moment => change.old.as_ref().and_then(|old| old.enters);
    "enters", 17, Moment => change.new.as_ref().and_then(|new| new.enters);
    "what changed", 40, Wrapped => words::unit(change);
    "stands", 20, Wrapped => change.new.as_ref().map(words::standing);
}

/// The sheet of needs of another quantity.
pub fn needs(notice: &Notice) -> Sheet<'_> {
    let listing = OneTable {
        name: "needs",
        title: "What units need more or less".to_owned(),
        what: "From the bills and extras, whatever covers it and whenever it is needed; units that are new, gone, on or off hold \
               are left out, as all of theirs comes or goes."
            .to_owned(),
    };
    let lines = totals(&notice.needs, &notice.units).into_iter().map(|need| {
        let line = need_line(notice, &need);
        (need.unit, line)
    });
    listing.sheet(grouped(lines))
}

listing! {
    /// What a unit needs more or less of a part.
    Needs: fn need_line<'n>(notice: &'n Notice, need: &NeedChange) {
        let facts = notice.parts.get(&need.part);
        let difference: Quantity = need.new - need.old;
    }
    look: Look::Plain;
    "unit", 12, Text => need.unit.given().map_or("no unit".to_owned(), ToString::to_string);
    "station", 10, Text => need.to.to_string();
    "part", 12, Wrapped => need.part.to_string();
    "description", 30, Wrapped => facts.map(|facts| facts.description.text());
    "was", 10, Quantity => need.old;
    "is", 10, Quantity => need.new;
    "more or less", 10, Quantity => difference;
    "uom", 8, Text => need.uom.to_string();
}
