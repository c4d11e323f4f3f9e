//! A book written out: blank, to be filled in, or the whole of one that was read, in clean form.

use crate::base::Moment;
use crate::book::{Book, Clean, Holds, Table, TableSpec};
use crate::report::page::xlsx::made_alike;
use rust_xlsxwriter as xl;

/// How many rows below the headings get drop-downs.
const ROWS: u32 = 5_000;

/// What a book's own text is never cut for.
const TOO_LONG: &str =
    "its text is longer than a cell of a workbook may be (32,767 letters); a folder of CSV files can hold it";

/// The texts of a folder of CSV files: name and text, one for each table; of a book that was read, only those it has.
///
/// # Errors
/// Where the CSV writer fails.
pub fn to_texts(from: Option<&Book>) -> std::io::Result<Vec<(String, Vec<u8>)>> {
    let tables = Table::all().filter(|spec| from.is_none_or(|book| book.table(spec.table).is_some()));
    tables.map(|spec| Ok((format!("{}.csv", spec.name), to_text(spec, from)?))).collect()
}

fn to_text(spec: &TableSpec, from: Option<&Book>) -> std::io::Result<Vec<u8>> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(spec.columns())?;
    for row in from.and_then(|book| book.table(spec.table)).into_iter().flat_map(|table| table.clean_rows()) {
        writer.write_record(row.iter().map(ToString::to_string))?;
    }
    writer.into_inner().map_err(|why| std::io::Error::other(why.to_string()))
}

/// A workbook with a sheet for each table: a note on each heading, a drop-down where a column takes one of a few words.
///
/// # Errors
/// Where the spreadsheet writer refuses something; the cell comes with it.
pub fn to_workbook(from: Option<&Book>) -> Result<Vec<u8>, String> {
    let mut at = String::new();
    filled(from, &mut at).map_err(|why| match why {
        xl::XlsxError::MaxStringLengthExceeded => format!("{at}{TOO_LONG}"),
        why => format!("{at}{why}"),
    })
}

/// Fills it; where that ends at a cell of the book, the cell is noted.
fn filled(from: Option<&Book>, place: &mut String) -> Result<Vec<u8>, xl::XlsxError> {
    let mut workbook = xl::Workbook::new();
    let made = xl::ExcelDateTime::from_ymd(2000, 1, 1)?;
    workbook.set_properties(&xl::DocProperties::new().set_title("Book").set_creation_datetime(&made));
    let formats = Formats::new();
    for spec in Table::all() {
        let sheet = workbook.add_worksheet().set_name(spec.name)?;
        sheet.set_freeze_panes(1, 0)?;
        for (at, column) in (0..).zip(spec.all) {
            let heading = if column.needed { &formats.needed } else { &formats.may };
            sheet.write_string_with_format(0, at, column.name, heading)?;
            sheet.insert_note(0, at, &xl::Note::new(note(spec, at)).set_author("").add_author_prefix(false))?;
            sheet.set_column_width(at, u32::try_from((column.name.len() + 4).max(12)).map_or(255.0, f64::from))?;
            if let Some(format) = formats.of(column.holds) {
                sheet.set_column_format(at, format)?;
            }
            if let Holds::Words(words) = column.holds {
                let list = xl::DataValidation::new().allow_list_strings(words)?;
                sheet.add_data_validation(1, at, ROWS, at, &list)?;
            }
        }
        let rows = from.and_then(|book| book.table(spec.table)).into_iter().flat_map(|table| table.clean_rows());
        for (row, cells) in (1..).zip(rows) {
            for (at, cell) in (0..).zip(&cells) {
                if let Err(why) = write(sheet, &formats, row, at, cell) {
                    *place = format!(
                        "{}, row {row} below the headings, column {}: ",
                        spec.name,
                        spec.all[usize::from(at)].name
                    );
                    return Err(why);
                }
            }
        }
    }
    workbook.save_to_buffer().map(made_alike)
}

fn note(spec: &TableSpec, at: u16) -> String {
    let column = &spec.all[usize::from(at)];
    let needed = if column.needed { "Needed. " } else { "" };
    let table = if at == 0 { format!("{}: {}\n", spec.name, spec.about) } else { String::new() };
    format!("{table}{needed}{}", column.about)
}

/// The formats of a book's cells.
struct Formats {
    needed: xl::Format,
    may: xl::Format,
    text: xl::Format,
    date: xl::Format,
    moment: xl::Format,
    time: xl::Format,
}

impl Formats {
    fn new() -> Self {
        let heading = xl::Format::new().set_border_bottom(xl::FormatBorder::Thin);
        Self {
            needed: heading.clone().set_bold(),
            may: heading.set_italic(),
            text: xl::Format::new().set_num_format("@"),
            date: xl::Format::new().set_num_format("yyyy-mm-dd"),
            moment: xl::Format::new().set_num_format("yyyy-mm-dd hh:mm"),
            time: xl::Format::new().set_num_format("hh:mm"),
        }
    }

    /// The format of a whole column. Codes are text, so that a spreadsheet program keeps their zeros and makes no dates of them.
    fn of(&self, holds: Holds) -> Option<&xl::Format> {
        match holds {
            Holds::Text | Holds::Words(_) => Some(&self.text),
            Holds::Date => Some(&self.date),
            Holds::Moment => Some(&self.moment),
            Holds::Time => Some(&self.time),
            Holds::Number => None,
        }
    }
}

fn write(sheet: &mut xl::Worksheet, formats: &Formats, row: u32, at: u16, cell: &Clean) -> Result<(), xl::XlsxError> {
    match cell {
        Clean::Blank => return Ok(()),
        Clean::Text(text) => sheet.write_string_with_format(row, at, text, &formats.text)?,
        // A spreadsheet keeps 15 digits; more stay text, which is read as exactly.
        Clean::Number(text) => match text.parse::<f64>() {
            Ok(number) if text.bytes().filter(u8::is_ascii_digit).count() <= 15 => {
                sheet.write_number(row, at, number)?
            }
            _ => sheet.write_string(row, at, text)?,
        },
        Clean::Date(date) => sheet.write_datetime_with_format(row, at, date.to_chrono(), &formats.date)?,
        // In a spreadsheet midnight is the date alone, which may mean another time: as text it stays midnight.
        Clean::Moment(moment) if *moment == moment.date().midnight() => {
            sheet.write_string_with_format(row, at, cell.to_string(), &formats.text)?
        }
        Clean::Moment(moment) => sheet.write_datetime_with_format(row, at, moment.to_chrono(), &formats.moment)?,
        Clean::Time(86_400) => sheet.write_string(row, at, "24:00")?,
        Clean::Time(seconds) => {
            let time = Moment::from_seconds(*seconds).to_chrono().time();
            sheet.write_datetime_with_format(row, at, time, &formats.time)?
        }
    };
    Ok(())
}
