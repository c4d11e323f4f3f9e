//! Units of measure: decimals, the exact legal conversions, and the book's own.
//!
//! Rule `conversions`.

use super::codes::Defined;
use super::kinds::{NO_CONVERSION, UNKNOWN_PART};
use super::{Draft, each};
use crate::base::measures::{COUNTED, LEGAL};
use crate::base::{Findings, Ratio, fold};
use crate::book::{Book, BookColumn, Cells, Table};
use std::collections::HashMap;

/// A row of `Conversions`.
#[derive(Debug)]
struct Row {
    from: String,
    to: String,
    factor: Ratio,
}

/// What is known about units of measure.
#[derive(Debug, Default)]
pub struct Uoms {
    shown: HashMap<String, String>,
    decimals: HashMap<String, u8>,
    /// Of a part, or of all, by the kinds that they join.
    rows: HashMap<(Option<u32>, [String; 2]), Vec<Row>>,
}

/// What the law converts into each other, in any order; a unit that it does not know is a kind of its own.
fn kinds(one: &str, other: &str) -> [String; 2] {
    let kind = |code: &str| match LEGAL.iter().find(|(known, ..)| *known == code) {
        Some((_, kind, _)) => format!("kind {kind}"),
        None => format!("unit {code}"),
    };
    let mut kinds = [kind(one), kind(other)];
    kinds.sort();
    kinds
}

/// One `from` in `to`, by law.
fn legal(from: &str, to: &str) -> Option<Ratio> {
    if from == to {
        return Some(Ratio::ONE);
    }
    let find = |code: &str| LEGAL.iter().find(|(known, ..)| *known == code);
    let ((_, kind, size), (_, other, base)) = (find(from)?, find(to)?);
    (kind == other).then(|| Ratio::decimal(size)?.over(Ratio::decimal(base)?)).flatten()
}

impl Uoms {
    /// The unit as first written, and its decimals.
    pub fn known(&mut self, uom: &str) -> (String, u8) {
        let key = fold(uom);
        let decimals = self.decimals.get(&key).copied().unwrap_or(if COUNTED.contains(&key.as_str()) { 0 } else { 3 });
        (self.shown.entry(key).or_insert_with(|| uom.to_owned()).clone(), decimals)
    }

    /// Whether the book says something of it, or the law.
    pub fn has(&self, key: &str) -> bool {
        self.counts(key) || self.rows.values().flatten().any(|row| row.from == key || row.to == key)
    }

    /// Whether the law knows it, or the book its decimals.
    pub fn counts(&self, key: &str) -> bool {
        let by_law = LEGAL.iter().any(|(known, ..)| *known == key);
        by_law || COUNTED.contains(&key) || self.decimals.contains_key(key)
    }

    /// Those of which the book says how many decimals they have.
    pub fn own(&self) -> impl Iterator<Item = &str> {
        let mut all: Vec<&str> = self.decimals.keys().map(String::as_str).collect();
        all.sort_unstable();
        all.into_iter()
    }

    /// Takes a row of the book: one `from` is so many `to`, for a part or for all.
    fn take(&mut self, part: Option<u32>, from: String, to: String, factor: Ratio) {
        self.rows.entry((part, kinds(&from, &to))).or_default().push(Row { from, to, factor });
    }

    /// How many `to` one `from` is, for a part: by law, or by one row of the book's with the law before and after it.
    pub fn factor(&self, part: u32, from: &str, to: &str) -> Option<Ratio> {
        let (from, to) = (fold(from), fold(to));
        if let Some(by_law) = legal(&from, &to) {
            return Some(by_law);
        }
        let kinds = kinds(&from, &to);
        let own = self.rows.get(&(Some(part), kinds.clone()));
        own.into_iter().chain(self.rows.get(&(None, kinds))).flatten().find_map(|row| {
            let joined = |enter: &str, leave: &str| legal(&from, enter)?.times(legal(leave, &to)?);
            let forward = joined(&row.from, &row.to).and_then(|around| around.times(row.factor));
            forward.or_else(|| joined(&row.to, &row.from).and_then(|around| around.over(row.factor)))
        })
    }
}

impl Draft {
    pub(super) fn read_uoms(&mut self, book: &Book, findings: &mut Findings) {
        let mut defined = Defined::default();
        each(book, Table::Uoms, ["uom", "decimals"], findings, |cells, [uom, decimals]| {
            let blank = cells.text(decimals).is_empty();
            let places = if blank { cells.number_needed(decimals).map(|_| 0) } else { cells.whole(decimals, 0) };
            let Some(text) = cells.code(uom) else { return };
            if defined.take(cells, uom, &fold(text)) {
                self.uoms.shown.insert(fold(text), text.to_owned());
                self.uoms.decimals.insert(fold(text), places.unwrap_or_default().min(6) as u8);
            }
        });
    }

    pub(super) fn read_conversions(&mut self, book: &Book, findings: &mut Findings) {
        let mut defined = Defined::default();
        each(
            book,
            Table::Conversions,
            ["part", "from", "to", "factor"],
            findings,
            |cells, [part, from, to, factor]| {
                let blank = cells.text(part).is_empty();
                let id = self.parts.refer(cells, part, &UNKNOWN_PART, "part");
                let (Some(a), Some(b)) = (cells.code(from), cells.code(to)) else { return };
                let size =
                    if cells.text(factor).is_empty() { cells.number_needed(factor) } else { cells.positive(factor) };
                let mut ends = [fold(a), fold(b)];
                ends.sort();
                if defined.take(cells, from, &format!("{id:?} {ends:?}")) && (blank || id.is_some()) {
                    let Some(factor) = size else { return };
                    self.uoms.take(id, fold(a), fold(b), factor);
                }
            },
        );
    }

    /// How many of the part's own unit one of the cell's is; 1 where the cell is blank; reports where there is no way.
    pub(super) fn conversion(&self, cells: &mut Cells<'_>, column: BookColumn, part: u32) -> Option<Ratio> {
        let (from, own) = (cells.text(column), &self.plant.parts[part as usize].uom);
        // A part without a unit of measure has been told where it is defined.
        if from.is_empty() || own.is_empty() || from == own.trim() {
            return Some(Ratio::ONE);
        }
        let factor = self.uoms.factor(part, from, own);
        if factor.is_none() {
            let code = &self.plant.parts[part as usize].code;
            cells.report(&NO_CONVERSION, column, format!(
                "{code} is kept in {own}: no conversion between the two; add a row to Conversions: part {code}, from {from}, to {own}, factor (how many {own} one {from} is)"
            ));
        }
        factor
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ratio(text: &str) -> Ratio {
        Ratio::decimal(text).unwrap()
    }

    /// Source: NIST Handbook 44 appendix C and GNU Units (seen): exact legal definitions.
    #[test]
    fn legal_conversions_are_exact() {
        let cases = [
            ("in", "mm", "25.4"),
            ("ft", "m", "0.3048"),
            ("lb", "kg", "0.45359237"),
            ("yd", "ft", "3"),
            ("cuft", "cuin", "1728"),
        ];
        for (from, to, factor) in cases {
            assert_eq!(legal(from, to), Some(ratio(factor)), "{from} to {to}");
        }
        let equal = [
            ("gal", "qt", 4),
            ("qt", "pt", 2),
            ("pt", "floz", 16),
            ("lb", "oz", 16),
            ("sqft", "sqin", 144),
            ("sqyd", "sqft", 9),
        ];
        for (from, to, whole) in equal {
            assert_eq!(legal(from, to), Some(Ratio::whole(whole)), "{from} to {to}");
        }
        // 231 cubic inches of 16.387064 ml each.
        assert_eq!(legal("gal", "ml"), ratio("16.387064").times(Ratio::whole(231)));
        assert_eq!(legal("ft", "lb"), None);
    }

    /// Source: board feet by nominal size: a 2x4 of 8 ft is 2 x 4 x 96 cubic inches, 5 1/3 board feet (handbooks; seen).
    #[test]
    fn a_two_by_four_is_five_and_a_third_board_feet() {
        assert_eq!(Ratio::whole(2 * 4 * 96).times(legal("cuin", "bf").unwrap()), Ratio::new(16, 3));
    }

    #[test]
    fn one_row_of_the_book_joins_two_kinds_its_own_rows_first() {
        let mut uoms = Uoms::default();
        let mut row = |part, from: &str, to: &str, factor| uoms.take(part, from.into(), to.into(), ratio(factor));
        row(None, "sheet", "sqft", "32");
        row(Some(7), "sheet", "sqft", "40");
        assert_eq!(uoms.factor(1, "sheet", "sqft"), Some(ratio("32")));
        assert_eq!(uoms.factor(7, "Sheet", "sqin"), Some(ratio("5760")));
        assert_eq!(uoms.factor(1, "sqft", "sheet"), Ratio::new(1, 32));
        assert_eq!(uoms.factor(1, "sheet", "kg"), None);
    }
}
