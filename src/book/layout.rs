//! How a plant's own file is laid out: which row holds the headings, what each column is called, what is added or left out.

use super::forms::Forms;
use super::rows::{Row, Rows};
use super::spec::plain_name;
use crate::base::fold;

/// The layout of one table; the default is that of a book's own file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Layout {
    /// The row of the headings; by default the first that is not blank.
    pub headings: Option<u32>,
    /// What this plant calls a column: the column, and the heading.
    pub names: Vec<(&'static str, String)>,
    /// Values for columns that the file lacks.
    pub fixed: Vec<(&'static str, String)>,
    /// Rows left out: a heading, and the values with which a row does not count.
    pub leave_out: Vec<(String, Vec<String>)>,
    /// How numbers and dates are written.
    pub forms: Forms,
}

/// The column of a layout's own name for it, or of the file's heading.
pub fn column_named<'s>(layout: &Layout, heading: &str, columns: impl Iterator<Item = &'s str>) -> Option<usize> {
    let plain = plain_name(heading);
    let named =
        |column: &str| layout.names.iter().find(|(known, _)| *known == column).map(|(_, heading)| plain_name(heading));
    let mut found = None;
    for (i, column) in columns.enumerate() {
        match named(column) {
            Some(own) if own == plain => return Some(i),
            None if plain_name(column) == plain => found = Some(i),
            _ => {}
        }
    }
    found
}

/// Brings a file's rows into the book's own form: headings first, fixed values behind, blank and left-out rows gone.
pub fn apply(layout: &Layout, mut rows: Rows) -> Rows {
    let first = layout.headings.unwrap_or_default();
    rows.retain(|row| row.number() >= first && !row.is_blank());
    let Some(heads) = rows.first() else { return rows };
    let (heading_row, width) = (heads.number(), heads.width());
    let at = |heading: &str| heads.cells().position(|cell| plain_name(cell) == plain_name(heading));
    let gone: Vec<(usize, Vec<String>)> = layout
        .leave_out
        .iter()
        .filter_map(|(heading, values)| Some((at(heading)?, values.iter().map(|value| fold(value)).collect())))
        .collect();
    if !gone.is_empty() {
        let out =
            |at: &usize, values: &[String], row: Row<'_>| row.get(*at).is_some_and(|cell| values.contains(&fold(cell)));
        rows.retain(|row| row.number() == heading_row || !gone.iter().any(|(at, values)| out(at, values, row)));
    }
    if layout.fixed.is_empty() { rows } else { with_fixed(layout, &rows, width) }
}

/// The rows with the fixed values as further columns behind those that have headings.
fn with_fixed(layout: &Layout, rows: &Rows, width: usize) -> Rows {
    let mut filled = Rows::default();
    for (i, row) in rows.iter().enumerate() {
        let own = (0..width).map(|at| row.get(at).unwrap_or_default());
        let fixed = layout.fixed.iter().map(|(column, value)| if i == 0 { column } else { value.as_str() });
        filled.push(row.number(), own.chain(fixed));
    }
    filled
}

/// The headings that a layout names and a file's heading row lacks.
pub fn missing<'l>(layout: &'l Layout, heading: &[String]) -> Vec<&'l str> {
    let there: Vec<String> = heading.iter().map(|cell| plain_name(cell)).collect();
    let named = layout.names.iter().map(|(_, heading)| heading.as_str());
    let all = named.chain(layout.leave_out.iter().map(|(heading, _)| heading.as_str()));
    all.filter(|heading| !there.contains(&plain_name(heading))).collect()
}
