//! The findings of a book as a workbook, for those who mend its data.

use crate::base::{Finding, Findings, Kind, Level, Place};
use crate::check::{Held, Plant};
use crate::report::limits::LONGEST;
use crate::report::listing::{Line, listing, widths};
use crate::report::sheet::{Look, Sheet, Show, Workbook};
use crate::report::table::Value;

/// The column of the cell, which leads to it.
const CELL: u16 = 6;

/// The counts by kind, and all findings as a table to sort and filter; each leads to its file, which `file_of` finds by its
/// name: a path from the folder the workbook will be in.
pub fn workbook<'p>(
    plant: &'p Plant,
    findings: &'p Findings,
    held: &'p [Held],
    file_of: impl Fn(&str) -> Option<String>,
) -> Workbook<'p> {
    Workbook {
        file: "findings.xlsx",
        title: format!("What is wrong with {}", plant.book),
        foot: format!("{}, as of {}", plant.book, plant.as_of.short()),
        sheets: vec![counts(plant, findings, held), all(plant, findings, file_of)],
    }
}

fn counts<'p>(plant: &'p Plant, findings: &'p Findings, held: &'p [Held]) -> Sheet<'p> {
    let mut sheet = Sheet::new("By kind", &widths::<ByKind>());
    sheet.text(Look::Title, format!("What is wrong with {}", plant.book));
    sheet.fact(Look::Plain, 2, "as of", plant.as_of.short(), Show::Text).gap();
    let lines: Vec<Line<'p, ByKind>> =
        findings.by_kind().into_iter().map(|(kind, group)| kind_line(kind, group.len())).collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "Nothing to report.");
    } else {
        sheet.table(Some("by_kind".to_owned()), lines);
    }
    on_hold(&mut sheet, held);
    sheet
}

/// Why units and stock are on hold: any text is a reason, meant or not.
fn on_hold<'p>(sheet: &mut Sheet<'p>, held: &'p [Held]) {
    if held.is_empty() {
        return;
    }
    sheet.gap().text(Look::Section, "On hold").text(Look::Plain, "Any text holds but no, n, false, 0 and -.");
    sheet.table(Some("on_hold".to_owned()), held.iter().take(LONGEST).map(held_line).collect());
    if held.len() > LONGEST {
        sheet.text(Look::Plain, format!("{} reasons more.", held.len() - LONGEST));
    }
}

fn all<'p>(plant: &'p Plant, findings: &'p Findings, file_of: impl Fn(&str) -> Option<String>) -> Sheet<'p> {
    let mut sheet = Sheet::new("Findings", &widths::<All>());
    let all: Vec<&Finding> = findings.by_kind().into_iter().flat_map(|(_, group)| group).collect();
    let cells: Vec<Option<String>> = all.iter().map(|finding| cell(plant, &finding.place)).collect();
    let lines = all.iter().zip(&cells).map(|(finding, cell)| line(finding, cell.clone())).collect();
    sheet.table(Some("findings".to_owned()), lines);
    for (i, (finding, cell)) in all.iter().zip(&cells).enumerate() {
        let (Some(cell), Some(file)) = (cell, file_of(&finding.place.file)) else { continue };
        // Only a workbook can be opened at a cell.
        let target = match &finding.place.sheet {
            Some(sheet) => format!("{file}#'{}'!{cell}", sheet.replace('\'', "''")),
            None => file,
        };
        sheet.links.push((i as u32 + 1, CELL, target));
    }
    sheet
}

fn cell(plant: &Plant, place: &Place) -> Option<String> {
    plant.shapes.iter().find(|shape| shape.spec.name == place.table).and_then(|shape| shape.cell(place))
}

listing! {
    /// A kind of finding.
    ByKind: fn kind_line<'p>(kind: &'static Kind, count: usize) {}
    look: look(kind.level);
    "level", 10, Text => word(kind.level);
    "kind", 26, Text => kind.name;
    "count", 8, Whole => count as i64;
    "what is wrong", 46, Wrapped => kind.what;
    "what to do", 56, Wrapped => kind.remedy;
}

listing! {
    /// A reason to hold units or stock.
    OnHold: fn held_line<'p>(held: &'p Held) {}
    look: Look::Plain;
    "table", Text => held.table;
    "column", Text => "hold";
    "rows", Whole => held.rows as i64;
    "reason to hold", Wrapped => held.reason.as_str();
    "first row", Whole => i64::from(held.first_row);
}

listing! {
    /// A finding.
    All: fn line<'p>(finding: &'p Finding, cell: Option<String>) {
        let place = &finding.place;
        let row = if place.row > 0 { Value::Whole(place.row.into()) } else { Value::Blank };
    }
    look: look(finding.kind.level);
    "level", 10, Text => word(finding.kind.level);
    "kind", 22, Wrapped => finding.kind.name;
    "file", 20, Wrapped => &*place.file;
    "sheet", 14, Wrapped => place.sheet.as_deref();
    "row", 8, Whole => row;
    "column", 16, Wrapped => &*place.column;
    "cell", 9, Text => cell.map_or(Value::Blank, Value::from);
    "value", 22, Wrapped => finding.value.as_str();
    "message", 46, Wrapped => finding.message.as_str();
    "did you mean", 18, Wrapped => finding.nearest.as_deref();
}

fn word(level: Level) -> Value<'static> {
    level.to_string().into()
}

fn look(level: Level) -> Look {
    match level {
        Level::Error => Look::Wrong,
        Level::Warning => Look::Plain,
        Level::Note => Look::Faint,
    }
}
