//! Comma- and tab-separated text as rows, numbered as a spreadsheet would number them.

use super::kinds::NOT_UTF_8;
use super::raw::RawRow;
use super::spec::TableSpec;
use super::{ReadError, file_name, guard};
use crate::base::{Finding, Findings, Place};
use csv::{ByteRecord, ReaderBuilder, StringRecord};
use std::path::Path;

/// The rows of a text file.
pub fn rows(path: &Path, separator: u8, spec: &TableSpec, findings: &mut Findings) -> Result<Vec<RawRow>, ReadError> {
    let bytes = guard::text(path)?;
    parse(&bytes, path, separator, spec, findings)
}

/// The rows of a text file in Windows-1252, in which every byte is a letter.
pub fn rows_1252(
    path: &Path,
    separator: u8,
    spec: &TableSpec,
    findings: &mut Findings,
) -> Result<Vec<RawRow>, ReadError> {
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
) -> Result<Vec<RawRow>, ReadError> {
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let mut reader = ReaderBuilder::new().delimiter(separator).has_headers(false).flexible(true).from_reader(bytes);
    let mut rows = Vec::new();
    let mut record = ByteRecord::new();
    let mut number = 0_u32;
    let mut from = 0;
    let mut spoiled = None;
    while reader.read_byte_record(&mut record).map_err(|why| ReadError::new(path, why))? {
        if record.as_slice().len() > guard::MOST_ROW_BYTES || record.len() > guard::MOST_COLUMNS as usize {
            let (row, most) = (number.saturating_add(1), guard::MOST_ROW_BYTES / 1_000_000);
            let why = format!(
                "about row {row}, a row is longer than {most} MB or {} cells; is a quotation mark not closed?",
                guard::MOST_COLUMNS
            );
            return Err(ReadError::new(path, why));
        }
        number = number.saturating_add(1).saturating_add(empty_lines(&bytes[from..]));
        from = usize::try_from(reader.position().byte()).unwrap_or(bytes.len()).min(bytes.len());
        // The parser stops between the two letters of a line end.
        from += usize::from(bytes[..from].ends_with(b"\r") && bytes[from..].starts_with(b"\n"));
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
        let numbers: Vec<u32> = rows.unwrap().iter().map(|row| row.number).collect();
        assert_eq!(numbers, [1, 3, 6, 7]);
    }
}
