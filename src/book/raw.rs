//! Raw tables: rows of text cells that know the row and heading they stand under.

use super::forms::Forms;
use super::headings;
use super::indented;
use super::kinds::NO_LETTER;
use super::layout::{self, Layout, LeftOut};
use super::rows::{Row, Rows, is_letter};
use super::spec::{TableSpec, plain_name};
use crate::base::{Finding, Findings, MustBe, Place, numbered};
use std::sync::Arc;

/// Where a table stands and what its headings are: what it takes to name the place of a cell.
#[derive(Clone, Debug)]
pub struct Shape {
    /// Which table.
    pub spec: &'static TableSpec,
    /// Its name, as findings tell it.
    pub file: Arc<str>,
    /// The sheet, where the file has sheets.
    pub sheet: Option<Arc<str>>,
    /// For each column of the spec: where it stands, and its heading as the file has it.
    pub columns: Vec<Option<(usize, Arc<str>)>>,
    /// The row of the headings.
    pub heading_row: u32,
    /// All headings as the file has them, each at its place, also those of no column of the spec.
    pub headings: Vec<Arc<str>>,
}

impl Shape {
    /// The place of a cell, by the spec's name of its column.
    pub fn place(&self, row: u32, column: &str) -> Place {
        let heading = self.spec.columns().position(|name| name == column).and_then(|i| self.columns[i].as_ref());
        let column = heading.map_or_else(|| column.into(), |(_, heading)| Arc::clone(heading));
        Place { table: self.spec.name, file: Arc::clone(&self.file), sheet: self.sheet.clone(), row, column }
    }

    /// A place under a heading of the file.
    pub fn place_under(&self, row: u32, heading: &str) -> Place {
        Place { column: heading.into(), ..self.place(row, "") }
    }

    /// The cell of a place as a spreadsheet names it, such as `F12`; column A where the place is a row as a whole. What is told
    /// of a heading is told of one that is no column's, where another has the same text.
    pub fn cell(&self, place: &Place) -> Option<String> {
        let column = self.columns.iter().flatten().find(|(_, heading)| *heading == place.column).map(|(at, _)| *at);
        let told_of_heading = place.row == self.heading_row || column.is_none();
        let mut others = self.headings.iter().enumerate().filter(|_| told_of_heading);
        let other = others.find(|(at, heading)| **heading == place.column && column != Some(*at)).map(|(at, _)| at);
        let mut at = other.or(column).unwrap_or_default();
        let mut letters = Vec::new();
        loop {
            letters
                .push(char::from_digit(10 + numbered(at % 26), 36).must("a column has no letter").to_ascii_uppercase());
            if at < 26 {
                break;
            }
            at = at / 26 - 1;
        }
        (place.row > 0).then(|| letters.iter().rev().collect::<String>() + &place.row.to_string())
    }
}

/// One table of the book as it was found.
#[derive(Clone, Debug)]
pub struct RawTable {
    /// Where it stands.
    pub shape: Shape,
    /// How numbers and dates are written in it.
    pub forms: Forms,
    /// Its rows, blank ones left out.
    pub rows: Rows,
    /// How it was read.
    pub reading: Reading,
}

/// How a table was read.
#[derive(Clone, Debug, Default)]
pub struct Reading {
    /// The headings that are ignored.
    pub ignored: Vec<String>,
    /// The rows that are left out, and why.
    pub left_out: LeftOut,
    /// What the plant calls its units of measure.
    pub measures: Vec<String>,
    /// Whether its headings are such that no row can be read.
    pub unreadable: bool,
}

/// Where a table comes from.
#[derive(Clone, Debug)]
pub struct Origin {
    /// Its name, as findings tell it.
    pub file: Arc<str>,
    /// The sheet, where the file has sheets.
    pub sheet: Option<Arc<str>>,
}

impl RawTable {
    /// Takes rows, the first of which holds the headings, as a table; reports what is wrong with how it is written.
    pub fn new(spec: &'static TableSpec, origin: Origin, rows: Rows, layout: &Layout, findings: &mut Findings) -> Self {
        let start = rows.start(headings::FIRST_ROWS);
        let columns = vec![None; spec.columns().count()];
        let mut shape =
            Shape { spec, file: origin.file, sheet: origin.sheet, columns, heading_row: 0, headings: Vec::new() };
        let (rows, left_out) = layout::apply(layout, rows);
        let mut reading = Reading { left_out, measures: layout.words.own_measures(), ..Reading::default() };
        shape.heading_row = rows.first().map_or(0, |row| row.number());
        let heads: Vec<String> = rows.first().iter().flat_map(|row| row.cells()).map(str::to_owned).collect();
        shape.report_written(&heads, &rows, findings);
        let mut rows = layout::with_fixed(layout, rows);
        let heads: Vec<String> = rows.first().iter().flat_map(|row| row.cells()).map(str::to_owned).collect();
        shape.headings = heads.iter().map(|heading| heading.trim().into()).collect();
        rows.skip(1);
        reading.ignored = shape.take_headings(&heads, layout, findings);
        shape.report_marks(&heads, &rows, findings);
        reading.unreadable = shape.report_missing(&heads, &start, layout, findings);
        shape.report_again(&heads, &rows, findings);
        if rows.may_hold_no_letter() {
            shape.report_letters(&rows, findings);
        }
        shape.report_signs(&rows, findings);
        rows = layout.words.put_in(&shape, &layout.forms, rows);
        if let Some(level) = &layout.level {
            rows = shape.take_levels(&rows, &heads, level, &mut reading.left_out, findings);
        }
        if reading.unreadable {
            // Each of its cells would be told as wrong, and none of them is.
            rows = rows.like();
        }
        Self { rows, forms: layout.forms.clone(), shape, reading }
    }

    /// Where a column of the spec stands; one that the file lacks comes behind all others.
    pub fn column_or_new(&mut self, column: usize) -> usize {
        if let Some((at, _)) = &self.shape.columns[column] {
            return *at;
        }
        let widest = self.rows.iter().map(Row::width).max().unwrap_or_default();
        let behind = self.shape.columns.iter().flatten().map(|(at, _)| at + 1).max().unwrap_or_default();
        let at = widest.max(behind);
        self.shape.columns[column] = Some((at, self.shape.spec.all[column].name.into()));
        at
    }

    /// A row's cell under a column of the spec, trimmed; blank where the file lacks the column.
    pub fn cell<'r>(&self, row: Row<'r>, column: usize) -> &'r str {
        let at = self.shape.columns[column].as_ref().map(|(at, _)| *at);
        at.and_then(|at| row.get(at)).unwrap_or_default().trim()
    }

    /// Puts a row's cells in the place of those it has; without cells the row goes.
    pub fn put_row(&mut self, number: u32, cells: Option<&[String]>) {
        match cells {
            Some(cells) => self.rows.put(number, cells.iter().map(String::as_str)),
            None => self.rows.remove(number),
        }
    }
}

impl Shape {
    /// Reports cells with signs that no workbook can hold.
    fn report_letters(&self, rows: &Rows, findings: &mut Findings) {
        for row in rows.iter() {
            for (column, at) in self.spec.columns().zip(&self.columns) {
                let cell = at.as_ref().and_then(|(at, _)| row.get(*at)).unwrap_or_default();
                if let Some(sign) = cell.chars().find(|sign| !is_letter(*sign)) {
                    let message =
                        format!("the text holds the sign U+{:04X}, which no workbook can hold", u32::from(sign));
                    findings.add(Finding::new(&NO_LETTER, self.place(row.number(), column), "", message));
                }
            }
        }
    }

    /// The lines of an indented bill, whose levels stand under a heading, each with its parent.
    fn take_levels(
        &mut self,
        rows: &Rows,
        heads: &[String],
        level: &str,
        left_out: &mut LeftOut,
        findings: &mut Findings,
    ) -> Rows {
        let at = |column: &str| self.spec.columns().position(|name| name == column);
        let level = heads.iter().position(|heading| plain_name(heading) == plain_name(level));
        let part = at("part").and_then(|part| self.columns[part].as_ref()).map(|(at, _)| *at);
        // What is missing has been told.
        let (Some(level), Some(part), Some(parent)) = (level, part, at("parent")) else { return rows.clone() };
        let behind = rows.iter().map(Row::width).chain([heads.len()]).max().unwrap_or_default();
        self.columns[parent] = Some((behind, heads[level].trim().into()));
        let columns = indented::Columns { level: (level, heads[level].trim()), part, parent: behind };
        indented::lines(rows, self, columns, left_out, findings)
    }
}
