//! What is expected past the sequence: chances that are not those of independent units, a sample of other units, changes that are or are
//! not reached, a number that is lost on the way from the balance to what is to be ordered, and a sheet that says less than it leaves out.

pub mod books;
mod by_hand;
mod demo;
mod spread;

/// The rows of the table `outlook` by heading.
pub type Row = std::collections::BTreeMap<String, String>;

/// A table's text as rows.
fn rows(text: &str) -> Vec<Row> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let headings = reader.headers().expect("headings").clone();
    let row =
        |record: csv::StringRecord| headings.iter().zip(&record).map(|(h, v)| (h.to_owned(), v.to_owned())).collect();
    reader.records().map(|record| row(record.expect("a row"))).collect()
}
