//! The sheets of the three workbooks, as they are written.

use super::{Address, Looked, View};
use crate::report::sheet::{Cell, Look, Sheet, Show};
use crate::report::value::Value;
use maud::{Markup, html};

/// So many rows of a sheet are shown.
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
                        a href=(Address::List { file: workbook.file.to_owned(), sheet: sheet.name.clone() }) { (sheet.name) }
                        @if sheet.for_the_screen { " (for the screen)" }
                    }
                }
            }
        }
    };
    View::new("All sheets", body)
}

/// One of them.
pub fn one(looked: Looked<'_>, file: &str, name: &str) -> View {
    let Some(workbooks) = looked.workbooks.get() else { return not_yet(name) };
    let sheet = workbooks.iter().filter(|workbook| workbook.file == file).flat_map(|workbook| &workbook.sheets);
    let Some(sheet) = sheet.into_iter().find(|sheet| sheet.name == name) else {
        return View::none("sheet", name, None);
    };
    let body = html! {
        nav .choice { a href=(Address::Lists) { "all sheets" } }
        (rows(sheet))
    };
    View::new(format!("{name}, {file}"), body)
}

/// Rows one below the other: tables with their headings, all else as lines of text.
fn rows(sheet: &Sheet<'_>) -> Markup {
    let shown = &sheet.rows[..sheet.rows.len().min(MOST_ROWS)];
    // Rows of a table, from its heading on, stand together.
    let heading =
        |row: &crate::report::sheet::Row<'_>| row.cells.first().is_some_and(|cell| cell.look == Look::Heading);
    let mut groups: Vec<(bool, Vec<&crate::report::sheet::Row<'_>>)> = Vec::new();
    for row in shown {
        let in_table = groups.last().is_some_and(|(table, _)| *table) && row.cells.len() > 1 && !heading(row);
        match groups.last_mut() {
            Some((true, rows)) if in_table => rows.push(row),
            Some((false, rows)) if !heading(row) => rows.push(row),
            _ => groups.push((heading(row), vec![row])),
        }
    }
    html! {
        @for (table, rows) in &groups {
            @if *table {
                div .scroll tabindex="0" role="region" aria-label=(sheet.name) {
                    table .list {
                        thead { tr { @for cell in &rows[0].cells { th scope="col" colspan=[(cell.span > 1).then_some(cell.span)] { (text(cell)) } } } }
                        tbody { @for row in &rows[1..] { tr { (cells(row)) } } }
                    }
                }
            } @else {
                @for row in rows {
                    @match row.cells.as_slice() {
                        [] => {}
                        [cell] => { (line(cell)) }
                        [label, rest @ ..] => { p { (text(label)) " " @for cell in rest { (text(cell)) " " } } }
                    }
                }
            }
        }
        @if sheet.rows.len() > MOST_ROWS { p .more { (sheet.rows.len() - MOST_ROWS) " rows more are on the sheet itself." } }
        @if sheet.not_made > 0 { p .more { (sheet.not_made) " rows more were not made." } }
    }
}

/// The cells of a table's row, each in its column.
fn cells(row: &crate::report::sheet::Row<'_>) -> Markup {
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

fn line(cell: &Cell<'_>) -> Markup {
    html! {
        @match cell.look {
            Look::Title | Look::Large => h2 { (text(cell)) },
            Look::Section => h3 { (text(cell)) },
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
pub(super) fn text(cell: &Cell<'_>) -> String {
    match (&cell.value, cell.show) {
        (Value::Blank, Show::Box) => "▢".to_owned(),
        (Value::Blank, _) => String::new(),
        (Value::Text(text), _) => text.to_string(),
        (Value::Quantity(quantity), _) => quantity.to_string(),
        (Value::Total(total), _) => total.to_string(),
        (Value::Moment(moment), Show::Clock) => moment.clock(),
        (Value::Moment(moment), Show::Date) => moment.date().short(),
        (Value::Moment(moment), _) => moment.short(),
        (Value::Date(date), _) => date.short(),
        (Value::Whole(number), _) => number.to_string(),
    }
}
