//! Tables as CSV with the line ends of RFC 4180, row by row.

use super::table::{Table, Value};
use super::tables::Rows;
use std::io::Write;

/// A table on its way to a file.
pub struct Lines<W: Write> {
    writer: csv::Writer<W>,
    text: String,
}

impl<W: Write> Lines<W> {
    /// With its headings.
    pub fn new(table: &Table, out: W) -> std::io::Result<Self> {
        let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(out);
        writer.write_record(table.columns.iter().map(|(name, _)| name))?;
        Ok(Self { writer, text: String::new() })
    }
}

impl<W: Write> Rows for Lines<W> {
    fn push(&mut self, row: &[Value<'_>]) -> std::io::Result<()> {
        for value in row {
            self.text.clear();
            self.writer.write_field(as_text(value, &mut self.text))?;
        }
        Ok(self.writer.write_record(None::<&[u8]>)?)
    }

    fn finish(&mut self) -> std::io::Result<()> {
        self.writer.flush()
    }
}

/// A value as text: times as `YYYY-MM-DDTHH:MM:SS`, quantities as plain decimals.
fn as_text<'a>(value: &'a Value<'_>, buffer: &'a mut String) -> &'a str {
    use std::fmt::Write as _;
    let written = match value {
        Value::Blank => return "",
        Value::Text(text) => return text,
        Value::Quantity(quantity) => write!(buffer, "{quantity}"),
        Value::Moment(moment) => write!(buffer, "{moment}"),
        Value::Date(date) => write!(buffer, "{date}"),
        Value::Whole(number) => write!(buffer, "{number}"),
    };
    // Writing to a string can't fail.
    written.map_or("", |()| buffer.as_str())
}
