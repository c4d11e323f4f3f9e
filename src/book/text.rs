//! Comma- and tab-separated text as rows, numbered as a spreadsheet would number them.

use super::kinds::NOT_UTF_8;
use super::rows::{Row, Rows};
use super::spec::TableSpec;
use super::{ReadError, file_name, guard};
use crate::base::{Finding, Findings, Place};
use csv::{ReaderBuilder, StringRecord};
use rayon::prelude::*;
use std::borrow::Cow;
use std::path::Path;

/// The rows of a text file.
pub fn rows(path: &Path, separator: u8, spec: &TableSpec, findings: &mut Findings) -> Result<Rows, ReadError> {
    let bytes = guard::text(path)?;
    parse(&bytes, path, separator, spec, findings)
}

/// The rows of a text file in Windows-1252, in which every byte is a letter.
pub fn rows_1252(path: &Path, separator: u8, spec: &TableSpec, findings: &mut Findings) -> Result<Rows, ReadError> {
    let bytes = guard::text(path)?;
    let (text, _, _) = encoding_rs::WINDOWS_1252.decode(&bytes);
    parse(text.as_bytes(), path, separator, spec, findings)
}

/// The rows of a text; the path is for messages.
pub fn parse(
    bytes: &[u8],
    path: &Path,
    separator: u8,
    spec: &TableSpec,
    findings: &mut Findings,
) -> Result<Rows, ReadError> {
    let (rows, spoiled) = split(bytes, path, separator)?;
    if let Some(row) = spoiled {
        let place = Place { table: spec.name, file: file_name(path), row, ..Place::default() };
        let message = "the text from this row on is not all UTF-8; save the file as UTF-8";
        findings.add(Finding::new(&NOT_UTF_8, place, "", message));
    }
    Ok(rows)
}

/// The rows of a text, and the first that is not UTF-8.
pub fn split(bytes: &[u8], path: &Path, separator: u8) -> Result<(Rows, Option<u32>), ReadError> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    // Each cell takes room, a blank one, too.
    let ends = bytes.par_iter().filter(|byte| **byte == separator || **byte == b'\n').count();
    guard::sensible(ends, bytes.len()).map_err(|why| ReadError::new(path, why))?;
    let text = String::from_utf8_lossy(bytes);
    let pieces: Vec<Piece> = pieces(&text).into_par_iter().map(|piece| Piece::read(piece, separator)).collect();
    let mut rows = Rows::default();
    let mut before = 0_u32;
    for piece in pieces {
        if let Err(why) = piece.outcome {
            return Err(ReadError::new(path, format!("about row {}, {why}", before.saturating_add(piece.lines))));
        }
        rows.append(piece.rows, before);
        before = before.saturating_add(piece.lines);
    }
    let spoiled = |row: &Row<'_>| row.cells().any(|cell| cell.contains(char::REPLACEMENT_CHARACTER));
    let spoiled = match &text {
        Cow::Owned(_) => rows.iter().find(spoiled).map(|row| row.number()),
        Cow::Borrowed(_) => None,
    };
    Ok((rows, spoiled))
}

/// Texts shorter than this are read in one piece.
const SHORT: usize = 1_000_000;

/// A text in as many pieces as can be read at a time; in one where a quoted cell may hold line ends of its own.
fn pieces(text: &str) -> Vec<&str> {
    let count = if text.len() < SHORT || text.contains('"') { 1 } else { rayon::current_num_threads() };
    let (mut pieces, mut rest) = (Vec::new(), text);
    for left in (1..=count).rev() {
        let about = rest.len() / left;
        let end =
            rest.as_bytes()[about..].iter().position(|byte| *byte == b'\n').map_or(rest.len(), |at| about + at + 1);
        let (piece, after) = rest.split_at(if left == 1 { rest.len() } else { end });
        pieces.push(piece);
        rest = after;
    }
    pieces
}

/// What was read of a piece of a text.
struct Piece {
    /// The rows, numbered from the start of the piece.
    rows: Rows,
    /// How many lines were read, to the end or to where something is wrong.
    lines: u32,
    outcome: Result<(), String>,
}

impl Piece {
    fn read(text: &str, separator: u8) -> Self {
        let mut piece = Self { rows: Rows::with_room(text.len()), lines: 0, outcome: Ok(()) };
        piece.outcome = piece.fill(text.as_bytes(), separator);
        piece
    }

    fn fill(&mut self, bytes: &[u8], separator: u8) -> Result<(), String> {
        let mut reader = ReaderBuilder::new().delimiter(separator).has_headers(false).flexible(true).from_reader(bytes);
        let mut record = StringRecord::new();
        let mut from = 0;
        while reader.read_record(&mut record).map_err(|why| why.to_string())? {
            self.lines = self.lines.saturating_add(1).saturating_add(empty_lines(&bytes[from..]));
            if record.as_slice().len() > guard::MOST_ROW_BYTES || record.len() > guard::MOST_COLUMNS as usize {
                let (most, columns) = (guard::MOST_ROW_BYTES / 1_000_000, guard::MOST_COLUMNS);
                return Err(format!(
                    "a row is longer than {most} MB or {columns} cells; is a quotation mark not closed?"
                ));
            }
            from = usize::try_from(reader.position().byte()).unwrap_or(bytes.len()).min(bytes.len());
            // The parser stops between the two letters of a line end.
            from += usize::from(bytes[..from].ends_with(b"\r") && bytes[from..].starts_with(b"\n"));
            self.rows.push(self.lines, &record);
        }
        self.lines = self.lines.saturating_add(empty_lines(&bytes[from..]));
        Ok(())
    }
}

/// How many empty lines, which the parser skips, stand at the start of a text. A quoted cell may hold line ends of its own,
/// so rows are counted by record, not by line.
fn empty_lines(text: &[u8]) -> u32 {
    let ends = text.iter().take_while(|byte| matches!(byte, b'\r' | b'\n'));
    ends.filter(|byte| **byte == b'\n').count().try_into().unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_numbers_them() {
        let text = "part,qty\n\n1,\"two\nlines\"\n\r\n\n2,x\r\n3,y";
        let spec = crate::book::Table::Stock.spec();
        let rows = parse(text.as_bytes(), Path::new("Stock.csv"), b',', spec, &mut Findings::default());
        let numbers: Vec<u32> = rows.unwrap().iter().map(|row| row.number()).collect();
        assert_eq!(numbers, [1, 3, 6, 7]);
    }

    #[test]
    fn a_long_text_in_pieces_has_the_rows_of_one_in_one_piece() {
        let line = |i: usize| format!("{i},{}\n{}", "x".repeat(i % 7), "\r\n\n".repeat(i % 3));
        let plain: String = (0..200_000).map(line).collect();
        let quoted = format!("{plain}\"\",");
        assert!(plain.len() > SHORT && pieces(&quoted).len() == 1);
        let spec = crate::book::Table::Stock.spec();
        let read = |text: &str| {
            let rows = parse(text.as_bytes(), Path::new("Stock.csv"), b',', spec, &mut Findings::default());
            let numbered = |row: Row<'_>| (row.number(), row.cells().map(str::to_owned).collect::<Vec<String>>());
            rows.unwrap().iter().map(numbered).collect::<Vec<_>>()
        };
        let (pieces, mut whole) = (read(&plain), read(&quoted));
        whole.pop();
        assert!(pieces == whole && pieces.len() == 200_000);
    }
}
