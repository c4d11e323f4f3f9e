//! Raw tables: rows of text cells that know the row and heading they stand under.

use super::forms::Forms;
use super::kinds::{COLUMN_TWICE, MISSING_COLUMN, NO_LETTER, TABLE_TWICE, UNKNOWN_COLUMN, UNKNOWN_TABLE};
use super::layout::{self, Layout};
use super::rows::{Row, Rows, is_letter};
use super::spec::{Table, TableSpec, plain_name};
use crate::base::{Finding, Findings, MustBe, Place, nearest, numbered};
use std::path::PathBuf;
use std::sync::Arc;

/// Where a table stands and what its headings are: what it takes to name the place of a cell.
#[derive(Clone, Debug)]
pub struct Shape {
    /// Which table.
    pub spec: &'static TableSpec,
    /// The file.
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

    /// The cell of a place as a spreadsheet names it, such as `F12`; column A where the place is a row as a whole. What is told
    /// of a heading is told of one that is no column's, where another has the same text.
    pub fn cell(&self, place: &Place) -> Option<String> {
        let column = self.columns.iter().flatten().find(|(_, heading)| *heading == place.column).map(|(at, _)| *at);
        let mut others = self.headings.iter().enumerate().filter(|_| place.row == self.heading_row);
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
}

impl RawTable {
    /// Takes rows, the first of which holds the headings, as a table; reports what is wrong with the headings.
    pub fn new(
        spec: &'static TableSpec,
        file: Arc<str>,
        sheet: Option<Arc<str>>,
        rows: Rows,
        layout: &Layout,
        findings: &mut Findings,
    ) -> Self {
        let mut rows = layout::apply(layout, rows);
        let there: Vec<String> = rows.first().iter().flat_map(|row| row.cells()).map(str::to_owned).collect();
        let heading_row = rows.first().map_or(0, |row| row.number());
        rows.skip(1);
        let columns = vec![None; spec.columns().count()];
        let headings = there.iter().map(|heading| heading.trim().into()).collect();
        let mut shape = Shape { spec, file, sheet, columns, heading_row, headings };
        for (at, heading) in there.iter().enumerate() {
            shape.take_heading(at, heading.trim(), heading_row, layout, findings);
        }
        for heading in layout::missing(layout, &there) {
            let near = nearest(heading, there.iter().map(String::as_str));
            let message = format!("the manifest names a heading '{heading}' that is not there");
            findings.add(Finding::new(&MISSING_COLUMN, shape.place(heading_row, ""), heading, message).near(near));
        }
        for (i, name) in
            spec.all.iter().enumerate().filter(|(_, column)| column.needed).map(|(i, column)| (i, column.name))
        {
            // One that the manifest names and the file lacks has been told.
            if shape.columns[i].is_none() && layout.names.iter().all(|(known, _)| *known != name) {
                let message = format!("the table {} has no column '{name}'", spec.name);
                findings.add(Finding::new(&MISSING_COLUMN, shape.place(heading_row, ""), "", message));
            }
        }
        if rows.may_hold_no_letter() {
            shape.report_letters(&rows, findings);
        }
        Self { rows, forms: layout.forms.clone(), shape }
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

    fn take_heading(&mut self, at: usize, heading: &str, row: u32, layout: &Layout, findings: &mut Findings) {
        if heading.is_empty() {
            return;
        }
        let place = Place { column: heading.into(), ..self.place(row, "") };
        if layout.leave_out.iter().any(|(known, _)| plain_name(known) == plain_name(heading)) {
            return;
        }
        let Some(i) = layout::column_named(layout, heading, self.spec.columns()) else {
            let free =
                self.spec.columns().enumerate().filter(|(i, _)| self.columns[*i].is_none()).map(|(_, name)| name);
            let message = format!("{} has no such column; it is ignored", self.spec.name);
            findings.add(Finding::new(&UNKNOWN_COLUMN, place, heading, message).near(nearest(heading, free)));
            return;
        };
        if self.columns[i].is_some() {
            findings.add(Finding::new(&COLUMN_TWICE, place, heading, "this heading stands twice in the table"));
        } else {
            self.columns[i] = Some((at, heading.into()));
        }
    }
}

/// A book as it was found: its tables, and what was wrong with their sheets and headings.
#[derive(Clone, Debug)]
pub struct Book {
    /// The path's last piece, for messages and the first sheet of every report.
    pub name: Arc<str>,
    /// The files that were read.
    pub files: Vec<PathBuf>,
    tables: Vec<RawTable>,
    /// What is wrong so far.
    pub findings: Findings,
}

impl Book {
    /// An empty book.
    pub fn new(name: Arc<str>) -> Self {
        Self { name, files: Vec::new(), tables: Vec::new(), findings: Findings::default() }
    }

    /// Whether it holds no table at all.
    pub fn is_empty(&self) -> bool {
        self.tables.is_empty()
    }

    /// A table, where the book has it.
    pub fn table(&self, table: Table) -> Option<&RawTable> {
        self.tables.iter().find(|raw| raw.shape.spec.table == table)
    }

    /// The same, to be changed.
    pub fn table_mut(&mut self, table: Table) -> Option<&mut RawTable> {
        self.tables.iter_mut().find(|raw| raw.shape.spec.table == table)
    }

    /// Which table a sheet or file holds; notes one that is none, reports one that is there already.
    pub fn claim(&mut self, name: &str, file: &Arc<str>, sheet: Option<&Arc<str>>) -> Option<&'static TableSpec> {
        let place = Place { file: Arc::clone(file), sheet: sheet.cloned(), ..Place::default() };
        let Some(spec) = Table::named(name) else {
            let near = nearest(name, Table::all().map(|spec| spec.name).filter(|n| n.len() > 3));
            self.findings
                .add(Finding::new(&UNKNOWN_TABLE, place, name, "no table of the book; it is ignored").near(near));
            return None;
        };
        if let Some(first) = self.table(spec.table) {
            let message = format!("{} is in {} already", spec.name, first.shape.place(0, ""));
            self.findings.add(Finding::new(&TABLE_TWICE, place, name, message));
            return None;
        }
        Some(spec)
    }

    /// Adds a table.
    pub fn add(&mut self, spec: &'static TableSpec, file: Arc<str>, sheet: Option<Arc<str>>, rows: Rows) {
        self.add_laid_out(spec, file, sheet, rows, &Layout::default());
    }

    /// Adds a table that is laid out in the plant's own way.
    pub fn add_laid_out(
        &mut self,
        spec: &'static TableSpec,
        file: Arc<str>,
        sheet: Option<Arc<str>>,
        rows: Rows,
        layout: &Layout,
    ) {
        let table = RawTable::new(spec, file, sheet, rows, layout, &mut self.findings);
        self.tables.push(table);
    }

    /// Takes over the tables of another book that this one does not have.
    pub fn fill_from(&mut self, other: Self) {
        self.findings.extend(other.findings);
        self.files.extend(other.files);
        let missing = other
            .tables
            .into_iter()
            .filter(|raw| self.tables.iter().all(|own| own.shape.spec.table != raw.shape.spec.table));
        let missing: Vec<RawTable> = missing.collect();
        self.tables.extend(missing);
    }
}
