//! A cell of the book chosen for a trial: a table, a row by what stands in it, a column, another value. Each step has its address; what
//! comes of it is an edit in the words of `try`, behind those that the trial has already.

use super::{Address, Looked, View, found, tell, tries};
use crate::base::fold;
use crate::book::{Book, ColumnSpec, Holds, RawTable, Row, Table, TableSpec};
use crate::trial;
use itertools::Itertools;
use maud::{Markup, html};
use std::borrow::Cow;

/// So many rows are offered at once.
const MOST_ROWS: usize = 20;
/// So many of a column's values are offered.
const MOST_VALUES: usize = 200;
/// So many letters of what a row holds are shown beside its codes.
const MOST_LETTERS: usize = 160;

/// How far somebody has come in choosing a cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Choice {
    /// The edits of each trial so far, one a line.
    pub edits: Vec<String>,
    /// Which trial the cell is for, from 0.
    pub into: usize,
    /// The name of the table chosen; `None` as long as none is.
    pub table: Option<String>,
    /// What a row is looked for by.
    pub words: String,
    /// The row, by its number in the file.
    pub row: Option<u32>,
    /// The heading chosen; `None` as long as none is.
    pub column: Option<String>,
    /// Its other value.
    pub value: Option<String>,
    /// Whether the row is left out instead.
    pub drop: bool,
    /// Whether a row is added.
    pub new: bool,
    /// The values of a row that is added, in the order of the table's columns.
    pub cells: Vec<String>,
}

impl Choice {
    fn so_far(&self) -> Self {
        Self { edits: self.edits.clone(), into: self.into, ..Self::default() }
    }

    fn of_table(&self, spec: &TableSpec) -> Self {
        Self { table: Some(spec.name.to_owned()), ..self.so_far() }
    }

    fn of_row(&self, spec: &TableSpec, row: u32) -> Self {
        Self { row: Some(row), ..self.of_table(spec) }
    }

    /// What a form carries of it.
    fn hidden(&self) -> Markup {
        html! {
            input type="hidden" name="into" value=(self.into);
            @for edits in &self.edits { input type="hidden" name="edits" value=(edits); }
            @if let Some(table) = &self.table { input type="hidden" name="table" value=(table); }
            @if let Some(row) = self.row { input type="hidden" name="row" value=(row); }
            @if self.new { input type="hidden" name="new" value="1"; }
            @if let Some(column) = &self.column { input type="hidden" name="column" value=(column); }
        }
    }
}

fn link(choice: Choice) -> Address {
    Address::Cell { choice }
}

pub fn view(looked: Looked<'_>, choice: &Choice) -> View {
    if choice.into >= tries::MOST_TRIALS {
        return View::none("trial", &(choice.into + 1).to_string(), None);
    }
    // What is chosen next is chosen in the book as the trial has it so far.
    let so_far = choice.edits.get(choice.into).map_or("", String::as_str);
    let (book, wrong) = match with(looked.book, so_far) {
        Ok(book) => (book, None),
        Err(why) => (Cow::Borrowed(looked.book), Some(why)),
    };
    let view = in_book(looked, choice, &book);
    let body = html! {
        @if let Some(why) = wrong { p .wrong { "The trial as it is can't be tried, and the book is shown without it: " (why) } }
        (view.body)
    };
    View { body, ..view }
}

fn with<'b>(book: &'b Book, edits: &str) -> Result<Cow<'b, Book>, String> {
    let edits = tries::edits_of(edits)?;
    if edits.is_empty() {
        return Ok(Cow::Borrowed(book));
    }
    trial::apply(book, &edits).map(|(book, _)| Cow::Owned(book))
}

fn in_book(looked: Looked<'_>, choice: &Choice, book: &Book) -> View {
    let Some(name) = &choice.table else { return tables(choice, book) };
    let specs = || Table::all().filter(|spec| book.table(spec.table).is_some());
    let spec = match found("table", name, specs().map(|spec| spec.name).collect_vec().into_iter()) {
        Ok(at) => specs().nth(at),
        Err(none) => return none,
    };
    let Some(table) = spec.and_then(|spec| book.table(spec.table)) else { return View::none("table", name, None) };
    if choice.new {
        return new(looked, choice, table);
    }
    let Some(number) = choice.row else { return rows(choice, table) };
    let Some(row) = table.rows.numbered(number) else {
        return View::none(&format!("row of {}", table.shape.spec.name), &number.to_string(), None);
    };
    if choice.drop {
        return edited(looked, choice, table, trial::written(table, number, None));
    }
    let Some(column) = &choice.column else { return columns(choice, table, row) };
    let columns = table.shape.spec.columns().collect_vec();
    let at = match found("column", column, columns.iter().copied()) {
        Ok(at) => at,
        Err(none) => return none,
    };
    match &choice.value {
        Some(value) => edited(looked, choice, table, trial::written(table, number, Some((at, value.trim())))),
        None => values(choice, table, row, at),
    }
}

/// The tables that the book has.
fn tables(choice: &Choice, book: &Book) -> View {
    let body = html! {
        p { "For trial " (choice.into + 1) ": in which table does the cell stand?" }
        ul .found {
            @for table in Table::all().filter_map(|spec| book.table(spec.table)) {
                li { a href=(link(choice.of_table(table.shape.spec))) { (table.shape.spec.name) } ", " (table.rows.len()) " rows" }
            }
        }
    };
    View::new("Choose a cell", body)
}

/// The codes of a row, or its number where it has none.
fn codes(table: &RawTable, row: Row<'_>) -> String {
    let codes =
        table.shape.spec.keys().into_iter().map(|key| table.cell(row, key)).filter(|code| !code.is_empty()).join(" ");
    if codes.is_empty() { format!("row {}", row.number()) } else { codes }
}

/// What else a row holds, cut where it is long.
fn others(table: &RawTable, row: Row<'_>) -> String {
    let keys = table.shape.spec.keys();
    let cells = table.shape.spec.columns().enumerate().filter(|(column, _)| !keys.contains(column));
    let cells = cells.map(|(column, name)| (name, table.cell(row, column))).filter(|(_, cell)| !cell.is_empty());
    let text = cells.map(|(name, cell)| format!("{name} {cell}")).join(", ");
    match text.char_indices().nth(MOST_LETTERS) {
        Some((at, _)) => format!("{} …", &text[..at]),
        None => text,
    }
}

/// The rows that hold some words: those whose codes begin so first.
fn rows(choice: &Choice, table: &RawTable) -> View {
    let spec = table.shape.spec;
    let words = fold(&choice.words);
    let holds = |row: &Row<'_>| {
        let text = fold(&row.cells().join("\n"));
        words.split_whitespace().all(|word| text.contains(word))
    };
    let found = table.rows.iter().filter(holds);
    let found = found.sorted_by_key(|row| {
        let codes = fold(&codes(table, *row));
        (codes != words.trim(), !codes.starts_with(words.trim()), row.number())
    });
    let found = found.collect_vec();
    let line = |row: &Row<'_>| {
        html! {
            td .number { (row.number()) }
            td { a href=(link(choice.of_row(spec, row.number()))) { (codes(table, *row)) } }
            td { (others(table, *row)) }
        }
    };
    let lines = found.iter().take(MOST_ROWS).map(line).collect_vec();
    let keys = spec.keys().into_iter().map(|key| spec.all[key].name).join(", ");
    let body = html! {
        nav .choice aria-label="steps" {
            a href=(link(choice.so_far())) { "another table" } " "
            a href=(link(Choice { new: true, ..choice.of_table(spec) })) { "a new row" }
        }
        p { (spec.about) }
        form .choice action="/cell" method="get" {
            (choice.of_table(spec).hidden())
            label for="row-words" { "A row by its " (keys) " or by what else it holds " }
            input #row-words name="words" type="search" value=(choice.words);
            " " button { "find" }
        }
        (tell::some(&format!("Rows of {}", spec.name), &["row", &keys, "what else it holds"], &lines, found.len()))
        @if found.len() > lines.len() { p .more { "More words find fewer." } }
    };
    View::new(format!("Choose a row of {}", spec.name), body)
}

/// The cells of a row.
fn columns(choice: &Choice, table: &RawTable, row: Row<'_>) -> View {
    let spec = table.shape.spec;
    let of_row = choice.of_row(spec, row.number());
    let line = |(at, column): (usize, &ColumnSpec)| {
        let choice = Choice { column: Some(column.name.to_owned()), ..of_row.clone() };
        html! {
            td { a href=(link(choice)) aria-label=(format!("another value for {}", column.name)) { (column.name) } }
            td { (table.cell(row, at)) }
            td { (column.about) }
        }
    };
    let lines = spec.all.iter().enumerate().map(line).collect_vec();
    let body = html! {
        (back(choice, table))
        (tell::table("Its cells", &["column", "stands now", "what it means"], &lines, lines.len()))
        nav .choice aria-label="the row" { a href=(link(Choice { drop: true, ..of_row.clone() })) { "leave the row out" } }
    };
    View::new(format!("{} {}", spec.name, codes(table, row)), body)
}

fn back(choice: &Choice, table: &RawTable) -> Markup {
    let spec = table.shape.spec;
    html! {
        nav .choice aria-label="steps" {
            a href=(link(choice.so_far())) { "another table" } " "
            a href=(link(choice.of_table(spec))) { "another row of " (spec.name) }
        }
    }
}

/// The values that a column has, each once.
fn known(table: &RawTable, at: usize) -> Vec<&str> {
    table.rows.iter().map(|row| table.cell(row, at)).filter(|value| !value.is_empty()).unique().sorted().collect()
}

/// A field for a value: of a few words one, else any, with those that are known to choose from.
fn field(id: &str, name: &str, column: &ColumnSpec, now: &str, known: &[&str]) -> Markup {
    html! {
        @match column.holds {
            Holds::Words(words) => {
                select #(id) name=(name) {
                    option value="" selected[now.is_empty()] { "blank" }
                    @if !now.is_empty() && !words.contains(&now) { option value=(now) selected { (now) } }
                    @for word in words { option value=(word) selected[*word == now] { (word) } }
                }
            }
            _ => {
                input #(id) name=(name) type="text" value=(now) list=(format!("{id}-known")) autocomplete="off" spellcheck="false";
                datalist #(format!("{id}-known")) { @for value in known.iter().take(MOST_VALUES) { option value=(value) {} } }
            }
        }
    }
}

/// A row that is added: a field for each column, or the trial with it.
fn new(looked: Looked<'_>, choice: &Choice, table: &RawTable) -> View {
    let spec = table.shape.spec;
    let cells = choice.cells.iter().map(|cell| cell.trim()).take(spec.all.len()).enumerate();
    let cells = cells.filter(|(_, cell)| !cell.is_empty()).collect_vec();
    if !cells.is_empty() {
        return edited(looked, choice, table, trial::added(spec, &cells));
    }
    let body = html! {
        nav .choice aria-label="steps" { a href=(link(choice.of_table(spec))) { "rows of " (spec.name) } }
        p { (spec.about) " Columns that are left blank are not in the edit." }
        form action="/cell" method="get" {
            (Choice { new: true, ..choice.of_table(spec) }.hidden())
            dl .facts {
                @for (at, column) in spec.all.iter().enumerate() {
                    dt { label for=(format!("cell{at}")) { (column.name) @if column.needed { " (needed)" } } }
                    dd { (field(&format!("cell{at}"), "cell", column, "", &known(table, at))) " " span .small { (column.about) } }
                }
            }
            button { "into trial " (choice.into + 1) }
        }
    };
    View::new(format!("A new row of {}", spec.name), body)
}

/// What a cell may be instead: any value, with those that the column has elsewhere to choose from.
fn values(choice: &Choice, table: &RawTable, row: Row<'_>, at: usize) -> View {
    let spec = table.shape.spec;
    let column = &spec.all[at];
    let now = table.cell(row, at);
    let known = known(table, at);
    let body = html! {
        (back(choice, table))
        p { (column.about) }
        p { "It stands as " @if now.is_empty() { "blank" } @else { strong { (now) } } "." }
        form .choice action="/cell" method="get" {
            (Choice { column: Some(column.name.to_owned()), ..choice.of_row(spec, row.number()) }.hidden())
            label for="value" { "Instead " }
            (field("value", "value", column, now, &known))
            " " button { "into trial " (choice.into + 1) }
        }
        @if !matches!(column.holds, Holds::Words(_)) {
            p .small {
                "The column holds " (known.len()) " values in the book"
                @if known.len() > MOST_VALUES { "; the first " (MOST_VALUES) " are offered" }
                ". Another is written as the book writes it."
            }
        }
    };
    View::new(format!("{} {}: {}", spec.name, codes(table, row), column.name), body)
}

/// The trials with the edit that was chosen.
fn edited(looked: Looked<'_>, choice: &Choice, table: &RawTable, edit: Option<trial::Edit>) -> View {
    let Some(edit) = edit else {
        let body = html! {
            p { "There are no words for this in an edit: a value is one line, and holds no more than one kind of quotes." }
            (back(choice, table))
        };
        return View::new("Choose a cell", body);
    };
    let line = match edit.act {
        trial::Act::Drop => format!("drop {}", edit.text),
        trial::Act::Add => format!("add {}", edit.text),
        trial::Act::Set => edit.text,
    };
    let mut edits = choice.edits.clone();
    edits.resize(edits.len().max(choice.into + 1), String::new());
    let into = &mut edits[choice.into];
    let with = into.lines().filter(|line| !line.trim().is_empty()).chain([line.as_str()]).join("\n");
    *into = with;
    let body = html! {
        p { "Added to trial " (choice.into + 1) ": " code { (line) } ". Nothing is written to the book." }
        (tries::boxes(looked, &edits))
    };
    View::new("Try a change", body)
}
