//! How much room the sheets of an `.ods` take when all that they repeat is written out; the reader makes room for it.

use super::ReadError;
use super::guard::{MOST_TEXT_BYTES, MOST_WHOLE_CELLS};
use quick_xml::events::{BytesStart, Event};
use std::io::BufRead;
use std::path::Path;

/// What is known of a sheet so far.
#[derive(Default)]
struct Sheet {
    /// Rows above, each as often as it is repeated.
    above: u64,
    /// The last row that holds something, and the widest.
    reaches: [u64; 2],
    /// The row being read: how often it is repeated, its cells up to the last that holds something, blank ones behind those.
    times: u64,
    width: u64,
    blank: u64,
}

/// Proves that the sheets of an `.ods` have a sensible size.
pub fn check(content: impl BufRead, path: &Path) -> Result<(), ReadError> {
    let damaged = |why: quick_xml::Error| ReadError::new(path, why);
    let mut reader = quick_xml::Reader::from_reader(content);
    let (mut sheet, mut bytes) = (Sheet::default(), Vec::new());
    // Cells and letters of all sheets; how often the letters of the cell being read are there.
    let (mut cells, mut letters, mut times) = (0_u64, 0_u64, 0_u64);
    loop {
        let event = reader.read_event_into(&mut bytes).map_err(damaged)?;
        let begun = matches!(event, Event::Start(_));
        match &event {
            Event::Eof => return Ok(()),
            Event::Start(tag) | Event::Empty(tag) => match tag.name().as_ref() {
                "table:table" => sheet = Sheet::default(),
                "table:table-row" => {
                    sheet.times = repeated(tag, "table:number-rows-repeated");
                    (sheet.width, sheet.blank) = (0, 0);
                    if !begun {
                        sheet.above = sheet.above.saturating_add(sheet.times);
                    }
                }
                "table:table-cell" | "table:covered-table-cell" => {
                    let columns = repeated(tag, "table:number-columns-repeated");
                    times = columns.saturating_mul(sheet.times);
                    sheet.blank = sheet.blank.saturating_add(columns);
                    // What is said of a value or a formula stands in the tag.
                    let said = |name: &str| tag.attributes().flatten().find(|said| said.key.as_ref().starts_with(name));
                    if begun || said("office:").is_some() {
                        sheet.width = sheet.width.saturating_add(std::mem::take(&mut sheet.blank));
                        let texts = [said("table:formula"), said("office:string-value")];
                        let long: usize = texts.iter().flatten().map(|said| said.value.len()).sum();
                        letters = letters.saturating_add((long as u64).saturating_mul(times));
                    }
                }
                _ => {}
            },
            Event::Text(text) => letters = letters.saturating_add((text.len() as u64).saturating_mul(times)),
            Event::End(tag) if tag.name().as_ref() == "table:table-row" => {
                sheet.above = sheet.above.saturating_add(sheet.times);
                if sheet.width > 0 {
                    sheet.reaches = [sheet.above, sheet.reaches[1].max(sheet.width)];
                }
                times = 0;
            }
            Event::End(tag) if tag.name().as_ref() == "table:table" => {
                cells = cells.saturating_add(sheet.reaches[0].saturating_mul(sheet.reaches[1]));
            }
            _ => {}
        }
        if cells.max(sheet.reaches[0].saturating_mul(sheet.reaches[1])) > MOST_WHOLE_CELLS as u64 {
            let why = format!("with all rows and columns that are repeated it has more than {MOST_WHOLE_CELLS} cells");
            return Err(ReadError::new(path, why));
        }
        if letters > MOST_TEXT_BYTES as u64 {
            let most = MOST_TEXT_BYTES / 1_000_000;
            return Err(ReadError::new(
                path,
                format!("its texts have more than {most} MB, each counted as often as it is repeated"),
            ));
        }
        bytes.clear();
    }
}

/// How often a row or a cell is there.
fn repeated(tag: &BytesStart<'_>, name: &str) -> u64 {
    let said = tag.attributes().flatten().find(|said| said.key.as_ref() == name);
    let number = said.and_then(|said| said.value.trim().parse().ok());
    number.unwrap_or(1)
}
