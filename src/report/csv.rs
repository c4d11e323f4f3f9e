//! Tables as CSV with the line ends of RFC 4180, row by row.

use super::table::{Table, Value};
use crate::plan::Plan;
use std::io::Write;

/// Writes a table with its headings.
///
/// # Errors
/// Where the writer fails.
pub fn to_csv(table: &Table, plan: &Plan<'_>, out: &mut dyn Write) -> std::io::Result<()> {
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(out);
    writer.write_record(table.columns.iter().map(|(name, _)| name))?;
    let mut outcome = Ok(());
    let mut text = String::new();
    table.each_row(plan, &mut |row| {
        for value in row {
            if outcome.is_ok() {
                text.clear();
                outcome = writer.write_field(as_text(value, &mut text));
            }
        }
        if outcome.is_ok() {
            outcome = writer.write_record(None::<&[u8]>);
        }
    });
    outcome?;
    writer.flush()
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
