//! Totals: sums over many parts, money and kilograms, which no range of one part holds.

use super::{MustBe, Quantity, Ratio};
use serde::{Serialize, Serializer};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Sub};

/// What amounts come to, exactly, in whole millionths: pieces of many parts, money, kilograms.
///
/// A price or weight is below 10^9 and the amount of a part below 10^12, so that there is room for totals over 10^11 parts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Total(i128);

/// Millionths in one.
const SCALE: i128 = Quantity::SCALE as i128;

impl Total {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// The total of so many millionths.
    pub const fn from_millionths(millionths: i128) -> Self {
        Self(millionths)
    }

    /// The total in millionths.
    pub const fn millionths(self) -> i128 {
        self.0
    }

    /// What a quantity comes to at so much for one, cut (towards zero) at the sixth place.
    pub fn at(each: Quantity, qty: Quantity) -> Self {
        // Two numbers of 64 bits always have a product of 128.
        Self(i128::from(each.millionths()) * i128::from(qty.millionths()) / SCALE)
    }

    /// `self × factor`, cut (towards zero) at the sixth place; `None` where it does not fit.
    pub fn by(self, factor: Ratio) -> Option<Self> {
        Some(Self(self.0.checked_mul(factor.numerator())? / factor.denominator()))
    }

    /// So many times a quantity.
    pub fn times(qty: Quantity, count: usize) -> Self {
        Self(i128::from(qty.millionths()).checked_mul(count as i128).must(SUM))
    }

    /// As a quantity; `None` where it does not fit in the range of one.
    pub fn as_quantity(self) -> Option<Quantity> {
        i64::try_from(self.0).ok().map(Quantity::from_millionths)
    }

    /// Rounded up to tenths.
    #[must_use]
    pub fn up_to_tenths(self) -> Self {
        let step = SCALE / 10;
        let over = self.0.rem_euclid(step);
        if over == 0 { self } else { self + Self(step - over) }
    }

    /// In whole hundredths, halves up.
    pub fn hundredths(self) -> i128 {
        let step = SCALE / 100;
        (self + Self(step / 2)).0.div_euclid(step)
    }

    /// For a spreadsheet cell, which holds binary floating point; right to 15 digits, and only ever written.
    #[expect(clippy::float_arithmetic, reason = "the last step before a spreadsheet cell")]
    pub fn to_cell(self) -> f64 {
        self.0 as f64 / SCALE as f64
    }
}

const SUM: &str = "a total leaves the range of 128 bits";

impl From<Quantity> for Total {
    fn from(qty: Quantity) -> Self {
        Self(qty.millionths().into())
    }
}

impl Add for Total {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.checked_add(other.0).must(SUM))
    }
}

impl Sub for Total {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.checked_sub(other.0).must(SUM))
    }
}

impl AddAssign for Total {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Sum for Total {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        items.fold(Self::ZERO, Add::add)
    }
}

impl Sum<Quantity> for Total {
    fn sum<I: Iterator<Item = Quantity>>(items: I) -> Self {
        items.map(Self::from).sum()
    }
}

impl Serialize for Total {
    /// As text, so that no program reads it as binary floating point.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl fmt::Display for Total {
    /// A plain decimal without trailing zeros, as for a quantity.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let (whole, rest) =
            (self.0.unsigned_abs() / SCALE.unsigned_abs(), self.0.unsigned_abs() % SCALE.unsigned_abs());
        let digits = format!("{rest:06}");
        let decimals = digits.trim_end_matches('0');
        let point = if decimals.is_empty() { "" } else { "." };
        f.pad(&format!("{sign}{whole}{point}{decimals}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LARGEST: Quantity = Quantity::from_millionths(i64::MAX);

    #[test]
    fn the_dearest_of_the_most_is_exact() {
        // 10^9 × 10^12.
        let most = Total::at(Quantity::LIMIT, Quantity::from_millionths(1_000_000_000_000_000_000));
        assert_eq!(most.to_string(), "1000000000000000000000");
        // (2^63 − 1)² ÷ 10^12, cut at the sixth place, worked out with long integers.
        assert_eq!(Total::at(LARGEST, LARGEST).to_string(), "85070591730234615847396907.784232");
    }

    #[test]
    fn prints_as_a_quantity_does() {
        for millionths in [0, 1, -1, 12_000_000, -500_000, 3_333_333, -7_010_000, i64::MAX, i64::MIN] {
            let (total, qty) = (Total::from_millionths(millionths.into()), Quantity::from_millionths(millionths));
            assert_eq!(total.to_string(), qty.to_string());
            assert_eq!(format!("{total:>30}"), format!("{qty:>30}"));
        }
    }

    #[test]
    fn rounds_up_to_tenths_and_halves_up_to_hundredths() {
        let rounded = |millionths: i128| Total::from_millionths(millionths).up_to_tenths().to_string();
        assert_eq!([rounded(100_000), rounded(100_001), rounded(0)], ["0.1", "0.2", "0"]);
        let hundredths = |millionths: i128| Total::from_millionths(millionths).hundredths();
        assert_eq!([hundredths(4_999), hundredths(5_000), hundredths(1_234_567)], [0, 1, 123]);
    }
}
