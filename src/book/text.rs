//! Comma- and tab-separated text as rows, numbered as a spreadsheet would number them.

use super::raw::RawRow;
use super::spec::TableSpec;
use super::{ReadError, file_name};
use crate::base::{Finding, Findings, Kind, Level, Place};
use csv::{ByteRecord, ReaderBuilder, StringRecord};
use std::path::Path;

static NOT_UTF_8: Kind = Kind {
    name: "not-utf-8",
    level: Level::Error,
    about: "A text file is not in UTF-8, so letters beyond plain English would be misread. Save it again as 'CSV UTF-8'.",
};

/// The rows of a text file.
#[expect(clippy::disallowed_methods, reason = "reading a file of the book is this file's job")]
pub fn rows(path: &Path, separator: u8, spec: &TableSpec, findings: &mut Findings) -> Result<Vec<RawRow>, ReadError> {
    let bytes = std::fs::read(path).map_err(|why| ReadError::new(path, why))?;
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(&bytes);
    let mut reader = ReaderBuilder::new().delimiter(separator).has_headers(false).flexible(true).from_reader(bytes);
    let mut rows = Vec::new();
    let mut record = ByteRecord::new();
    let mut numbers = RowNumbers::default();
    let mut spoiled = None;
    while reader.read_byte_record(&mut record).map_err(|why| ReadError::new(path, why))? {
        let number = numbers.next(&record);
        let cells = StringRecord::from_byte_record(record.clone()).unwrap_or_else(|_| {
            spoiled.get_or_insert(number);
            StringRecord::from_byte_record_lossy(record.clone())
        });
        rows.push(RawRow { number, cells });
    }
    if let Some(row) = spoiled {
        let place = Place { table: spec.name, file: file_name(path), row, ..Place::default() };
        let message = "the text from this row on is not all UTF-8; save the file as UTF-8";
        findings.add(Finding::new(&NOT_UTF_8, place, "", message));
    }
    Ok(rows)
}

/// Turns line numbers into row numbers: the parser skips empty lines, and a quoted cell may hold several lines.
#[derive(Default)]
struct RowNumbers {
    row: u32,
    line: u64,
}

impl RowNumbers {
    fn next(&mut self, record: &ByteRecord) -> u32 {
        let line = record.position().map_or(self.line + 1, csv::Position::line);
        let skipped = line.saturating_sub(self.line + 1);
        let within: usize = record.iter().map(|cell| cell.iter().filter(|byte| **byte == b'\n').count()).sum();
        self.row = self.row.saturating_add(u32::try_from(skipped).unwrap_or(u32::MAX)).saturating_add(1);
        self.line = line + within as u64;
        self.row
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_numbered_as_a_spreadsheet_numbers_them() {
        let text = "a,b\n\n1,\"two\nlines\"\n\n\n2,x\r\n3,y";
        let mut reader = ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
        let mut numbers = RowNumbers::default();
        let mut record = ByteRecord::new();
        let mut found = Vec::new();
        while reader.read_byte_record(&mut record).unwrap() {
            found.push(numbers.next(&record));
        }
        assert_eq!(found, [1, 3, 6, 7]);
    }
}
