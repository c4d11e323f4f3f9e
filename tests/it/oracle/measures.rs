//! Units of measure: the built-in conversions, the book's own, and decimals.
//!
//! Rule `conversions`.

use std::collections::BTreeMap;

use super::Book;
use super::numbers::{Ratio, decimal};
use super::sheets::{Key, rows};

/// A row of the conversions table: one `from` is `factor` `to`.
struct Conversion {
    part: Option<Key>,
    from: Key,
    to: Key,
    factor: Ratio,
}

pub struct Measures {
    conversions: Vec<Conversion>,
    decimals: BTreeMap<Key, u32>,
}

impl Measures {
    pub fn read(book: &Book) -> Measures {
        let conversions = rows(book, "Conversions").into_iter().map(|row| Conversion {
            part: row.maybe_key("part"),
            from: row.key("from"),
            to: row.key("to"),
            factor: row.number("factor").expect("a factor"),
        });
        let decimals = rows(book, "Uoms")
            .into_iter()
            .map(|row| (row.key("uom"), row.whole("decimals").expect("a number of decimals") as u32));
        Measures { conversions: conversions.collect(), decimals: decimals.collect() }
    }

    /// How many decimals a unit of measure has.
    pub fn decimals(&self, uom: &str) -> u32 {
        let counted = ["ea", "pr", "set", "sheet", "roll", "box"].contains(&uom);
        let usual = if counted { 0 } else { 3 };
        self.decimals.get(uom).copied().unwrap_or(usual)
    }

    /// How many of the second unit one of the first is, for a part.
    pub fn factor(&self, part: &str, from: &str, to: &str) -> Option<Ratio> {
        built_in(from, to).or_else(|| {
            let own = self.conversions.iter().filter(|row| row.part.as_deref() == Some(part));
            let general = self.conversions.iter().filter(|row| row.part.is_none());
            own.chain(general).find_map(|row| row.bridge(from, to))
        })
    }
}

impl Conversion {
    /// This row in either direction, with a built-in conversion before and after it.
    fn bridge(&self, from: &str, to: &str) -> Option<Ratio> {
        let onward = bridge(from, &self.from, self.factor, &self.to, to);
        let back = Ratio::whole(1).over(self.factor);
        onward.or_else(|| bridge(from, &self.to, back, &self.from, to))
    }
}

fn bridge(from: &str, near: &str, factor: Ratio, far: &str, to: &str) -> Option<Ratio> {
    Some(built_in(from, near)?.times(factor).times(built_in(far, to)?))
}

/// The exact conversion within a kind; a unit of measure is always itself.
fn built_in(from: &str, to: &str) -> Option<Ratio> {
    if from == to {
        return Some(Ratio::whole(1));
    }
    let (from_kind, from_size) = size(from)?;
    let (to_kind, to_size) = size(to)?;
    (from_kind == to_kind).then(|| from_size.over(to_size))
}

/// The kind of a built-in unit and its size in the smallest one of that kind.
fn size(uom: &str) -> Option<(&'static str, Ratio)> {
    let (kind, text, times) = match uom {
        "mm" => ("length", "1", 1),
        "cm" => ("length", "10", 1),
        "m" => ("length", "1000", 1),
        "in" => ("length", "25.4", 1),
        "ft" => ("length", "25.4", 12),
        "yd" => ("length", "25.4", 36),
        "sqmm" => ("area", "1", 1),
        "sqm" => ("area", "1000000", 1),
        "sqin" => ("area", "645.16", 1),
        "sqft" => ("area", "645.16", 144),
        "sqyd" => ("area", "645.16", 1296),
        "cuin" => ("room", "1", 1),
        "cuft" => ("room", "1", 1728),
        "bf" => ("room", "1", 144),
        "g" => ("weight", "1", 1),
        "kg" => ("weight", "1000", 1),
        "lb" => ("weight", "453.59237", 1),
        "oz" => ("weight", "28.349523125", 1), // a sixteenth of a pound
        "ml" => ("liquid", "1", 1),
        "l" => ("liquid", "1000", 1),
        "gal" => ("liquid", "16.387064", 231), // a cubic inch is 2.54 cm, cubed
        "qt" => ("liquid", "4.096766", 231),
        "pt" => ("liquid", "2.048383", 231),
        "floz" => ("liquid", "0.1280239375", 231),
        _ => return None,
    };
    Some((kind, decimal(text)?.times(Ratio::whole(times))))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn factor(from: &str, to: &str) -> Option<Ratio> {
        built_in(from, to)
    }

    #[test]
    fn legal_sizes_are_exact() {
        assert_eq!(factor("ft", "m"), decimal("0.3048"));
        assert_eq!(factor("lb", "oz"), decimal("16"));
        assert_eq!(factor("gal", "l"), decimal("3.785411784"));
        assert_eq!(factor("gal", "floz"), decimal("128"));
        assert_eq!(factor("gal", "pt"), decimal("8"));
        assert_eq!(factor("qt", "floz"), decimal("32"));
        assert_eq!(factor("cuft", "bf"), decimal("12"));
        assert_eq!(factor("sqyd", "sqft"), decimal("9"));
        assert_eq!(factor("ea", "ea"), decimal("1"));
        assert_eq!(factor("ea", "kg"), None);
    }

    #[test]
    fn one_row_bridges_two_kinds_in_either_direction() {
        let table = "part,from,to,factor\nply,sheet,sqft,32\n,sheet,sqm,2\n";
        let book = Book::from([("Conversions".to_string(), table.to_string())]);
        let measures = Measures::read(&book);
        assert_eq!(measures.factor("ply", "sheet", "sqin"), decimal("4608"));
        assert_eq!(measures.factor("ply", "sqft", "sheet"), decimal("0.03125"));
        assert_eq!(measures.factor("mat", "sheet", "sqm"), decimal("2"));
    }
}
