//! Exact fractions: conversions, scrap and minutes, so that equal amounts in different units stay equal.
//!
//! Rules `exact-quantities`, `line-factor`.

use serde::{Serialize, Serializer};
use std::cmp::Ordering;
use std::fmt;

/// A fraction in lowest terms with a positive denominator; every operation is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Ratio {
    numerator: i128,
    denominator: i128,
}

/// Digits a number in a book may have; a spreadsheet keeps 15.
const DIGITS: usize = 18;

impl Ratio {
    /// Zero.
    pub const ZERO: Self = Self { numerator: 0, denominator: 1 };
    /// One.
    pub const ONE: Self = Self { numerator: 1, denominator: 1 };

    /// `numerator ÷ denominator`; `None` for a denominator of zero.
    pub fn new(numerator: i128, denominator: i128) -> Option<Self> {
        if denominator == 0 {
            return None;
        }
        if denominator == 1 {
            return Some(Self { numerator, denominator });
        }
        let shared = gcd(numerator.unsigned_abs(), denominator.unsigned_abs()).max(1);
        let shared = i128::try_from(shared).ok()?;
        let (n, d) = (numerator / shared, denominator / shared);
        let (numerator, denominator) = if d < 0 { (n.checked_neg()?, d.checked_neg()?) } else { (n, d) };
        Some(Self { numerator, denominator })
    }

    /// A whole number.
    pub const fn whole(number: i64) -> Self {
        Self { numerator: number as i128, denominator: 1 }
    }

    /// The exact value of decimal text such as `-12.5` or `.75`; `None` for anything else or more than 18 digits.
    pub fn decimal(text: &str) -> Option<Self> {
        let (negative, digits) = match text.as_bytes().first()? {
            b'-' => (true, &text[1..]),
            b'+' => (false, &text[1..]),
            _ => (false, text),
        };
        let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
        let fraction = fraction.trim_end_matches('0');
        let whole = if whole.len() > 1 { whole.trim_start_matches('0') } else { whole };
        let plain = |part: &str| part.bytes().all(|b| b.is_ascii_digit());
        if digits.is_empty()
            || digits == "."
            || !plain(whole)
            || !plain(fraction)
            || whole.len() + fraction.len() > DIGITS
        {
            return None;
        }
        let digits = whole.bytes().chain(fraction.bytes());
        let number = i128::from(digits.fold(0_i64, |number, digit| number * 10 + i64::from(digit - b'0')));
        let scale = 10_i128.pow(u32::try_from(fraction.len()).ok()?);
        Self::new(if negative { -number } else { number }, scale)
    }

    /// In lowest terms, with the sign of the whole.
    pub const fn numerator(self) -> i128 {
        self.numerator
    }

    /// The lower part, always positive.
    pub const fn denominator(self) -> i128 {
        self.denominator
    }

    /// Whether it is above zero.
    pub const fn is_positive(self) -> bool {
        self.numerator > 0
    }

    /// Whether it is below zero.
    pub const fn is_negative(self) -> bool {
        self.numerator < 0
    }

    /// Whether it is zero.
    pub const fn is_zero(self) -> bool {
        self.numerator == 0
    }

    /// Its distance from zero.
    pub const fn abs(self) -> Self {
        Self { numerator: self.numerator.abs(), denominator: self.denominator }
    }

    /// The sum, or `None` where it does not fit.
    pub fn plus(self, other: Self) -> Option<Self> {
        let left = self.numerator.checked_mul(other.denominator)?;
        let right = other.numerator.checked_mul(self.denominator)?;
        Self::new(left.checked_add(right)?, self.denominator.checked_mul(other.denominator)?)
    }

    /// The difference, or `None` where it does not fit.
    pub fn minus(self, other: Self) -> Option<Self> {
        self.plus(Self { numerator: other.numerator.checked_neg()?, ..other })
    }

    /// The product, or `None` where it does not fit.
    pub fn times(self, other: Self) -> Option<Self> {
        if other == Self::ONE {
            return Some(self);
        }
        let left = Self::new(self.numerator, other.denominator)?;
        let right = Self::new(other.numerator, self.denominator)?;
        Self::new(left.numerator.checked_mul(right.numerator)?, left.denominator.checked_mul(right.denominator)?)
    }

    /// The quotient, or `None` for a division by zero or where it does not fit.
    pub fn over(self, other: Self) -> Option<Self> {
        self.times(Self::new(other.denominator, other.numerator)?)
    }

    /// The nearest whole number, halves up.
    pub fn rounded(self) -> Option<i64> {
        let doubled = self.numerator.checked_mul(2)?.checked_add(self.denominator)?;
        i64::try_from(doubled.div_euclid(self.denominator.checked_mul(2)?)).ok()
    }

    /// The smallest whole number that is not below it.
    pub fn ceiling(self) -> Option<i64> {
        i64::try_from(-(-self.numerator).div_euclid(self.denominator)).ok()
    }

    /// As a whole number, where it is one.
    pub fn as_whole(self) -> Option<i64> {
        if self.denominator == 1 { i64::try_from(self.numerator).ok() } else { None }
    }

    /// Which is larger.
    pub fn compare(self, other: Self) -> Ordering {
        match self.minus(other) {
            Some(difference) => difference.numerator.cmp(&0),
            None => self.numerator.signum().cmp(&other.numerator.signum()),
        }
    }
}

/// Numbers of 64 bits are divided much faster than those of 128.
impl fmt::Display for Ratio {
    /// The exact decimal where it ends within twelve places, otherwise a fraction: `2.5`, `1/3`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const PLACES: u32 = 12;
        let scale = 10_i128.pow(PLACES);
        let whole = (scale % self.denominator == 0).then(|| self.numerator.checked_mul(scale / self.denominator));
        let Some(scaled) = whole.flatten() else { return write!(f, "{}/{}", self.numerator, self.denominator) };
        let sign = if scaled < 0 { "-" } else { "" };
        let digits = format!("{:0>width$}", scaled.unsigned_abs(), width = PLACES as usize + 1);
        let (whole, rest) = digits.split_at(digits.len() - PLACES as usize);
        let rest = rest.trim_end_matches('0');
        let point = if rest.is_empty() { "" } else { "." };
        write!(f, "{sign}{whole}{point}{rest}")
    }
}

impl Serialize for Ratio {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

fn gcd(a: u128, b: u128) -> u128 {
    if let (Ok(mut a), Ok(mut b)) = (u64::try_from(a), u64::try_from(b)) {
        while b != 0 {
            (a, b) = (b, a % b);
        }
        return u128::from(a);
    }
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_decimals_exactly_and_nothing_else() {
        assert_eq!(Ratio::decimal("-12.50"), Ratio::new(-25, 2));
        assert_eq!(Ratio::decimal(".75"), Ratio::new(3, 4));
        assert_eq!(Ratio::decimal("5."), Ratio::new(5, 1));
        assert_eq!(Ratio::decimal("000120"), Ratio::new(120, 1));
        for wrong in ["", ".", "-", "1e3", "1,000", "NaN", "inf", "0x1", "1.2.3", "١", "1234567890123456789"] {
            assert_eq!(Ratio::decimal(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn prints_the_decimal_where_it_ends_and_a_fraction_where_it_does_not() {
        let told = |n, d| Ratio::new(n, d).unwrap().to_string();
        assert_eq!(
            [told(5, 2), told(-1, 8), told(7, 1), told(0, 1), told(1, 3), told(-50, 47)],
            ["2.5", "-0.125", "7", "0", "1/3", "-50/47"]
        );
    }

    #[test]
    fn rounds_halves_up_and_ceilings_up() {
        let half = Ratio::new(1, 2).unwrap();
        assert_eq!(half.rounded(), Some(1));
        assert_eq!(Ratio::new(-1, 2).unwrap().rounded(), Some(0));
        assert_eq!(Ratio::new(7, 3).unwrap().ceiling(), Some(3));
        assert_eq!(Ratio::new(6, 3).unwrap().ceiling(), Some(2));
    }

    #[test]
    fn does_sums_in_lowest_terms() {
        let sixth = Ratio::new(1, 6).unwrap();
        assert_eq!(sixth.plus(sixth).unwrap(), Ratio::new(1, 3).unwrap());
        assert_eq!(Ratio::ONE.minus(sixth).unwrap().times(Ratio::whole(6)).unwrap(), Ratio::whole(5));
        assert_eq!(Ratio::ONE.over(Ratio::ZERO), None);
    }
}
