//! The headings of a table: which column of the book each names, what is missing, and what would fit where they do not.

use super::kinds::{COLUMN_TWICE, HEADINGS_AGAIN, MISSING_COLUMN, OTHER_SEPARATOR, UNKNOWN_COLUMN};
use super::layout::{self, Layout};
use super::raw::Shape;
use super::rows::{Row, Rows};
use super::spec::{Table, TableSpec, plain_name};
use crate::base::{Finding, Findings, MustBe, Place, nearest};
use std::collections::HashSet;

/// So many rows are looked at for headings.
pub const FIRST_ROWS: usize = 60;

/// What may stand between the cells of a text.
const SEPARATORS: [u8; 4] = [b',', b';', b'\t', b'|'];

impl Shape {
    /// Takes the headings of a row; gives those that are ignored.
    pub fn take_headings(&mut self, heads: &[String], layout: &Layout, findings: &mut Findings) -> Vec<String> {
        let row = self.heading_row;
        let mut ignored = Vec::new();
        for (at, heading) in heads.iter().enumerate() {
            let heading = heading.trim();
            if heading.is_empty() {
                continue;
            }
            let place = Place { column: heading.into(), ..self.place(row, "") };
            let named = layout::columns_named(layout, heading, self.spec.columns());
            if named.is_empty() && !layout::looked_at(layout, heading) {
                let free =
                    self.spec.columns().enumerate().filter(|(i, _)| self.columns[*i].is_none()).map(|(_, name)| name);
                let message = format!("{} has no such column; it is ignored", self.spec.name);
                findings.add(Finding::new(&UNKNOWN_COLUMN, place, heading, message).near(nearest(heading, free)));
                ignored.push(heading.to_owned());
                continue;
            }
            for i in named {
                if self.columns[i].is_some() {
                    let message = "this heading stands twice in the table";
                    findings.add(Finding::new(&COLUMN_TWICE, place.clone(), heading, message));
                } else {
                    self.columns[i] = Some((at, heading.into()));
                }
            }
        }
        ignored
    }

    /// Reports the headings that the layout names and the columns that the table needs, where they are missing; whether one is.
    pub fn report_missing(&self, heads: &[String], start: &Rows, layout: &Layout, findings: &mut Findings) -> bool {
        let row = self.heading_row;
        let missing = layout::missing(layout, heads);
        let lacks = |(i, name): (usize, &'static str)| {
            let named = layout.names.iter().any(|(known, _)| *known == name);
            let given = name == "parent" && layout.level.is_some();
            (self.spec.all[i].needed && self.columns[i].is_none() && !named && !given).then_some(name)
        };
        let lacking: Vec<&str> = self.spec.columns().enumerate().filter_map(lacks).collect();
        if missing.is_empty() && lacking.is_empty() {
            return false;
        }
        if let Some(separator) = other_separator(self.spec, layout, start) {
            let message = format!(
                "its cells are separated by {}, not by {}",
                shown(separator),
                start.written.as_ref().map_or("its own", |written| shown(written.separator))
            );
            findings.add(Finding::new(&OTHER_SEPARATOR, self.place(row, ""), "", message));
            return true;
        }
        let fitting = start.iter().filter(|found| found.number() != row);
        let fitting = fitting.filter(|row| has_all(self.spec, layout, row.cells())).map(Row::number).next();
        let hint = fitting
            .map(|row| format!("; row {row} has all of them: say 'headings = {row}' in a manifest"))
            .unwrap_or_default();
        for heading in missing {
            let near = nearest(heading, heads.iter().map(String::as_str));
            let message = format!("the manifest names a heading '{heading}' that is not there{hint}");
            findings.add(Finding::new(&MISSING_COLUMN, self.place(row, ""), heading, message).near(near));
        }
        for name in lacking {
            let message = format!("the table {} has no column '{name}'{hint}", self.spec.name);
            findings.add(Finding::new(&MISSING_COLUMN, self.place(row, ""), "", message));
        }
        true
    }

    /// Reports rows that hold headings again: those of this table, or of another.
    pub fn report_again(&self, heads: &[String], rows: &Rows, findings: &mut Findings) {
        let plain: Vec<String> = heads.iter().map(|heading| plain_name(heading)).collect();
        let headed = plain.iter().filter(|heading| !heading.is_empty()).count();
        let names = Table::all().flat_map(TableSpec::columns).map(plain_name).chain(plain.iter().cloned());
        let names: HashSet<String> = names.filter(|name| !name.is_empty()).collect();
        for row in rows.iter() {
            // Few rows begin as headings do.
            let begins = |cell: &str| with_plain_name(cell, |name| names.contains(name));
            if !row.cells().filter(|cell| !cell.trim().is_empty()).take(2).any(begins) {
                continue;
            }
            let filled = row.cells().filter(|cell| !cell.trim().is_empty()).count();
            let same = |(cell, heading): &(&str, &String)| !heading.is_empty() && plain_name(cell) == **heading;
            let count = row.cells().zip(&plain).filter(same).count();
            let message = if count > 0 && count >= headed.min(2) && count * 2 >= filled {
                "this row repeats the headings".to_owned()
            } else if let Some(spec) = other_table(self.spec, row) {
                format!("this row holds the headings of {}", spec.name)
            } else {
                continue;
            };
            let place = self.place(row.number(), "");
            findings.add(Finding::new(&HEADINGS_AGAIN, place, row.get(0).unwrap_or_default(), message));
        }
    }
}

/// Hands the plain name of a cell to a function, without making room for it; a long or foreign text is made room for.
fn with_plain_name<T>(cell: &str, with: impl FnOnce(&str) -> T) -> T {
    let mut room = [0; 32];
    if cell.len() > room.len() || !cell.is_ascii() {
        return with(&plain_name(cell));
    }
    let signs = cell.bytes().filter(|sign| !sign.is_ascii_whitespace() && !matches!(sign, b'_' | b'-'));
    let count = room.iter_mut().zip(signs).map(|(to, sign)| *to = sign.to_ascii_lowercase()).count();
    with(str::from_utf8(&room[..count]).must("plain letters are no text"))
}

/// The other table whose headings a row holds: all that it needs, and nothing else.
fn other_table(own: &TableSpec, row: Row<'_>) -> Option<&'static TableSpec> {
    let first = plain_name(row.cells().find(|cell| !cell.trim().is_empty())?);
    let mut tables = Table::all().filter(|spec| spec.table != own.table);
    tables.find(|spec| {
        spec.columns().any(|name| plain_name(name) == first) && {
            let cells: Vec<String> = row.cells().map(plain_name).filter(|cell| !cell.is_empty()).collect();
            let known = |cell: &String| spec.columns().any(|name| plain_name(name) == *cell);
            cells.len() > 1 && cells.iter().all(known) && has_all(spec, &Layout::default(), row.cells())
        }
    })
}

/// Whether cells hold the headings of all columns that a table needs, and all that a layout names.
pub fn has_all<'c>(spec: &TableSpec, layout: &Layout, cells: impl Iterator<Item = &'c str>) -> bool {
    let cells: Vec<String> = cells.map(plain_name).collect();
    let named =
        |column: &str| layout.names.iter().find(|(known, _)| *known == column).map(|(_, heading)| heading.as_str());
    let fixed = |column: &str| layout.fixed.iter().any(|(known, _)| *known == column);
    let needed = spec.all.iter().filter(|column| column.needed || named(column.name).is_some());
    let needed = needed.filter(|column| !(fixed(column.name) || column.name == "parent" && layout.level.is_some()));
    needed.map(|column| plain_name(named(column.name).unwrap_or(column.name))).all(|heading| cells.contains(&heading))
}

/// The separator with which the first rows of a text hold the headings of a table, where it is not the one it was read with.
fn other_separator(spec: &TableSpec, layout: &Layout, rows: &Rows) -> Option<u8> {
    let own = rows.written.as_ref()?.separator;
    let line = |row: Row<'_>| row.cells().collect::<Vec<_>>().join(&char::from(own).to_string());
    let lines: Vec<String> = rows.iter().map(line).collect();
    let fits = |separator: &u8| {
        let split = |line: &String| {
            let cells = line.split(char::from(*separator)).map(|cell| cell.trim().trim_matches('"'));
            has_all(spec, layout, cells)
        };
        *separator != own && lines.iter().any(split)
    };
    SEPARATORS.into_iter().find(fits)
}

/// A separator as a message names it.
fn shown(separator: u8) -> &'static str {
    match separator {
        b';' => "semicolons",
        b'\t' => "tabs",
        b'|' => "upright strokes",
        _ => "commas",
    }
}
