//! What `lineward check --read` prints: how each table of a book was read, so that nothing is taken on trust.

use crate::book::{Book, RawTable, Table};
use std::fmt::Write;

/// So much of a cell is shown.
const LETTERS: usize = 40;

/// How the tables of a book were read, in the order of the contract.
pub fn told(book: &Book) -> String {
    let mut text = String::new();
    for raw in Table::all().filter_map(|spec| book.table(spec.table)) {
        text += &of_table(raw);
    }
    let missing: Vec<&str> =
        Table::all().filter(|spec| book.table(spec.table).is_none()).map(|spec| spec.name).collect();
    if !missing.is_empty() {
        let _ = writeln!(text, "not in the book: {}", missing.join(", "));
    }
    text + "\n"
}

fn of_table(raw: &RawTable) -> String {
    let (shape, reading) = (&raw.shape, &raw.reading);
    let mut text = format!("{}: {}", shape.spec.name, shape.place(0, ""));
    if let Some(written) = &raw.rows.written {
        let separator =
            if written.separator == b'\t' { "tab".to_owned() } else { char::from(written.separator).to_string() };
        let _ = write!(text, ", cells separated by {separator}");
    }
    // Writing to a string can't fail.
    let _ = match (shape.heading_row, raw.rows.first(), raw.rows.last_number()) {
        (0, ..) => writeln!(text, ", nothing stands there"),
        (head, Some(first), Some(last)) => {
            let rows = if raw.rows.len() == 1 { "1 row".to_owned() } else { format!("{} rows", raw.rows.len()) };
            writeln!(text, ", headings in row {head}, {rows} from row {} to {last}", first.number())
        }
        (head, ..) if reading.unreadable => {
            writeln!(text, ", headings in row {head}, of which some are missing: no row is read")
        }
        (head, ..) => writeln!(text, ", headings in row {head}, no rows"),
    };
    if let Some(cells) = raw.clean_rows().next() {
        let filled =
            shape.spec.columns().zip(cells.iter().map(ToString::to_string)).filter(|(_, cell)| !cell.is_empty());
        let first: Vec<String> = filled.map(|(column, cell)| format!("{column} = {}", short(&cell))).collect();
        let _ = writeln!(text, "  first row: {}", first.join(", "));
    }
    let renamed = shape.spec.columns().zip(&shape.columns).filter_map(|(column, place)| {
        let (_, heading) = place.as_ref()?;
        (!heading.eq_ignore_ascii_case(column)).then(|| format!("{column} from '{heading}'"))
    });
    let renamed: Vec<String> = renamed.collect();
    if !renamed.is_empty() {
        let _ = writeln!(text, "  columns: {}", renamed.join(", "));
    }
    let left_out: Vec<String> = reading.left_out.iter().map(|(why, count)| format!("{count} {why}")).collect();
    if !left_out.is_empty() {
        let _ = writeln!(text, "  rows left out: {}", left_out.join("; "));
    }
    if !reading.ignored.is_empty() {
        let _ = writeln!(text, "  columns ignored: {}", reading.ignored.join(", "));
    }
    text
}

fn short(cell: &str) -> String {
    match cell.char_indices().nth(LETTERS) {
        Some((end, _)) => format!("{}…", &cell[..end]),
        None => cell.to_owned(),
    }
}
