//! How a plant's own file is laid out: which row holds the headings, what each column is called, what is added or left out.

use super::forms::Forms;
use super::raw::RawRow;
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

/// Brings a file's rows into the book's own form: headings first, fixed values behind, left-out rows gone.
pub fn apply(layout: &Layout, mut rows: Vec<RawRow>) -> Vec<RawRow> {
    if let Some(first) = layout.headings {
        rows.retain(|row| row.number >= first);
    }
    let blank = |row: &RawRow| row.cells.iter().all(|cell| cell.trim().is_empty());
    let Some(heading) = rows.iter().position(|row| !blank(row)) else { return rows };
    rows.drain(..heading);
    let at = |heading: &str| rows[0].cells.iter().position(|cell| plain_name(cell) == plain_name(heading));
    let gone: Vec<(usize, Vec<String>)> = layout
        .leave_out
        .iter()
        .filter_map(|(heading, values)| Some((at(heading)?, values.iter().map(|value| fold(value)).collect())))
        .collect();
    let width = rows[0].cells.len();
    let mut heads = true;
    rows.retain(|row| {
        let out = gone.iter().any(|(at, values)| row.cells.get(*at).is_some_and(|cell| values.contains(&fold(cell))));
        std::mem::take(&mut heads) || !out
    });
    if layout.fixed.is_empty() {
        return rows;
    }
    for (i, row) in rows.iter_mut().filter(|row| !blank(row)).enumerate() {
        let mut cells: csv::StringRecord = row.cells.iter().take(width).collect();
        (cells.len()..width).for_each(|_| cells.push_field(""));
        layout.fixed.iter().for_each(|(column, value)| cells.push_field(if i == 0 { column } else { value }));
        row.cells = cells;
    }
    rows
}

/// The headings that a layout names and a file's heading row lacks.
pub fn missing<'l>(layout: &'l Layout, heading: &csv::StringRecord) -> Vec<&'l str> {
    let there: Vec<String> = heading.iter().map(plain_name).collect();
    let named = layout.names.iter().map(|(_, heading)| heading.as_str());
    let all = named.chain(layout.leave_out.iter().map(|(heading, _)| heading.as_str()));
    all.filter(|heading| !there.contains(&plain_name(heading))).collect()
}
