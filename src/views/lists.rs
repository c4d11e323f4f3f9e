//! The sheets of the three workbooks, as they are written.

use super::{Address, Looked, View};
use crate::report::sheet::{Cell, Look, Row, Sheet};
use crate::report::shown;
use crate::report::value::Value;
use maud::{Markup, html};

/// So many rows of a sheet are shown at once.
const MOST_ROWS: usize = 1_500;

/// What is said while the workbooks are being made.
fn not_yet(title: &str) -> View {
    View::new(
        title,
        html! { p data-again="1" { "The workbooks are still being made; this page shows them as soon as they are." } },
    )
}

/// All sheets.
pub fn all(looked: Looked<'_>) -> View {
    let Some(workbooks) = looked.workbooks.get() else { return not_yet("All sheets") };
    let body = html! {
        p { "The sheets as 'lineward plan' writes them." }
        @for workbook in workbooks {
            h2 { (workbook.title) }
            ul .sheets {
                @for sheet in &workbook.sheets {
                    li {
                        a href=(Address::List { file: workbook.file.to_owned(), sheet: sheet.name.clone(), from: None }) { (sheet.name) }
                        @if sheet.for_the_screen { " (for the screen)" }
                    }
                }
            }
        }
    };
    View::new("All sheets", body)
}

/// One of them, from a row on, counted from 0.
pub fn one(looked: Looked<'_>, file: &str, name: &str, from: usize) -> View {
    let Some(workbooks) = looked.workbooks.get() else { return not_yet(name) };
    let sheet = workbooks.iter().filter(|workbook| workbook.file == file).flat_map(|workbook| &workbook.sheets);
    let Some(sheet) = sheet.into_iter().find(|sheet| sheet.name == name) else {
        return View::none("sheet", name, None);
    };
    // A stretch begins where one of its length can.
    let from = from.min(sheet.rows.len().saturating_sub(1)) / MOST_ROWS * MOST_ROWS;
    let body = html! {
        nav .choice aria-label="sheets" { a href=(Address::Lists) { "all sheets" } }
        (stretches(file, sheet, from))
        (rows(sheet, from))
        (stretches(file, sheet, from))
    };
    View::new(format!("{name}, {file}"), body)
}

/// Rows of a sheet that stand together: a table from its heading on, or lines of text.
struct Group<'s, 'p> {
    table: bool,
    /// The rows with their numbers on the sheet.
    rows: Vec<(usize, &'s Row<'p>)>,
}

fn is_heading(row: &Row<'_>) -> bool {
    row.cells.first().is_some_and(|cell| cell.look == Look::Heading)
}

fn groups<'s, 'p>(sheet: &'s Sheet<'p>) -> Vec<Group<'s, 'p>> {
    let mut groups: Vec<Group<'s, 'p>> = Vec::new();
    for row in sheet.rows.iter().enumerate() {
        let heading = is_heading(row.1);
        match groups.last_mut() {
            Some(group) if !heading && (!group.table || row.1.cells.len() > 1) => group.rows.push(row),
            _ => groups.push(Group { table: heading, rows: vec![row] }),
        }
    }
    groups
}

/// Rows one below the other: tables with their headings, all else as lines of text. Of a long sheet a stretch.
fn rows(sheet: &Sheet<'_>, from: usize) -> Markup {
    let shown = from..from.saturating_add(MOST_ROWS).min(sheet.rows.len());
    // Where no title stands above it, a section is of the rank of one.
    let titles = |row: &Row<'_>| row.cells.iter().any(|cell| matches!(cell.look, Look::Title | Look::Large));
    let titled = sheet.rows[shown.clone()].iter().find(|row| titles(row) || sections(row)).is_some_and(titles);
    html! {
        @for group in groups(sheet) {
            @let rows = group.rows.iter().filter(|(number, _)| shown.contains(number)).map(|(_, row)| *row).collect::<Vec<_>>();
            @if group.table {
                @let heading = group.rows[0].1;
                @let rows = rows.into_iter().filter(|row| !is_heading(row)).collect::<Vec<_>>();
                @if !rows.is_empty() || shown.contains(&group.rows[0].0) {
                    div .scroll tabindex="0" role="region" aria-label=(sheet.name) {
                        table .list {
                            thead { tr { @for cell in &heading.cells { (self::heading(cell)) } } }
                            tbody { @for row in rows { tr { (cells(row)) } } }
                        }
                    }
                }
            } @else {
                @for row in rows {
                    @match row.cells.as_slice() {
                        [] => {}
                        [cell] => { (line(cell, titled)) }
                        [label, rest @ ..] => { p { (text(label)) " " @for cell in rest { (text(cell)) " " } } }
                    }
                }
            }
        }
        @if sheet.not_made > 0 { p .more { (sheet.not_made) " rows more were not made." } }
    }
}

fn sections(row: &Row<'_>) -> bool {
    row.cells.iter().any(|cell| cell.look == Look::Section)
}

/// A heading of a table; a column without words has none.
fn heading(cell: &Cell<'_>) -> Markup {
    let (words, span) = (text(cell), (cell.span > 1).then_some(cell.span));
    html! { @if words.trim().is_empty() { td colspan=[span] {} } @else { th scope="col" colspan=[span] { (words) } } }
}

/// The ways to the other rows of a long sheet.
fn stretches(workbook: &str, sheet: &Sheet<'_>, from: usize) -> Markup {
    let of = sheet.rows.len();
    let address = |from| Address::List {
        file: workbook.to_owned(),
        sheet: sheet.name.clone(),
        from: Some(from).filter(|from| *from > 0),
    };
    html! {
        @if of > MOST_ROWS {
            p .more { "Rows " (from + 1) " to " ((from + MOST_ROWS).min(of)) " of " (of) " of the sheet." }
            nav .choice aria-label="rows of the sheet" {
                @if from > 0 { a href=(address(from.saturating_sub(MOST_ROWS))) { "the rows before" } " " }
                @if from + MOST_ROWS < of { a href=(address(from + MOST_ROWS)) { "the rows behind" } " " }
                @if from + MOST_ROWS < of { a href=(address((of - 1) / MOST_ROWS * MOST_ROWS)) { "the last rows" } }
            }
        }
    }
}

/// The cells of a table's row, each in its column.
fn cells(row: &Row<'_>) -> Markup {
    let mut next = 0;
    let placed = row.cells.iter().map(|cell| {
        let before = cell.column.saturating_sub(next);
        next = cell.column + cell.span;
        (before, cell)
    });
    let placed: Vec<_> = placed.collect();
    html! {
        @for (before, cell) in placed {
            @for _ in 0..before { td {} }
            td class=[number(cell).then_some("number")] colspan=[(cell.span > 1).then_some(cell.span)] {
                @if cell.look == Look::Wrong { strong { (text(cell)) } } @else { (text(cell)) }
            }
        }
    }
}

fn line(cell: &Cell<'_>, titled: bool) -> Markup {
    html! {
        @match cell.look {
            Look::Title | Look::Large => h2 { (text(cell)) },
            Look::Section if titled => h3 { (text(cell)) },
            Look::Section => h2 { (text(cell)) },
            Look::Strong | Look::Wrong => p { strong { (text(cell)) } },
            Look::Faint => p .small { (text(cell)) },
            Look::Plain | Look::Heading => p { (text(cell)) },
        }
    }
}

fn number(cell: &Cell<'_>) -> bool {
    matches!(cell.value, Value::Quantity(_) | Value::Total(_) | Value::Whole(_))
}

/// A cell as it reads on the sheet.
fn text(cell: &Cell<'_>) -> String {
    shown::text(&cell.value, cell.show)
}
