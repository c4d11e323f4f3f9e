//! Comma- and tab-separated text as rows, numbered as a spreadsheet would number them.

use super::kinds::NOT_UTF_8;
use super::marks;
use super::rows::{Row, Rows, Written};
use super::spec::TableSpec;
use super::{ReadError, file_name, guard};
use crate::base::{Finding, Findings, Place};
use csv::{ReaderBuilder, StringRecord};
use encoding_rs::{Encoding, UTF_16BE, UTF_16LE, WINDOWS_1252};
use rayon::prelude::*;
use std::borrow::Cow;
use std::path::Path;

/// How the letters of a text are kept. A byte order mark at its start counts before this.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Letters {
    /// UTF-8.
    #[default]
    Utf8,
    /// UTF-16, of either order of bytes.
    Utf16,
    /// Windows-1252, in which every byte is a letter.
    Windows1252,
}

impl Letters {
    fn name(self) -> &'static str {
        match self {
            Self::Utf8 => "UTF-8",
            Self::Utf16 => "UTF-16",
            Self::Windows1252 => "Windows-1252",
        }
    }
}

/// A text file that was read.
pub struct Text<'b> {
    /// Its text; what could not be read has become the sign for that.
    pub text: Cow<'b, str>,
    /// How its letters are kept.
    pub letters: Letters,
    /// Whether something of it could not be read.
    pub spoiled: bool,
}

impl Text<'_> {
    /// The first of its rows with letters that could not be read.
    pub fn first_spoiled(&self, rows: &Rows) -> Option<u32> {
        let spoiled = |row: &Row<'_>| row.cells().any(|cell| cell.contains(char::REPLACEMENT_CHARACTER));
        self.spoiled.then(|| rows.iter().find(spoiled)).flatten().map(Row::number)
    }
}

/// The text that bytes hold.
pub fn decoded(bytes: &[u8], letters: Letters) -> Text<'_> {
    let (letters, encoding) = match (Encoding::for_bom(bytes), letters) {
        (Some((encoding, _)), _) if encoding == UTF_16LE || encoding == UTF_16BE => (Letters::Utf16, Some(encoding)),
        (Some(_), _) | (None, Letters::Utf8) => (Letters::Utf8, None),
        // Most letters of a text are plain, and one byte of each of those is zero.
        (None, Letters::Utf16) => {
            let zeros = |odd: usize| bytes.iter().skip(odd).step_by(2).take(500).filter(|byte| **byte == 0).count();
            (letters, Some(if zeros(0) > zeros(1) { UTF_16BE } else { UTF_16LE }))
        }
        (None, Letters::Windows1252) => (letters, Some(WINDOWS_1252)),
    };
    let (text, spoiled) = match encoding {
        None => {
            let text = String::from_utf8_lossy(bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes));
            let spoiled = matches!(text, Cow::Owned(_));
            (text, spoiled)
        }
        Some(encoding) => encoding.decode_with_bom_removal(bytes),
    };
    Text { text, letters, spoiled }
}

/// The text of a file.
///
/// # Errors
/// Where it holds zeros, as no text does.
pub fn of_file<'b>(bytes: &'b [u8], letters: Letters, path: &Path) -> Result<Text<'b>, ReadError> {
    let text = decoded(bytes, letters);
    if text.text.bytes().take(1_000).any(|byte| byte == 0) {
        return Err(ReadError::new(path, "it holds zero bytes, so it is no text file"));
    }
    Ok(text)
}

/// The rows of a text file of the book.
pub fn rows(
    path: &Path,
    letters: Letters,
    separator: u8,
    spec: &TableSpec,
    findings: &mut Findings,
) -> Result<Rows, ReadError> {
    let bytes = guard::bytes(path)?;
    parse(&of_file(&bytes, letters, path)?, path, separator, spec, findings)
}

/// The rows of a text; the path is for messages.
pub fn parse(
    text: &Text<'_>,
    path: &Path,
    separator: u8,
    spec: &TableSpec,
    findings: &mut Findings,
) -> Result<Rows, ReadError> {
    let rows = split(&text.text, path, separator)?;
    if let Some(row) = text.first_spoiled(&rows) {
        let place = Place { table: spec.name, file: file_name(path), row, ..Place::default() };
        let message = match text.letters {
            Letters::Utf8 => "the text from this row on is not all UTF-8; save the file as UTF-8".to_owned(),
            other => format!("the text from this row on is not all {}", other.name()),
        };
        findings.add(Finding::new(&NOT_UTF_8, place, "", message));
    }
    Ok(rows)
}

/// The rows of a text.
///
/// # Errors
/// Where it has more cells than a table can have, or a row that is too long.
pub fn split(text: &str, path: &Path, separator: u8) -> Result<Rows, ReadError> {
    // Each cell takes room, a blank one, too.
    let ends = text.as_bytes().par_iter().filter(|byte| **byte == separator || **byte == b'\n').count();
    guard::sensible(ends, text.len()).map_err(|why| ReadError::new(path, why))?;
    let pieces: Vec<Stretch> = pieces(text).into_par_iter().map(|piece| Stretch::read(piece, separator)).collect();
    let mut rows = Rows::default();
    let mut before = 0_u32;
    for piece in pieces {
        if let Err(why) = piece.outcome {
            return Err(ReadError::new(path, format!("about row {}, {why}", before.saturating_add(piece.lines))));
        }
        rows.append(piece.rows, before);
        before = before.saturating_add(piece.lines);
    }
    // Most rows have as many cells as the headings, wherever those stand.
    let separators = usual_width(&rows).saturating_sub(1);
    let odd = if text.contains('"') { marks::odd(text, separator, separators) } else { Vec::new() };
    let ended = text.is_empty() || text.ends_with(['\n', '\r']);
    rows.written = Some(Written { separator, ended, last: rows.last_number(), odd });
    Ok(rows)
}

/// How many cells most of the first rows have.
fn usual_width(rows: &Rows) -> usize {
    let mut widths: Vec<usize> = rows.iter().take(1_000).map(Row::width).collect();
    widths.sort_unstable();
    let runs = widths.chunk_by(|a, b| a == b);
    runs.max_by_key(|run| run.len()).and_then(|run| run.first()).copied().unwrap_or_default()
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
struct Stretch {
    /// The rows, numbered from the start of the piece.
    rows: Rows,
    /// How many lines were read, to the end or to where something is wrong.
    lines: u32,
    outcome: Result<(), String>,
}

impl Stretch {
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
    let ends = text.iter().position(|byte| !matches!(byte, b'\r' | b'\n')).unwrap_or(text.len());
    let mut ends = &text[..ends];
    let mut lines = 0_u32;
    while !ends.is_empty() {
        ends = ends.strip_prefix(b"\r\n").unwrap_or(&ends[1..]);
        lines = lines.saturating_add(1);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parsed(text: &str) -> Rows {
        split(text, Path::new("Stock.csv"), b',').unwrap()
    }

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_numbers_them() {
        let numbers = |text: &str| parsed(text).iter().map(|row| row.number()).collect::<Vec<u32>>();
        assert_eq!(numbers("part,qty\n\n1,\"two\nlines\"\n\r\n\n2,x\r\n3,y"), [1, 3, 6, 7]);
        assert_eq!(numbers("part,qty\r\r1,2\r\r\r2,x"), [1, 3, 6]);
    }

    #[test]
    fn a_long_text_in_pieces_has_the_rows_of_one_in_one_piece() {
        let line = |i: usize| format!("{i},{}\n{}", "x".repeat(i % 7), "\r\n\n".repeat(i % 3));
        let plain: String = (0..200_000).map(line).collect();
        let quoted = format!("{plain}\"\",");
        assert!(plain.len() > SHORT && pieces(&quoted).len() == 1);
        let read = |text: &str| {
            let numbered = |row: Row<'_>| (row.number(), row.cells().map(str::to_owned).collect::<Vec<String>>());
            parsed(text).iter().map(numbered).collect::<Vec<_>>()
        };
        let (pieces, mut whole) = (read(&plain), read(&quoted));
        whole.pop();
        assert!(pieces == whole && pieces.len() == 200_000);
    }

    #[test]
    fn letters_are_told_by_their_mark_or_by_the_manifest() {
        let text = "part,größe\nm²,ß\n";
        let wide = |order: fn(u16) -> [u8; 2]| text.encode_utf16().flat_map(order).collect::<Vec<u8>>();
        let marked = |mark: &[u8], bytes: Vec<u8>| [mark.to_vec(), bytes].concat();
        let (little, big) = (wide(u16::to_le_bytes), wide(u16::to_be_bytes));
        let read = |bytes: &[u8], letters| of_file(bytes, letters, Path::new("x")).map(|text| text.text.into_owned());
        for (bytes, letters) in [
            (marked(b"\xff\xfe", little.clone()), Letters::Utf8),
            (marked(b"\xfe\xff", big.clone()), Letters::Windows1252),
            (little.clone(), Letters::Utf16),
            (big, Letters::Utf16),
            (marked(b"\xef\xbb\xbf", text.as_bytes().to_vec()), Letters::Windows1252),
            (text.as_bytes().to_vec(), Letters::Utf8),
        ] {
            assert_eq!(read(&bytes, letters).unwrap(), text);
        }
        assert_eq!(read(b"gr\xf6\xdfe", Letters::Windows1252).unwrap(), "größe");
        assert!(read(&little, Letters::Utf8).is_err());
    }
}
