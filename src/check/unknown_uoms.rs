//! Units of measure that parts are kept in and nothing else knows, mistyped or without their decimals; and conversions of units
//! in which nothing is counted.

use super::kinds::{UNKNOWN_UOM, UNUSED_CONVERSION};
use super::units_of_measure::Uoms;
use crate::base::{Finding, Findings, Place, fold, nearest};
use crate::book::{Book, Table};
use std::collections::{BTreeMap, BTreeSet};

/// Reports each such unit of measure once, at the first part that is kept in it.
pub fn report(book: &Book, uoms: &Uoms, findings: &mut Findings) {
    let Some(raw) = book.table(Table::Parts) else { return };
    let [part, uom] = raw.columns(["part", "uom"]);
    let mut unknown: BTreeMap<String, (Place, String, usize)> = BTreeMap::new();
    raw.each(findings, |cells| {
        let text = cells.text(uom);
        if !text.is_empty() && !cells.text(part).is_empty() && !uoms.has(&fold(text)) {
            unknown.entry(fold(text)).or_insert_with(|| (cells.place(uom), text.to_owned(), 0)).2 += 1;
        }
    });
    for (place, text, count) in unknown.into_values() {
        let more = if count > 1 { format!(", here and at {} parts more", count - 1) } else { String::new() };
        let message = format!("nothing else knows this unit of measure{more}; it gets three decimals");
        let near = nearest(&text, raw.reading.measures.iter().map(String::as_str).chain(uoms.own()));
        findings.add(Finding::new(&UNKNOWN_UOM, place, text.as_str(), message).near(near));
    }
}

/// Reports each unit of measure of a conversion in which the book counts nothing, at the first conversion that has it.
pub fn report_unused(book: &Book, uoms: &Uoms, findings: &mut Findings) {
    let mut used: BTreeSet<String> = BTreeSet::new();
    for table in [Table::Parts, Table::Bills, Table::Stock, Table::Receipts, Table::Extras] {
        let Some(raw) = book.table(table) else { continue };
        let [uom] = raw.columns(["uom"]);
        raw.each(findings, |cells| {
            if !used.contains(cells.text(uom)) {
                used.insert(fold(cells.text(uom)));
            }
        });
    }
    let Some(raw) = book.table(Table::Conversions) else { return };
    let columns = raw.columns(["from", "to"]);
    let mut told: BTreeSet<String> = BTreeSet::new();
    raw.each(findings, |cells| {
        for column in columns {
            let text = cells.text(column);
            let counted = text.is_empty() || uoms.counts(&fold(text)) || used.contains(&fold(text));
            if !counted && told.insert(fold(text)) {
                let near = nearest(text, used.iter().map(String::as_str).filter(|uom| !uom.is_empty()));
                cells.report_near(&UNUSED_CONVERSION, column, "nothing is counted in this unit of measure", near);
            }
        }
    });
}
