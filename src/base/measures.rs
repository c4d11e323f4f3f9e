//! The units of measure that need no word in a book: counted ones, and those that the law converts into each other.
//!
//! Rule `conversions`.

/// Units counted in whole pieces unless the book says otherwise.
pub const COUNTED: [&str; 6] = ["ea", "pr", "set", "sheet", "roll", "box"];

/// The exact legal sizes, each kind in a base of its own (mm, square mm, cubic inch, gram, ml), as a decimal.
/// Source: NIST Handbook 44, appendix C: inch 25.4 mm, pound 0.45359237 kg, US gallon 231 cubic inches, board foot 144
/// cubic inches; a cubic inch is 16.387064 ml.
pub const LEGAL: [(&str, u8, &str); 24] = [
    ("mm", 0, "1"),
    ("cm", 0, "10"),
    ("m", 0, "1000"),
    ("in", 0, "25.4"),
    ("ft", 0, "304.8"),
    ("yd", 0, "914.4"),
    ("sqmm", 1, "1"),
    ("sqm", 1, "1000000"),
    ("sqin", 1, "645.16"),
    ("sqft", 1, "92903.04"),
    ("sqyd", 1, "836127.36"),
    ("cuin", 2, "1"),
    ("bf", 2, "144"),
    ("cuft", 2, "1728"),
    ("g", 3, "1"),
    ("kg", 3, "1000"),
    ("oz", 3, "28.349523125"),
    ("lb", 3, "453.59237"),
    ("ml", 4, "1"),
    ("l", 4, "1000"),
    ("floz", 4, "29.5735295625"),
    ("pt", 4, "473.176473"),
    ("qt", 4, "946.352946"),
    ("gal", 4, "3785.411784"),
];

/// Whether a unit of measure is one of these.
pub fn is_known(uom: &str) -> bool {
    let uom = super::fold(uom);
    COUNTED.contains(&uom.as_str()) || LEGAL.iter().any(|(known, ..)| *known == uom)
}
