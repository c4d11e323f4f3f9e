//! Edits made on a book in memory: the rows they name are found by their codes, and the book's own files stay as they are.

use super::edits::{Act, Edit, WhichRows};
use crate::base::{Date, Findings, Moment, MustBe, Place, Ratio, fold, nearest, parse_time};
use crate::book::{Book, Holds, Origin, RawTable, Row, Table, TableSpec};
use itertools::Itertools;
use serde::Serialize;
use std::collections::{BTreeSet, HashMap};

/// So many rows are listed where one should have been named.
const LISTED: usize = 8;

/// What an edit did to a cell or a row.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Changed {
    /// Where.
    pub place: Place,
    /// The cell or the row as it was; none where the row is new.
    pub old: Option<String>,
    /// As it is; none where the row is left out.
    pub new: Option<String>,
}

impl std::fmt::Display for Changed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let blank = |text: &str| if text.is_empty() { "blank".to_owned() } else { text.to_owned() };
        match (&self.old, &self.new) {
            (Some(old), Some(new)) => write!(f, "{}: {} (was {})", self.place, blank(new), blank(old)),
            (None, Some(new)) => write!(f, "{}, a new row: {new}", self.place),
            (Some(old), None) => write!(f, "{}, left out: {old}", self.place),
            (None, None) => write!(f, "{}", self.place),
        }
    }
}

/// The book with the edits made, one after the other, and what each did.
///
/// # Errors
/// Where an edit names no row of the book, or more than one and not all.
pub fn apply(book: &Book, edits: &[Edit]) -> Result<(Book, Vec<Changed>), String> {
    let (mut book, mut changed) = (book.clone(), Vec::new());
    let mut indexes = HashMap::new();
    for edit in edits {
        one(&mut book, edit, &mut indexes, &mut changed).map_err(|why| format!("'{}': {why}", edit.text))?;
    }
    Ok((book, changed))
}

/// Says of findings at changed places that they stand in no file.
pub fn note(changed: &[Changed], findings: &mut Findings) {
    for finding in findings.iter_mut() {
        let same = |change: &&Changed| {
            let (at, place) = (&change.place, &finding.place);
            let row = (at.table, at.row) == (place.table, place.row) && place.row > 0;
            row && (at.column.is_empty() || at.column == place.column)
        };
        if let Some(change) = changed.iter().find(same) {
            let how = if change.old.is_none() { "a row added" } else { "changed" };
            finding.message += &format!(" ({how} for this trial)");
        }
    }
}

fn one(
    book: &mut Book,
    edit: &Edit,
    indexes: &mut HashMap<Table, Index>,
    changed: &mut Vec<Changed>,
) -> Result<(), String> {
    if book.table(edit.table.table).is_none() {
        if edit.act != Act::Add {
            return Err(format!("the book has no table {}", edit.table.name));
        }
        let origin = Origin { file: format!("{} (not in the book)", edit.table.name).into(), sheet: None };
        book.add(edit.table, origin, headings(edit.table));
    }
    let Some(table) = book.table_mut(edit.table.table) else { return Ok(()) };
    let index = indexes.entry(edit.table.table).or_insert_with(|| Index::of(table));
    if edit.act == Act::Add {
        let (number, added) = add(table, edit);
        index.take_in(table, number);
        changed.push(added);
        return Ok(());
    }
    for number in named(table, edit, index)? {
        index.leave_out(table, number);
        match edit.act {
            Act::Drop => changed.push(drop_row(table, number)),
            _ => edit.cells.iter().for_each(|(column, value)| changed.extend(set(table, number, *column, value))),
        }
        index.take_in(table, number);
    }
    Ok(())
}

fn headings(spec: &TableSpec) -> crate::book::Rows {
    let mut rows = crate::book::Rows::default();
    rows.push(1, spec.columns());
    rows
}

/// Adds a row; its number, and what there is to say.
fn add(table: &mut RawTable, edit: &Edit) -> (u32, Changed) {
    let number = table.rows.last_number().unwrap_or(1) + 1;
    let mut cells: Vec<String> = Vec::new();
    for (column, value) in &edit.cells {
        let at = table.column_or_new(*column);
        cells.resize(cells.len().max(at + 1), String::new());
        cells[at].clone_from(value);
    }
    table.put_row(number, Some(&cells));
    let told = edit.cells.iter().map(|(column, value)| format!("{}={value}", edit.table.all[*column].name)).join(", ");
    (number, Changed { place: table.shape.place(number, ""), old: None, new: Some(told) })
}

fn drop_row(table: &mut RawTable, number: u32) -> Changed {
    let old = table.rows.numbered(number).map(|row| told(table, row));
    table.put_row(number, None);
    Changed {
        place: table.shape.place(number, ""),
        old: Some(old.must("a row that is dropped is not there")),
        new: None,
    }
}

fn set(table: &mut RawTable, number: u32, column: usize, value: &str) -> Option<Changed> {
    let at = table.column_or_new(column);
    let row = table.rows.numbered(number)?;
    let mut cells: Vec<String> = row.cells().map(str::to_owned).collect();
    cells.resize(cells.len().max(at + 1), String::new());
    let old = std::mem::replace(&mut cells[at], value.to_owned());
    table.put_row(number, Some(&cells));
    let place = table.shape.place(number, table.shape.spec.all[column].name);
    Some(Changed { place, old: Some(old.trim().to_owned()), new: Some(value.to_owned()) })
}

/// A row as a list of what stands in it.
fn told(table: &RawTable, row: Row<'_>) -> String {
    let columns = table.shape.spec.all.iter().enumerate();
    let cells = columns.map(|(i, column)| (column.name, table.cell(row, i))).filter(|(_, cell)| !cell.is_empty());
    cells.map(|(name, cell)| format!("{name}={cell}")).join(", ")
}

/// A table's rows by what stands under the first of its codes, so that many edits don't look through all rows each.
pub(super) struct Index {
    /// The first of the codes that name a row, where a text is only the same as itself.
    key: Option<usize>,
    rows: HashMap<String, BTreeSet<u32>>,
}

impl Index {
    pub(super) fn of(table: &RawTable) -> Self {
        let spec = table.shape.spec;
        let text = |key: &usize| matches!(spec.all[*key].holds, Holds::Text | Holds::Words(_));
        let mut index = Self { key: spec.keys().first().copied().filter(text), rows: HashMap::new() };
        let numbers: Vec<u32> = table.rows.iter().map(Row::number).collect();
        numbers.into_iter().for_each(|number| index.take_in(table, number));
        index
    }

    /// The rows of a code, in order; none where it has no row, or the rows are not known by their codes.
    fn rows(&self, code: &str) -> Vec<u32> {
        self.rows.get(&fold(code)).into_iter().flatten().copied().collect()
    }

    fn code_of(&self, table: &RawTable, number: u32) -> Option<String> {
        Some(fold(table.cell(table.rows.numbered(number)?, self.key?)))
    }

    /// Takes a row in, where it is there.
    fn take_in(&mut self, table: &RawTable, number: u32) {
        if let Some(code) = self.code_of(table, number) {
            self.rows.entry(code).or_default().insert(number);
        }
    }

    /// Leaves a row out that is to be changed.
    fn leave_out(&mut self, table: &RawTable, number: u32) {
        let code = self.code_of(table, number);
        if let Some(rows) = code.and_then(|code| self.rows.get_mut(&code)) {
            rows.remove(&number);
        }
    }
}

/// The rows that an edit means.
pub(super) fn named(table: &RawTable, edit: &Edit, index: &Index) -> Result<Vec<u32>, String> {
    let (codes, all) = match &edit.rows {
        WhichRows::One(codes) => (codes, false),
        WhichRows::All(codes) => (codes, true),
        WhichRows::Number(number) => {
            let there = table.rows.numbered(*number).is_some();
            let file = table.shape.place(0, "");
            return if there {
                Ok(vec![*number])
            } else {
                Err(format!("{file} has no row {number} of {}", edit.table.name))
            };
        }
    };
    let keys = edit.table.keys();
    // Where the index has none, all rows are looked through, to tell what is near.
    let of_code = codes.first().map(|code| index.rows(code)).filter(|rows| !rows.is_empty());
    let mut found: Vec<Row<'_>> = match of_code {
        Some(rows) => rows.iter().filter_map(|number| table.rows.numbered(*number)).collect(),
        None => table.rows.iter().collect(),
    };
    for (key, code) in keys.iter().zip(codes) {
        let fitting: Vec<Row<'_>> =
            found.iter().copied().filter(|row| same(table, *key, table.cell(*row, *key), code)).collect();
        if fitting.is_empty() {
            let there = found.iter().map(|row| table.cell(*row, *key)).unique();
            let near = nearest(code, there).map(|near| format!(" (did you mean {near}?)")).unwrap_or_default();
            let column = edit.table.all[*key].name;
            return Err(format!("no such row of {} has {column} '{code}'{near}", edit.table.name));
        }
        found = fitting;
    }
    if found.len() > 1 && !all {
        return Err(several(table, &found));
    }
    Ok(found.iter().map(|row| row.number()).collect())
}

fn several(table: &RawTable, found: &[Row<'_>]) -> String {
    let rows = found.iter().take(LISTED);
    let rows = rows.map(|row| format!("\n  row {}: {}", row.number(), told(table, *row))).join("");
    let more = if found.len() > LISTED { format!("\n  ... and {} more", found.len() - LISTED) } else { String::new() };
    let spec = table.shape.spec;
    let names = spec.keys().iter().map(|key| spec.all[*key].name).join(", ");
    format!(
        "{} rows of {} are so named; add more of {names}, or say '{} row NUMBER', or '{} all ...' for all of them:{rows}{more}",
        found.len(),
        spec.name,
        spec.name,
        spec.name
    )
}

/// Whether a cell holds the value that a word means: a date or a number may be written otherwise.
fn same(table: &RawTable, column: usize, cell: &str, word: &str) -> bool {
    if fold(cell) == fold(word) {
        return true;
    }
    let forms = &table.forms;
    match table.shape.spec.all[column].holds {
        Holds::Number => forms.number(cell).is_some_and(|number| Ratio::decimal(word) == Some(number)),
        Holds::Date | Holds::Moment => {
            let day = || Date::parse(word).map(Date::midnight);
            let meant = Moment::parse(word).map(|(moment, _)| moment).or_else(day);
            meant.is_some() && forms.moment(cell).map(|(moment, _)| moment) == meant
        }
        Holds::Time => parse_time(word).is_some() && parse_time(cell) == parse_time(word),
        Holds::Text | Holds::Words(_) => false,
    }
}
