//! Edits of a book in a line of words: which table, which row by its codes, which columns get which values.

use crate::base::{MustBe, nearest};
use crate::book::{Table, TableSpec, plain_name};
use itertools::Itertools;

/// What is done to a row, in the order in which edits given without one are made.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Act {
    /// The row is left out.
    Drop,
    /// The row is new.
    Add,
    /// Cells get other values.
    Set,
}

/// Which rows are meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WhichRows {
    /// The one with these codes.
    One(Vec<String>),
    /// All with these codes; without any, all of the table.
    All(Vec<String>),
    /// The one that the spreadsheet numbers so.
    Number(u32),
}

/// An edit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Edit {
    /// What is done.
    pub act: Act,
    /// In which table.
    pub table: &'static TableSpec,
    /// To which rows; none for a new one.
    pub rows: WhichRows,
    /// Columns by their index, and their values.
    pub cells: Vec<(usize, String)>,
    /// It as it was written.
    pub text: String,
}

/// A word, and whether it stood in quotes.
struct Word {
    text: String,
    quoted: bool,
}

/// An edit from its words: `Receipts 8001 WN-20 due=2027-09-20, qty=5`; without columns for a row that is left out.
///
/// # Errors
/// What can't be understood, in a sentence.
pub fn parse(act: Act, text: &str) -> Result<Edit, String> {
    parsed(act, text.trim()).map_err(|why| format!("'{}': {why}", text.trim()))
}

/// The edits of a file, one a line; `add` and `drop` stand before the table, `set` may. A line that begins with `#` is for
/// people.
///
/// # Errors
/// What can't be understood, with its line.
pub fn from_file(text: &str) -> Result<Vec<Edit>, String> {
    let lines = text.trim_start_matches('\u{feff}').lines().enumerate();
    let lines =
        lines.map(|(i, line)| (i + 1, line.trim())).filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let edit = |(number, line): (usize, &str)| {
        let (first, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        let (act, words) = match first.to_lowercase().as_str() {
            "set" => (Act::Set, rest),
            "add" => (Act::Add, rest),
            "drop" => (Act::Drop, rest),
            _ => (Act::Set, line),
        };
        parse(act, words).map_err(|why| format!("line {number}: {why}"))
    };
    lines.map(edit).collect()
}

fn parsed(act: Act, text: &str) -> Result<Edit, String> {
    let pieces = pieces(text)?;
    let mut left = words(pieces[0].0)?;
    if left.is_empty() {
        return Err("expected a table, such as Receipts".to_owned());
    }
    let table = table(&left.remove(0).text)?;
    let cells = if act == Act::Drop {
        match pieces.iter().find_map(|(_, value)| value.as_ref()) {
            Some(_) => return Err("a row that is left out is named by its codes alone, without '='".to_owned()),
            None => Vec::new(),
        }
    } else {
        cells(table, &mut left, &pieces)?
    };
    if act == Act::Add && !left.is_empty() {
        let column = table.columns().next().must("a table has no columns");
        return Err(format!("a new row says each value by its column: {} {column}={} ...", table.name, left[0].text));
    }
    let rows = if act == Act::Add { WhichRows::One(Vec::new()) } else { rows(table, left)? };
    Ok(Edit { act, table, rows, cells, text: text.to_owned() })
}

/// The columns and values; takes the words of the first column from those that name the row.
fn cells(
    table: &TableSpec,
    left: &mut Vec<Word>,
    pieces: &[(&str, Option<String>)],
) -> Result<Vec<(usize, String)>, String> {
    let mut cells: Vec<(usize, String)> = Vec::new();
    for (i, (name, value)) in pieces.iter().enumerate() {
        let Some(value) = value else {
            let column = table.columns().last().must("a table has no columns");
            return Err(format!("expected a column and its value, such as {column}=..."));
        };
        let column = if i == 0 { first_column(table, left)? } else { column(table, name.trim())? };
        if cells.iter().any(|(known, _)| *known == column) {
            return Err(format!("{} is given twice", table.all[column].name));
        }
        cells.push((column, value.clone()));
    }
    Ok(cells)
}

/// The most words before the first `=` that together are a column.
fn first_column(table: &TableSpec, words: &mut Vec<Word>) -> Result<usize, String> {
    for from in 0..words.len() {
        let name = words[from..].iter().map(|word| word.text.as_str()).join(" ");
        let plain = words[from..].iter().all(|word| !word.quoted);
        if let Some(at) = table.columns().position(|known| plain && plain_name(known) == plain_name(&name)) {
            words.truncate(from);
            return Ok(at);
        }
    }
    column(table, words.last().map_or("", |word| &word.text))
}

fn column(table: &TableSpec, name: &str) -> Result<usize, String> {
    let found = table.columns().position(|known| plain_name(known) == plain_name(name));
    found.ok_or_else(|| {
        let near = nearest(name, table.columns()).map(|near| format!(" (did you mean {near}?)")).unwrap_or_default();
        let all = table.columns().join(", ");
        format!("{} has no column '{name}'{near}; its columns are: {all}", table.name)
    })
}

fn table(name: &str) -> Result<&'static TableSpec, String> {
    Table::named(name).ok_or_else(|| {
        let names = Table::all().map(|spec| spec.name);
        let near = nearest(name, names).map(|near| format!(" (did you mean {near}?)")).unwrap_or_default();
        format!("a book has no table '{name}'{near}")
    })
}

fn rows(table: &TableSpec, mut words: Vec<Word>) -> Result<WhichRows, String> {
    let keyword = |word: Option<&Word>, text: &str| word.is_some_and(|word| !word.quoted && word.text == text);
    let keys = table.keys();
    let names = keys.iter().map(|key| table.all[*key].name).join(", then ");
    if keyword(words.first(), "row") && words.len() == 2 {
        let number = words[1].text.parse().map_err(|_| format!("'{}' is no number of a row", words[1].text))?;
        return Ok(WhichRows::Number(number));
    }
    let all = keyword(words.first(), "all");
    if all {
        words.remove(0);
    }
    if words.len() > keys.len() {
        let extra = &words[keys.len()].text;
        return Err(format!(
            "'{extra}' is one word too many: a row of {} is named by {names}; quote a code that holds a space",
            table.name
        ));
    }
    if words.is_empty() && !all {
        return Err(format!("which row? A row of {} is named by {names}; 'all' means every one", table.name));
    }
    let codes = words.into_iter().map(|word| word.text).collect();
    Ok(if all { WhichRows::All(codes) } else { WhichRows::One(codes) })
}

/// What stands before each `=`, and the value behind it up to the comma before the next.
fn pieces(text: &str) -> Result<Vec<(&str, Option<String>)>, String> {
    let marks = marks(text)?;
    let mut starts = vec![0];
    let mut equals: Vec<usize> = Vec::new();
    let mut comma = None;
    for (at, mark) in marks {
        match (mark, comma) {
            (',', _) => comma = Some(at),
            // A second '=' without a comma before it belongs to the value.
            ('=', None) if !equals.is_empty() => {}
            (_, from) => {
                starts.extend(from.filter(|_| !equals.is_empty()).map(|from| from + 1));
                equals.push(at);
                comma = None;
            }
        }
    }
    if equals.is_empty() {
        return Ok(vec![(text, None)]);
    }
    let ends = starts.iter().skip(1).map(|start| start - 1).chain([text.len()]);
    let pieces = starts.iter().zip(&equals).zip(ends);
    Ok(pieces
        .map(|((start, equal), end)| (&text[*start..*equal], Some(unquoted(text[equal + 1..end].trim()))))
        .collect())
}

/// The commas and `=` outside quotes. A quote opens at the beginning of a word only: 36" is a length.
fn marks(text: &str) -> Result<Vec<(usize, char)>, String> {
    let (mut marks, mut open, mut before) = (Vec::new(), None, ' ');
    for (at, letter) in text.char_indices() {
        match open {
            Some(quote) if letter == quote => open = None,
            Some(_) => {}
            None if matches!(letter, '"' | '\'') && (before.is_whitespace() || matches!(before, ',' | '=' | '(')) => {
                open = Some(letter);
            }
            None if matches!(letter, ',' | '=') => marks.push((at, letter)),
            None => {}
        }
        before = letter;
    }
    open.map_or(Ok(marks), |quote| Err(format!("a quote ({quote}) is not closed")))
}

/// The words of a text; what stands in quotes is one.
fn words(text: &str) -> Result<Vec<Word>, String> {
    let (mut words, mut rest) = (Vec::new(), text.trim());
    while let Some(first) = rest.chars().next() {
        let (word, behind) = if matches!(first, '"' | '\'') {
            let (word, behind) = rest[1..].split_once(first).ok_or(format!("a quote ({first}) is not closed"))?;
            (Word { text: word.trim().to_owned(), quoted: true }, behind)
        } else {
            let end = rest.find(char::is_whitespace).unwrap_or(rest.len());
            (Word { text: rest[..end].to_owned(), quoted: false }, &rest[end..])
        };
        words.push(word);
        rest = behind.trim_start();
    }
    Ok(words)
}

/// A value without the quotes around all of it.
fn unquoted(value: &str) -> String {
    let inside = ['"', '\'']
        .into_iter()
        .find_map(|quote| value.strip_prefix(quote)?.strip_suffix(quote).filter(|inside| !inside.contains(quote)));
    inside.unwrap_or(value).to_owned()
}
