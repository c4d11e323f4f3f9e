//! The findings of a book as a workbook, for those who mend its data.

use super::limits::LONGEST;
use super::sheet::{Column, Line, Look, Sheet, Show, Workbook};
use super::table::Value;
use crate::base::{Finding, Findings, Level, Place};
use crate::check::{Held, Plant};

const COUNTS: [Column; 5] = [
    Column { heading: "level", show: Show::Text },
    Column { heading: "kind", show: Show::Text },
    Column { heading: "count", show: Show::Whole },
    Column { heading: "what is wrong", show: Show::Wrapped },
    Column { heading: "what to do", show: Show::Wrapped },
];
const ALL: [Column; 10] = [
    Column { heading: "level", show: Show::Text },
    Column { heading: "kind", show: Show::Wrapped },
    Column { heading: "file", show: Show::Wrapped },
    Column { heading: "sheet", show: Show::Wrapped },
    Column { heading: "row", show: Show::Whole },
    Column { heading: "column", show: Show::Wrapped },
    Column { heading: "cell", show: Show::Text },
    Column { heading: "value", show: Show::Wrapped },
    Column { heading: "message", show: Show::Wrapped },
    Column { heading: "did you mean", show: Show::Wrapped },
];

const HELD: [Column; 5] = [
    Column { heading: "table", show: Show::Text },
    Column { heading: "column", show: Show::Text },
    Column { heading: "rows", show: Show::Whole },
    Column { heading: "reason to hold", show: Show::Wrapped },
    Column { heading: "first row", show: Show::Whole },
];

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
    let mut sheet = Sheet::new("By kind", &[10, 26, 8, 46, 56]);
    sheet.text(Look::Title, format!("What is wrong with {}", plant.book));
    sheet.fact(Look::Plain, 2, "as of", plant.as_of.short(), Show::Text).gap();
    let lines: Vec<Line<'p>> = findings
        .by_kind()
        .into_iter()
        .map(|(kind, group)| {
            let count = Value::Whole(group.len() as i64);
            let values = vec![word(kind.level), kind.name.into(), count, kind.what.into(), kind.remedy.into()];
            (look(kind.level), values)
        })
        .collect();
    if lines.is_empty() {
        sheet.text(Look::Plain, "Nothing to report.");
    } else {
        sheet.table(Some("by_kind".to_owned()), &COUNTS, lines);
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
    let line = |held: &'p Held| {
        let (rows, first) = (Value::Whole(held.rows as i64), Value::Whole(held.first_row.into()));
        (Look::Plain, vec![held.table.into(), "hold".into(), rows, held.reason.as_str().into(), first])
    };
    sheet.table(Some("on_hold".to_owned()), &HELD, held.iter().take(LONGEST).map(line).collect());
    if held.len() > LONGEST {
        sheet.text(Look::Plain, format!("{} reasons more.", held.len() - LONGEST));
    }
}

fn all<'p>(plant: &'p Plant, findings: &'p Findings, file_of: impl Fn(&str) -> Option<String>) -> Sheet<'p> {
    let mut sheet = Sheet::new("Findings", &[10, 22, 20, 14, 8, 16, 9, 22, 46, 18]);
    let all: Vec<&Finding> = findings.by_kind().into_iter().flat_map(|(_, group)| group).collect();
    let cells: Vec<Option<String>> = all.iter().map(|finding| cell(plant, &finding.place)).collect();
    let lines = all.iter().zip(&cells).map(|(finding, cell)| line(finding, cell.clone())).collect();
    sheet.table(Some("findings".to_owned()), &ALL, lines);
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

fn line(finding: &Finding, cell: Option<String>) -> Line<'_> {
    let place = &finding.place;
    let row = if place.row > 0 { Value::Whole(place.row.into()) } else { Value::Blank };
    let values = vec![
        word(finding.kind.level),
        finding.kind.name.into(),
        (&*place.file).into(),
        place.sheet.as_deref().into(),
        row,
        (&*place.column).into(),
        cell.map_or(Value::Blank, Value::from),
        finding.value.as_str().into(),
        finding.message.as_str().into(),
        finding.nearest.as_deref().into(),
    ];
    (look(finding.kind.level), values)
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
