//! The yard's exports in memory, of which one cell is changed at a time, whatever kind of file it stands in.

use super::yard;
use crate::spoiled::text::{Letters, Text};
use calamine::{Data, Reader, open_workbook_auto_from_rs};
use std::collections::BTreeMap;
use std::io::{Cursor, Read, Write};
use std::path::Path;

/// Puts a text into a cell of a sheet, given its row and column.
type Put = fn(&str, u32, usize, &str) -> String;

/// Files by name.
#[derive(Clone)]
pub struct Exports(BTreeMap<String, Vec<u8>>);

/// How a text file is written: its letters and its separator.
fn form(file: &str) -> Option<(Letters, char)> {
    match file.rsplit_once('.')?.1 {
        "csv" => Some((Letters::Windows1252, ';')),
        "txt" => Some((Letters::Utf16, '\t')),
        "toml" => Some((Letters::Utf8, '=')),
        _ => None,
    }
}

/// The row of the headings.
fn headings(file: &str) -> u32 {
    match file {
        "artikelen.csv" | "planning.xlsx" => 4,
        "werkplekken.csv" | "voorraad.ods" | "inkoop.xls" => 3,
        _ => 1,
    }
}

impl Exports {
    pub fn new() -> Self {
        let entries = std::fs::read_dir(yard("exports")).expect("files").map(|entry| entry.expect("a file").path());
        let name = |path: &Path| path.file_name().expect("a name").to_string_lossy().into_owned();
        Self(entries.map(|path| (name(&path), std::fs::read(&path).expect("a file"))).collect())
    }

    pub fn write(&self, folder: &Path) {
        self.0.iter().for_each(|(name, bytes)| crate::spoiled::write(&folder.join(name), bytes));
    }

    pub fn remove(&mut self, file: &str) {
        self.0.remove(file).expect("a file");
    }

    /// Puts a text in the place of another that stands there once: in a row of a text, or, as row 0, anywhere in it.
    pub fn put_piece(&mut self, file: &str, row: u32, from: &str, to: &str) {
        let (letters, _) = form(file).expect("a text");
        let bytes = self.0.get_mut(file).expect("a file");
        let text = letters.decoded(bytes);
        let mut lines: Vec<&str> = if row == 0 { vec![&text] } else { text.split_inclusive('\n').collect() };
        let line = &mut lines[(row as usize).saturating_sub(1)];
        assert_eq!(line.matches(from).count(), 1, "{file}: {from}");
        let changed = line.replace(from, to);
        *line = &changed;
        *bytes = letters.encoded(&lines.concat());
    }

    /// Copies a row of a text below itself.
    pub fn double(&mut self, file: &str, row: u32) {
        let (letters, _) = form(file).expect("a text");
        let bytes = self.0.get_mut(file).expect("a file");
        let text = letters.decoded(bytes);
        let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
        lines.insert(row as usize, lines[row as usize - 1]);
        *bytes = letters.encoded(&lines.concat());
    }

    /// Puts bytes in the place of others of the same length that stand there once.
    pub fn put_bytes(&mut self, file: &str, from: &str, to: &str) {
        let bytes = self.0.get_mut(file).expect("a file");
        let found: Vec<usize> =
            (0..bytes.len() - from.len()).filter(|at| bytes[*at..].starts_with(from.as_bytes())).collect();
        assert!(found.len() == 1 && from.len() == to.len(), "{file}: {from}: {found:?}");
        bytes[found[0]..found[0] + to.len()].copy_from_slice(to.as_bytes());
    }

    /// Puts a text in the cell under a heading, in a row as a spreadsheet numbers it.
    pub fn put_cell(&mut self, file: &str, sheet: &str, row: u32, heading: &str, text: &str) {
        let bytes = self.0.get_mut(file).expect("a file");
        *bytes = match form(file) {
            Some((letters, separator)) => {
                let whole = Text::new(letters.decoded(bytes), separator);
                let head = headings(file) as usize - 1;
                let at =
                    (0..whole.lines[head].cells.len()).find(|at| whole.cell(head, *at) == heading).expect("a heading");
                letters.encoded(&whole.put(whole.lines[row as usize - 1].cells[at].clone(), text))
            }
            None => {
                let column = column(bytes, sheet, headings(file), heading);
                let (entry, put): (String, Put) = if file.ends_with(".ods") {
                    ("content.xml".to_owned(), in_ods)
                } else {
                    (entry(bytes, sheet), in_xlsx)
                };
                repacked(bytes, &entry, |content| put(content, row, column, text))
            }
        };
    }
}

/// The column of a heading, from 0.
fn column(bytes: &[u8], sheet: &str, row: u32, heading: &str) -> usize {
    let mut workbook = open_workbook_auto_from_rs(Cursor::new(bytes.to_vec())).expect("a workbook");
    let range = workbook.worksheet_range(sheet).expect("a sheet");
    let (top, left) = range.start().expect("a cell");
    let row = range.rows().nth((row - 1 - top) as usize).expect("headings");
    let found = row.iter().position(|cell| matches!(cell, Data::String(text) if text == heading));
    found.expect("a heading") + left as usize
}

/// The entry of an `.xlsx` that holds a sheet.
fn entry(bytes: &[u8], sheet: &str) -> String {
    let workbook = open_workbook_auto_from_rs(Cursor::new(bytes.to_vec())).expect("a workbook");
    let at = workbook.sheet_names().iter().position(|name| name == sheet).expect("a sheet");
    format!("xl/worksheets/sheet{}.xml", at + 1)
}

/// A zipped file with one of its entries changed.
fn repacked(bytes: &[u8], name: &str, change: impl Fn(&str) -> String) -> Vec<u8> {
    let mut from = zip::ZipArchive::new(Cursor::new(bytes)).expect("a zip");
    let mut to = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for i in 0..from.len() {
        let mut entry = from.by_index(i).expect("an entry");
        let own = entry.name().expect("a name").into_owned();
        let mut content = Vec::new();
        entry.read_to_end(&mut content).expect("bytes");
        if own == name {
            content = change(std::str::from_utf8(&content).expect("UTF-8")).into_bytes();
        }
        to.start_file(&own, zip::write::SimpleFileOptions::default()).expect("an entry");
        to.write_all(&content).expect("bytes");
    }
    to.finish().expect("a zip").into_inner()
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;")
}

/// The piece of a text from one mark to the end of another.
fn piece(text: &str, from: &str, to: &str) -> Option<std::ops::Range<usize>> {
    let start = text.find(from)?;
    Some(start..start + text[start..].find(to)? + to.len())
}

/// A sheet of an `.xlsx` with a text in a cell.
fn in_xlsx(content: &str, row: u32, column: usize, text: &str) -> String {
    let name = format!("{}{row}", char::from(b'A' + u8::try_from(column).expect("a near column")));
    let cell = match text {
        "" => String::new(),
        _ => format!("<c r=\"{name}\" t=\"inlineStr\"><is><t>{}</t></is></c>", escaped(text)),
    };
    let mut content = content.to_owned();
    if let Some(start) = content.find(&format!("<c r=\"{name}\"")) {
        let tag = start + content[start..].find('>').expect("a tag") + 1;
        let end =
            if content[..tag].ends_with("/>") { tag } else { tag + content[tag..].find("</c>").expect("an end") + 4 };
        content.replace_range(start..end, &cell);
    } else {
        let begins = piece(&content, &format!("<row r=\"{row}\""), ">").expect("a row");
        content.insert_str(begins.end, &cell);
    }
    content
}

/// What an `.ods` of one sheet holds, with a text in a cell.
fn in_ods(content: &str, row: u32, column: usize, text: &str) -> String {
    let mut rows: Vec<String> = content.split("<table:table-row>").map(str::to_owned).collect();
    let row = &mut rows[row as usize];
    let starts: Vec<usize> = row.match_indices("<table:table-cell").map(|(at, _)| at).collect();
    let end = starts.get(column + 1).copied().or_else(|| row.find("</table:table-row>")).expect("a row");
    let cell =
        format!("<table:table-cell office:value-type=\"string\"><text:p>{}</text:p></table:table-cell>", escaped(text));
    row.replace_range(starts[column]..end, &cell);
    rows.join("<table:table-row>")
}
