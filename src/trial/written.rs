//! An edit in words, of a row that somebody has chosen: the words by which it is found again, and nothing else.

use super::change::{Index, named};
use super::edits::{Act, Edit, parse};
use crate::book::{RawTable, TableSpec};

/// A word of an edit, in quotes where it must be. What holds both kinds of quotes can't be said.
pub fn word(code: &str) -> String {
    let plain = !code.is_empty() && code.chars().all(|sign| sign.is_alphanumeric() || "-_./".contains(sign));
    let quote = if code.contains('"') { '\'' } else { '"' };
    if plain && !["all", "row"].contains(&code) { code.to_owned() } else { format!("{quote}{code}{quote}") }
}

/// An edit of one row: another value for a column, or without one that the row is left out. The row stands in it by as many of its codes
/// as name it alone, else by its number.
///
/// `None` where there is no such row, or no words for the value.
pub fn written(table: &RawTable, number: u32, set: Option<(usize, &str)>) -> Option<Edit> {
    let (spec, row) = (table.shape.spec, table.rows.numbered(number)?);
    let mut codes = String::new();
    let by_codes = spec.keys().into_iter().map(|key| {
        codes += &format!(" {}", word(table.cell(row, key)));
        codes.clone()
    });
    let rows: Vec<String> = by_codes.chain([format!(" row {number}")]).collect();
    let (act, values) = match set {
        Some((column, value)) => {
            let quoted = ['"', '\''].map(|quote| format!("{quote}{value}{quote}"));
            let values = std::iter::once(value.to_owned()).chain(quoted);
            (Act::Set, values.map(|value| format!(" {}={value}", spec.all[column].name)).collect())
        }
        None => (Act::Drop, vec![String::new()]),
    };
    let index = Index::of(table);
    let cells: Vec<(usize, String)> = set.into_iter().map(|(column, value)| (column, value.to_owned())).collect();
    let says = |text: String| {
        let edit = parse(act, &text).ok().filter(|_| !text.contains(char::is_control))?;
        let meant =
            edit.table == spec && edit.cells == cells && named(table, &edit, &index).as_deref() == Ok(&[number]);
        meant.then_some(edit)
    };
    rows.iter().flat_map(|row| values.iter().map(move |value| format!("{}{row}{value}", spec.name))).find_map(says)
}

/// An edit that adds a row with some values by their columns.
///
/// `None` where there are no words for one of them, or there is none.
pub fn added(spec: &'static TableSpec, cells: &[(usize, &str)]) -> Option<Edit> {
    let said = |value: &str| {
        let plain = !value.contains([',', '=', '"', '\'']);
        if plain { value.to_owned() } else { word(value) }
    };
    let values = cells.iter().map(|(column, value)| format!("{}={}", spec.all[*column].name, said(value)));
    let text = format!("{} {}", spec.name, values.collect::<Vec<_>>().join(", "));
    let edit = parse(Act::Add, &text).ok().filter(|_| !text.contains(char::is_control))?;
    let same = edit.cells.iter().map(|(column, value)| (*column, value.as_str())).eq(cells.iter().copied());
    (same && !cells.is_empty()).then_some(edit)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::book::{Table, from_texts};

    fn in_words(rows: &str, number: u32, set: Option<(&str, &str)>) -> Option<String> {
        let book = from_texts("b", [("Receipts", format!("purchase order,part,due,qty,supplier\n{rows}").as_str())]);
        let book = book.expect("a book");
        let table = book.table(Table::Receipts).expect("a table");
        let column = |name| Table::Receipts.spec().columns().position(|column| column == name).expect("a column");
        written(table, number, set.map(|(name, value)| (column(name), value))).map(|edit| edit.text)
    }

    #[test]
    fn a_row_is_named_by_no_more_codes_than_it_needs() {
        let rows =
            "8001,WN-20,2027-09-20,4,Reedmace\n8001,RA-13,2027-09-20,4,Reedmace\n8002,WN-20,2027-09-20,4,Reedmace\n";
        assert_eq!(in_words(rows, 4, Some(("qty", "5"))).as_deref(), Some("Receipts 8002 qty=5"));
        assert_eq!(in_words(rows, 3, Some(("due", ""))).as_deref(), Some("Receipts 8001 RA-13 due="));
        assert_eq!(in_words(rows, 2, None).as_deref(), Some("Receipts 8001 WN-20"));
        assert_eq!(in_words(rows, 9, None), None);
    }

    #[test]
    fn what_has_no_codes_of_its_own_is_named_by_its_number() {
        let rows = "8001,WN-20,2027-09-20,4,\n8001,WN-20,2027-09-20,6,\n";
        assert_eq!(in_words(rows, 3, Some(("qty", "5"))).as_deref(), Some("Receipts row 3 qty=5"));
        // Codes that read as other words, or hold signs of their own.
        let rows = "all,WN-20,2027-09-20,4,\n\"A, due=1\",WN-20,2027-09-20,4,\nit's \"so\",WN-20,2027-09-20,4,\n8001,purchase,,4,\n";
        assert_eq!(in_words(rows, 2, None).as_deref(), Some("Receipts \"all\""));
        assert_eq!(in_words(rows, 3, None).as_deref(), Some("Receipts \"A, due=1\""));
        assert_eq!(in_words(rows, 4, None).as_deref(), Some("Receipts row 4"));
    }

    #[test]
    fn a_value_comes_back_as_it_was() {
        let rows = "8001,WN-20,2027-09-20,4,\n";
        for (value, words) in [
            ("Sedge, Rush", "Sedge, Rush"),
            ("a, qty=9", "\"a, qty=9\""),
            ("36\" wide", "36\" wide"),
            ("\"so\"", "'\"so\"'"),
        ] {
            let told = in_words(rows, 2, Some(("supplier", value)));
            assert_eq!(told, Some(format!("Receipts 8001 supplier={words}")), "{value}");
        }
        assert_eq!(in_words(rows, 2, Some(("supplier", "two\nlines"))), None);
    }
}
