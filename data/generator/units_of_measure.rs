//! Units of measure of the plant and the conversions between their kinds.

use crate::model::{BillLine, Book, is_counted};

/// Unit of measure, decimals.
pub const UOMS: [(&str, &str); 9] = [
    ("ea", "0"),
    ("pr", "0"),
    ("sheet", "0"),
    ("box", "0"),
    ("roll", "0"),
    ("sqft", "3"),
    ("ft", "3"),
    ("kg", "3"),
    ("l", "3"),
];

/// Sheets to square feet, rolls of edge band to feet, boxes of small goods to pieces.
pub fn build(book: &mut Book) {
    let mut rows: Vec<(String, &'static str, &'static str, f64)> = vec![(String::new(), "sheet", "sqft", 32.0)];
    for part in &book.parts {
        match part.code.split('-').next() {
            Some("WFM" | "EFM") => rows.push((part.code.clone(), "sheet", "sqft", 48.0)),
            Some("EDG") => rows.push((part.code.clone(), "roll", "ft", part.pack)),
            _ if part.uom == "ea" && part.pack >= 500.0 => rows.push((part.code.clone(), "box", "ea", part.pack)),
            _ => {}
        }
    }
    book.conversions = rows;
}

/// A line's quantity in its part's own unit, scrap included.
pub fn factor(book: &Book, line: &BillLine) -> f64 {
    let part = book.part(&line.part);
    let own = book.conversions.iter().find(|c| c.0 == line.part && c.2 == line.uom);
    let general = || book.conversions.iter().find(|c| c.0.is_empty() && c.1 == part.uom && c.2 == line.uom);
    let same = line.uom.is_empty() || line.uom == part.uom;
    let per = if same { 1.0 } else { own.or_else(general).expect("a conversion").3 };
    let no_scrap = is_counted(&part.uom) && part.issue != "bulk";
    let scrap = if no_scrap { 0.0 } else { line.scrap };
    line.qty / per / (1.0 - scrap)
}
