//! A sound text file as rows of cells, each with where it stands in the text, and the ways to damage it.

use std::ops::Range;

/// How the letters of a file are kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Letters {
    Utf8,
    Windows1252,
    /// With a byte order mark, the low byte first.
    Utf16,
}

impl Letters {
    pub fn decoded(self, bytes: &[u8]) -> String {
        let (text, encoding, _) = match self {
            Self::Utf8 => encoding_rs::UTF_8.decode(bytes),
            Self::Windows1252 => encoding_rs::WINDOWS_1252.decode(bytes),
            Self::Utf16 => encoding_rs::UTF_16LE.decode(bytes),
        };
        assert!(!text.contains('\u{fffd}'), "{encoding:?}");
        text.into_owned()
    }

    pub fn encoded(self, text: &str) -> Vec<u8> {
        match self {
            Self::Utf8 => text.as_bytes().to_vec(),
            Self::Windows1252 => encoding_rs::WINDOWS_1252.encode(text).0.into_owned(),
            Self::Utf16 => [0xFF, 0xFE].into_iter().chain(text.encode_utf16().flat_map(u16::to_le_bytes)).collect(),
        }
    }
}

/// A row of a text.
#[derive(Debug)]
pub struct Line {
    /// The row as a spreadsheet numbers it.
    pub number: u32,
    /// Where it stands, without its line end.
    pub span: Range<usize>,
    /// Where the row behind it begins.
    pub next: usize,
    /// Where its cells stand, quotation marks and all.
    pub cells: Vec<Range<usize>>,
}

/// A text in rows; none of its cells holds a line end.
#[derive(Debug)]
pub struct Text {
    pub text: String,
    pub separator: char,
    pub lines: Vec<Line>,
}

impl Text {
    pub fn new(text: String, separator: char) -> Self {
        let (mut lines, mut from) = (Vec::new(), 0);
        for (i, whole) in text.split_inclusive('\n').enumerate() {
            let line = whole.trim_end_matches(['\r', '\n']);
            let (mut cells, mut start, mut quoted) = (Vec::new(), from, false);
            for (at, sign) in line.char_indices() {
                quoted ^= sign == '"';
                if sign == separator && !quoted {
                    cells.push(start..from + at);
                    start = from + at + sign.len_utf8();
                }
            }
            assert!(!quoted, "{line}");
            cells.push(start..from + line.len());
            let number = u32::try_from(i + 1).expect("a row");
            lines.push(Line { number, span: from..from + line.len(), next: from + whole.len(), cells });
            from += whole.len();
        }
        Self { text, separator, lines }
    }

    /// The text of a cell, without quotation marks.
    pub fn cell(&self, line: usize, cell: usize) -> String {
        let text = &self.text[self.lines[line].cells[cell].clone()];
        let inside = text.strip_prefix('"').and_then(|text| text.strip_suffix('"'));
        inside.map_or_else(|| text.to_owned(), |text| text.replace("\"\"", "\""))
    }

    /// The text with something else in place of a piece.
    pub fn put(&self, piece: Range<usize>, with: &str) -> String {
        let mut text = self.text.clone();
        text.replace_range(piece, with);
        text
    }

    /// The text with something put in.
    pub fn insert(&self, at: usize, with: &str) -> String {
        self.put(at..at, with)
    }

    /// A row with its line end.
    pub fn whole(&self, line: usize) -> &str {
        &self.text[self.lines[line].span.start..self.lines[line].next]
    }

    /// The cells of a row with something between them.
    pub fn joined(&self, line: usize, between: &str) -> String {
        let cells: Vec<&str> = self.lines[line].cells.iter().map(|cell| &self.text[cell.clone()]).collect();
        cells.join(between)
    }
}
