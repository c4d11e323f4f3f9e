//! The sheet model as an `.xlsx` workbook; the one folder that knows the spreadsheet writer.

mod alike;
mod fill;
mod formats;
mod parts;
mod texts;

pub use alike::made_alike;

use super::sheet::{Paper, Sheet, Style, Workbook};
use crate::book::quiet;
use foldhash::fast::FixedState;
use formats::format;
use itertools::Itertools;
use rayon::prelude::*;
use rust_xlsxwriter as xl;
use std::collections::HashSet;
use std::path::Path;
use texts::{OF_A_FOOT, OF_A_TITLE, in_margin, lettered};

const FONT: &str = "Arial";
const SIZE: u32 = 10;
/// A row and a column of that font, as a spreadsheet program makes them.
const ROW_PIXELS: u32 = 17;
const COLUMN_PIXELS: u32 = 64;

/// How hard files are packed, from 1 to 9: packing costs as much time as all else, and harder saves little.
const PACKING: u8 = 1;

/// Sheets with more rows than these are streamed: their rows are put away as they come, in a file that has no name.
const LONG: usize = 200;

/// How many sheets of a workbook are streamed at most: some systems let a program have no more than 256 files open.
const MOST_STREAMED: usize = 60;

/// The bytes of a workbook, as [`to_xlsx_in`] makes them, with the system's folder for temporary files for room.
///
/// # Errors
/// Where the spreadsheet writer refuses a name or a range, or there is no room.
pub fn to_xlsx(workbook: &Workbook<'_>) -> Result<Vec<u8>, String> {
    to_xlsx_in(workbook, &std::env::temp_dir())
}

/// The bytes of a workbook; the same model gives the same bytes. What is too long for memory is put away in a folder with room
/// for it, in files without a name.
///
/// # Errors
/// Where the spreadsheet writer refuses a name or a range, or there is no room.
pub fn to_xlsx_in(workbook: &Workbook<'_>, room: &Path) -> Result<Vec<u8>, String> {
    Filled::of(workbook, room)?.bytes()
}

/// A workbook whose sheets are filled, which takes all hands there are; it is packed by one alone.
pub struct Filled(xl::Workbook);

impl Filled {
    /// Fills the sheets; what is too long for memory is put away in a folder with room for it.
    ///
    /// # Errors
    /// As those of [`to_xlsx_in`].
    pub fn of(workbook: &Workbook<'_>, room: &Path) -> Result<Self, String> {
        unharmed(|| filled(workbook, room)).map(Self)
    }

    /// The bytes of the file.
    ///
    /// # Errors
    /// Where there is no room.
    pub fn bytes(mut self) -> Result<Vec<u8>, String> {
        unharmed(|| self.0.save_to_buffer().map(made_alike))
    }
}

/// The spreadsheet writer gives up where a file can't be written; that is told as any other reason.
fn unharmed<T>(work: impl FnOnce() -> Result<T, xl::XlsxError>) -> Result<T, String> {
    quiet(work).and_then(|outcome| outcome.map_err(|why| why.to_string()))
}

fn filled(workbook: &Workbook<'_>, room: &Path) -> Result<xl::Workbook, xl::XlsxError> {
    let mut book = xl::Workbook::new();
    book.set_tempdir(room)?;
    book.set_zip_compression_level(PACKING);
    // A fixed time: two runs give the same file.
    let made = xl::ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&xl::DocProperties::new().set_title(lettered(&workbook.title)).set_creation_datetime(&made));
    // Column widths count in digits of the default font: the sheets' own, which every program has or has the like of.
    book.set_default_format(&plain(), ROW_PIXELS, COLUMN_PIXELS)?;
    let mut room = MOST_STREAMED;
    let streamed = workbook.sheets.iter().map(|sheet| add_page(&mut book, sheet, &mut room));
    let streamed = streamed.collect::<Result<Vec<bool>, _>>()?;
    let long = workbook.sheets.iter().zip(&streamed).filter(|(_, streamed)| **streamed);
    register(&mut book, &long.map(|(sheet, _)| sheet).collect_vec());
    let pages = book.worksheets_mut().par_iter_mut().zip(&workbook.sheets).zip(streamed);
    // Each on its own thread, where it may give up.
    let made = |((page, sheet), streamed)| unharmed(|| make(page, workbook, sheet, streamed));
    pages.try_for_each(made).map_err(|why| xl::XlsxError::IoError(std::io::Error::other(why)))?;
    Ok(book)
}

/// How a sheet looks where nothing is said.
fn plain() -> xl::Format {
    xl::Format::new().set_font_name(FONT).set_font_size(SIZE)
}

/// Adds the page of a sheet; whether it is streamed, for which there is room a few times. Pictures and links need all their
/// cells at once.
fn add_page(book: &mut xl::Workbook, sheet: &Sheet<'_>, room: &mut usize) -> Result<bool, xl::XlsxError> {
    let long = sheet.rows.len() > LONG && sheet.charts.is_empty() && sheet.links.is_empty();
    let streamed = long && *room > 0;
    if streamed {
        book.add_worksheet_with_constant_memory()?;
        *room -= 1;
    } else {
        book.add_worksheet();
    }
    Ok(streamed)
}

/// Tells the book the formats of streamed sheets, in an order that does not depend on which of them is filled first.
fn register(book: &mut xl::Workbook, sheets: &[&Sheet<'_>]) {
    let cells = |sheet: &&Sheet<'_>| {
        let cells = sheet.rows.iter().flat_map(|row| &row.cells);
        cells
            .flat_map(|cell| cell.places(sheet.spans(cell)))
            .map(|(_, style)| style)
            .collect::<HashSet<Style, FixedState>>()
    };
    let styles: Vec<HashSet<Style, FixedState>> = sheets.par_iter().map(cells).collect();
    styles.into_iter().flatten().sorted().dedup().for_each(|style| book.register_format(&format(style)));
}

fn make(
    page: &mut xl::Worksheet,
    workbook: &Workbook<'_>,
    sheet: &Sheet<'_>,
    streamed: bool,
) -> Result<(), xl::XlsxError> {
    page.set_name(lettered(&sheet.name))?;
    set_up_page(page, workbook, sheet)?;
    fill::fill(page, sheet, streamed)?;
    parts::add_links(page, sheet)?;
    parts::add_pictures(page, sheet)
}

fn set_up_page(page: &mut xl::Worksheet, workbook: &Workbook<'_>, sheet: &Sheet<'_>) -> Result<(), xl::XlsxError> {
    for (i, width) in sheet.widths.iter().enumerate() {
        page.set_column_width(i as u16, *width)?;
    }
    page.set_landscape().set_paper_size(9).set_margins(0.4, 0.4, 0.6, 0.6, 0.3, 0.3);
    page.set_header(format!("&L{}&R{}", in_margin(&workbook.title, OF_A_TITLE), in_margin(&sheet.name, OF_A_TITLE)));
    page.set_footer(format!("&L{}&Rpage &P of &N", in_margin(&workbook.foot, OF_A_FOOT)));
    match sheet.paper {
        Paper::FitWidth => page.set_print_fit_to_pages(1, 0),
        Paper::OnePage => page.set_print_fit_to_pages(1, 1),
        Paper::Scale(percent) => page.set_print_scale(percent),
    };
    if let Some((first, last)) = sheet.repeat {
        page.set_repeat_rows(first, last)?;
    }
    if sheet.freeze.is_some() || sheet.freeze_columns > 0 {
        page.set_freeze_panes(sheet.freeze.unwrap_or(0), sheet.freeze_columns)?;
    }
    if !sheet.breaks.is_empty() {
        page.set_page_breaks(&sheet.breaks)?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::sheet::{Cell, Look, Show};
    use super::*;
    use crate::report::table::Value;
    use std::collections::BTreeMap;
    use std::io::Read;

    /// A sheet of many rows: a table, then rows that look this way and that, some of them empty, and a gap at the end.
    fn long() -> Sheet<'static> {
        let mut sheet = Sheet::new("long", &[10, 10, 10]);
        let columns = [("text", Show::Text), ("number", Show::Quantity), ("done", Show::Box)];
        let columns = columns.map(|(heading, show)| (heading.to_owned(), show));
        let look = |i: usize| [Look::Plain, Look::Plain, Look::Wrong, Look::Plain, Look::Strong, Look::Strong][i % 6];
        let value = |i: usize| if i.is_multiple_of(7) { Value::Blank } else { Value::from(i as i64) };
        let lines = (0..LONG).map(|i| (look(i), vec!["x".into(), value(i), "".into()])).collect();
        sheet.table_headed(Some("numbers".to_owned()), &columns, lines);
        for i in 0..LONG {
            let second = Cell::new(1 + (i % 2) as u16, value(i), Show::Whole, look(i / 3));
            sheet.row(Some(20), vec![Cell::new(0, "y", Show::Text, look(i / 2)).ruled(), second]);
            if i.is_multiple_of(5) {
                sheet.gap();
            }
        }
        for _ in 0..4 {
            let last = [Cell::new(0, "last", Show::Text, look(2)), Cell::new(1, 1, Show::Whole, look(2))];
            sheet.row(None, last.to_vec());
        }
        sheet.gap();
        sheet
    }

    /// The number of the format of each cell in the file of a sheet.
    fn formats_of(sheet: Sheet<'_>) -> BTreeMap<String, String> {
        let book = Workbook { file: "x.xlsx", title: String::new(), foot: String::new(), sheets: vec![sheet] };
        let bytes = to_xlsx(&book).expect("a workbook");
        let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).expect("an archive");
        let mut text = String::new();
        archive.by_name("xl/worksheets/sheet1.xml").expect("a sheet").read_to_string(&mut text).expect("text");
        let cells = text.split("<c r=\"").skip(1).map(|cell| {
            let (name, rest) = cell.split_once('"').expect("a name");
            let format = rest.strip_prefix(" s=\"").and_then(|rest| rest.split_once('"'));
            (name.to_owned(), format.map(|(format, _)| format.to_owned()).unwrap_or_default())
        });
        cells.collect()
    }

    #[test]
    fn a_streamed_sheet_looks_as_one_that_is_held_in_memory() {
        let mut held = long();
        held.links.push((1, 2, "nowhere".to_owned()));
        let (streamed, held) = (formats_of(long()), formats_of(held));
        assert!(streamed.len() > 4 * LONG && streamed.keys().eq(held.keys()));
        // The numbers themselves may differ: each must stand for the same one throughout.
        let (mut there, mut back) = (BTreeMap::new(), BTreeMap::new());
        for (name, one) in &streamed {
            let other = &held[name];
            assert_eq!(there.entry(one).or_insert(other), &other, "{name}");
            assert_eq!(back.entry(other).or_insert(one), &one, "{name}");
        }
        assert!(there.len() > 8);
    }
}
