//! Raw tables: rows of text cells that know the row and heading they stand under.

use super::ReadError;
use super::forms::Forms;
use super::headings;
use super::indented;
use super::kinds::{NO_LETTER, NO_MANIFEST, TABLE_TWICE, UNKNOWN_TABLE, UNREADABLE_FILE};
use super::layout::{self, Layout, LeftOut};
use super::look::{self, Seen};
use super::rows::{Row, Rows, is_letter};
use super::spec::{Table, TableSpec, plain_name};
use super::written;
use crate::base::{Finding, Findings, MustBe, Place, nearest, numbered};
use std::path::{Path, PathBuf};
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

/// A book as it was found: its tables, and what was wrong with their sheets and headings.
#[derive(Clone, Debug)]
pub struct Book {
    /// The path's last piece, for messages and the first sheet of every report.
    pub name: Arc<str>,
    /// The files that were read.
    pub files: Vec<PathBuf>,
    tables: Vec<RawTable>,
    /// The tables of files that could not be read.
    failed: Vec<Table>,
    /// How the plant writes numbers and dates, where it says so for all tables.
    pub forms: Forms,
    /// What is wrong so far.
    pub findings: Findings,
}

impl Book {
    /// An empty book.
    pub fn new(name: Arc<str>) -> Self {
        Self {
            name,
            files: Vec::new(),
            tables: Vec::new(),
            failed: Vec::new(),
            forms: Forms::default(),
            findings: Findings::default(),
        }
    }

    /// Reports what only all tables together show.
    pub fn finish(&mut self) {
        written::report_unended(&self.tables, &mut self.findings);
    }

    /// How the plant writes numbers and dates: as its manifest says for all tables, with the forms of dates of single ones.
    pub fn date_forms(&self) -> Forms {
        let mut forms = self.forms.clone();
        for form in self.tables.iter().flat_map(|raw| &raw.forms.dates) {
            if !forms.dates.contains(form) {
                forms.dates.push(form.clone());
            }
        }
        forms
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

    /// Reports a file that can't be read; with which table that is gone.
    pub fn fail(&mut self, spec: &'static TableSpec, place: Place, why: &ReadError) {
        self.findings.add(Finding::new(
            &UNREADABLE_FILE,
            place,
            super::file_name(&why.path).as_ref(),
            why.why.as_str(),
        ));
        self.failed.push(spec.table);
    }

    /// Says more of what was reported last.
    pub fn hint(&mut self, more: &str) {
        if let Some(last) = self.findings.iter_mut().last() {
            last.message += more;
        }
    }

    /// Notes a file that a folder's tables are not read from.
    pub fn pass_over(&mut self, path: &Path) {
        let place = Place { file: super::file_name(path), ..Place::default() };
        let message = "the tables of a folder are .csv, .tsv or .parquet files; it is ignored";
        self.findings.add(Finding::new(&UNKNOWN_TABLE, place, "", message));
    }

    /// Reports the files of a folder in which there is no table.
    pub fn fail_all(&mut self, seen: &[Seen]) {
        let mut last_whole = None;
        for one in seen {
            let place = Place { file: Arc::clone(&one.file), sheet: one.sheet.clone(), ..Place::default() };
            if !look::is_whole_book(seen, &one.file) {
                self.findings.add(Finding::new(&NO_MANIFEST, place, "", one.to_string()));
            } else if last_whole != Some(&one.file) {
                let message = "looks like a whole book: name this file instead of the folder";
                self.findings.add(Finding::new(&NO_MANIFEST, Place { sheet: None, ..place }, "", message));
                last_whole = Some(&one.file);
            }
        }
        self.failed.extend(Table::all().map(|spec| spec.table));
    }

    /// Reports the book of all tables that are not there yet as one that can't be read.
    pub fn fail_rest(&mut self, place: Place, why: &ReadError) {
        self.findings.add(Finding::new(
            &UNREADABLE_FILE,
            place,
            super::file_name(&why.path).as_ref(),
            why.why.as_str(),
        ));
        let gone: Vec<Table> =
            Table::all().map(|spec| spec.table).filter(|table| self.table(*table).is_none()).collect();
        self.failed.extend(gone);
    }

    /// Whether a table is there, but can't be read, as has been told.
    pub fn has_failed(&self, table: Table) -> bool {
        self.failed.contains(&table) || self.table(table).is_some_and(|raw| raw.reading.unreadable)
    }

    /// Adds a table.
    pub fn add(&mut self, spec: &'static TableSpec, origin: Origin, rows: Rows) {
        self.add_laid_out(spec, origin, rows, &Layout::default());
    }

    /// Adds a table that is laid out in the plant's own way.
    pub fn add_laid_out(&mut self, spec: &'static TableSpec, origin: Origin, rows: Rows, layout: &Layout) {
        let table = RawTable::new(spec, origin, rows, layout, &mut self.findings);
        self.tables.push(table);
    }

    /// Takes over the tables of another book that this one does not have.
    pub fn fill_from(&mut self, other: Self) {
        // What is wrong with a table that is taken from elsewhere does not matter.
        let own: Vec<&str> = self.tables.iter().map(|raw| raw.shape.spec.name).collect();
        let mattering = other.findings.into_iter().filter(|finding| !own.contains(&finding.place.table));
        mattering.for_each(|finding| self.findings.add(finding));
        self.files.extend(other.files);
        self.failed.extend(other.failed);
        let missing = other
            .tables
            .into_iter()
            .filter(|raw| self.tables.iter().all(|own| own.shape.spec.table != raw.shape.spec.table));
        let missing: Vec<RawTable> = missing.collect();
        self.tables.extend(missing);
    }
}
