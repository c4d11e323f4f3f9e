//! What a unit is made of, in pieces of a kind: two axles, one fridge at most.

use super::kinds::{BAD_CONTENT, UNKNOWN_FLOORPLAN, UNKNOWN_KIND};
use super::plant::Content;
use super::{Draft, each};
use crate::base::{Findings, NameId, Quantity};
use crate::book::{Book, Cells, Column, Table};

const COLUMNS: [&str; 6] = ["kind", "floorplan", "least", "most", "when", "message"];

impl Draft {
    /// Reads the table `Content`, which speaks of kinds, floorplans, series and conditions.
    pub(super) fn read_content(&mut self, book: &Book, findings: &mut Findings) {
        each(book, Table::Content, COLUMNS, findings, |cells, [kind, only, least, most, when, message]| {
            let known = self.kinds.refer_needed(cells, kind, &UNKNOWN_KIND, "kind of part");
            let only_text = cells.text(only);
            let everywhere = only_text.is_empty() || only_text == "*";
            let of = if everywhere { None } else { self.floorplan_or_series(cells, only) };
            let (from, to) = (cells.amount(least), cells.amount(most));
            let (from, to) = (from.unwrap_or(Quantity::whole(1)), to.unwrap_or(Quantity::whole(1)));
            if from > to {
                let message = format!("at least {from} and at most {to}: no unit can have both");
                cells.report(&BAD_CONTENT, most, message);
            }
            let row = Content {
                kind: known.unwrap_or_default(),
                only: of,
                least: from,
                most: to,
                when: self.condition(cells, when),
                message: cells.text(message).to_owned(),
                row: cells.number(),
            };
            if known.is_some() && (everywhere || of.is_some()) {
                self.plant.content.push(row);
            }
        });
    }

    /// The floorplan or series in a cell; reports what is neither.
    fn floorplan_or_series(&self, cells: &mut Cells<'_>, column: Column) -> Option<NameId> {
        let text = cells.text(column);
        let plans = &self.plant.floorplans;
        let named = |name: &NameId| plans.iter().any(|plan| plan.as_name == *name || plan.series == Some(*name));
        let found = self.names.find(text).filter(named);
        if found.is_none() {
            let near = self.floorplans.near(text);
            cells.report_near(&UNKNOWN_FLOORPLAN, column, "no such floorplan or series", near);
        }
        found
    }
}
