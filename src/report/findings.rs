//! The findings of a book as a workbook, for those who mend its data.

use super::sheet::{Column, Line, Look, Sheet, Show, Workbook};
use super::table::Value;
use crate::base::{Finding, Findings, Level};
use crate::check::Plant;

const COUNTS: [Column; 5] = [
    Column { heading: "level", show: Show::Text },
    Column { heading: "kind", show: Show::Text },
    Column { heading: "count", show: Show::Whole },
    Column { heading: "what is wrong", show: Show::Wrapped },
    Column { heading: "what to do", show: Show::Wrapped },
];
const ALL: [Column; 9] = [
    Column { heading: "level", show: Show::Text },
    Column { heading: "kind", show: Show::Wrapped },
    Column { heading: "file", show: Show::Wrapped },
    Column { heading: "sheet", show: Show::Wrapped },
    Column { heading: "row", show: Show::Whole },
    Column { heading: "column", show: Show::Wrapped },
    Column { heading: "value", show: Show::Wrapped },
    Column { heading: "message", show: Show::Wrapped },
    Column { heading: "did you mean", show: Show::Wrapped },
];

/// The counts by kind, and all findings as a table to sort and filter.
pub fn workbook<'p>(plant: &'p Plant, findings: &'p Findings) -> Workbook<'p> {
    Workbook {
        file: "findings.xlsx",
        title: format!("What is wrong with {}", plant.book),
        foot: format!("{}, as of {}", plant.book, plant.as_of.short()),
        sheets: vec![counts(plant, findings), all(findings)],
    }
}

fn counts<'p>(plant: &'p Plant, findings: &'p Findings) -> Sheet<'p> {
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
    sheet
}

fn all(findings: &Findings) -> Sheet<'_> {
    let mut sheet = Sheet::new("Findings", &[10, 22, 20, 14, 8, 16, 22, 50, 18]);
    let groups = findings.by_kind();
    let lines: Vec<Line<'_>> = groups.into_iter().flat_map(|(_, group)| group).map(line).collect();
    sheet.table(Some("findings".to_owned()), &ALL, lines);
    sheet
}

fn line(finding: &Finding) -> Line<'_> {
    let place = &finding.place;
    let row = if place.row > 0 { Value::Whole(place.row.into()) } else { Value::Blank };
    let values = vec![
        word(finding.kind.level),
        finding.kind.name.into(),
        (&*place.file).into(),
        place.sheet.as_deref().into(),
        row,
        (&*place.column).into(),
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
