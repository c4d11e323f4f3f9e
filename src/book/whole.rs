//! A whole book as it was found: its tables, those that can't be read, and what is wrong so far.

use super::ReadError;
use super::forms::Forms;
use super::kinds::{NO_MANIFEST, TABLE_TWICE, UNKNOWN_TABLE, UNREADABLE_FILE};
use super::layout::Layout;
use super::look::{self, Seen};
use super::raw::{Origin, RawTable};
use super::rows::Rows;
use super::spec::{Table, TableSpec};
use super::written;
use crate::base::{Finding, Findings, Place, nearest};
use std::path::{Path, PathBuf};
use std::sync::Arc;

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
