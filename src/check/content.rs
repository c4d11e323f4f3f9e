//! What a unit is made of, in pieces of a kind: two axles, one fridge at most.
//!
//! Rule `content`.

use super::kinds::{BAD_CONTENT, MIXED_KIND, UNKNOWN_FLOORPLAN, UNKNOWN_KIND};
use super::plant::{Content, Part};
use super::{Draft, each};
use crate::base::{Finding, Findings, NameId, Quantity};
use crate::book::{Book, BookColumn, Cells, Table};
use itertools::Itertools;

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
        self.report_mixed_kinds(findings);
    }

    /// Kinds whose parts are in different units of measure, each once, where `Content` first speaks of it.
    fn report_mixed_kinds(&self, findings: &mut Findings) {
        // Of each kind the first part, and the first in another unit of measure.
        let mut parts: Vec<(Option<&Part>, Option<&Part>)> = vec![(None, None); self.plant.kinds.len()];
        for part in &self.plant.parts {
            let Some((first, other)) = part.kind.and_then(|kind| parts.get_mut(kind as usize)) else { continue };
            let known = *first.get_or_insert(part);
            if known.uom != part.uom {
                other.get_or_insert(part);
            }
        }
        for row in self.plant.content.iter().unique_by(|row| row.kind) {
            if let (Some(first), Some(other)) = parts[row.kind as usize] {
                let place = self.plant.place(Table::Content, row.row, "kind");
                let [one, two] = [first, other].map(|part| format!("{} in {}", part.code, part.uom));
                let message = format!("its parts are not in one unit of measure: {one}, {two}");
                findings.add(Finding::new(&MIXED_KIND, place, &self.plant.kinds[row.kind as usize], message));
            }
        }
    }

    /// The floorplan or series in a cell; reports what is neither.
    fn floorplan_or_series(&self, cells: &mut Cells<'_>, column: BookColumn) -> Option<NameId> {
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
