//! Quantities: decimals with six places, held as whole millionths.
//!
//! Rule `exact-quantities`.

use super::{MustBe, Ratio, broken};
use serde::{Serialize, Serializer};
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Neg, Sub, SubAssign};

/// An amount in a part's own unit of measure, in whole millionths; never binary floating point.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Quantity(i64);

impl Quantity {
    /// Nothing.
    pub const ZERO: Self = Self(0);
    /// Millionths in one.
    pub const SCALE: i64 = 1_000_000;
    /// The largest amount a book may state or a bill line ask for: a thousand millions of one unit of measure.
    pub const LIMIT: Self = Self(1_000_000 * 1_000_000 * 1_000);

    /// The amount of so many millionths.
    pub const fn from_millionths(millionths: i64) -> Self {
        Self(millionths)
    }

    /// A whole number of units.
    pub const fn whole(units: i32) -> Self {
        Self(units as i64 * Self::SCALE)
    }

    /// The amount in millionths.
    pub const fn millionths(self) -> i64 {
        self.0
    }

    /// Whether there is more than nothing.
    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }

    /// Whether it is exactly nothing.
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// The fraction cut (towards zero) at the sixth place; `None` beyond [`Quantity::LIMIT`].
    pub fn cut(ratio: Ratio) -> Option<Self> {
        Self::whole(1).times(ratio)
    }

    /// `self × factor`, cut at the sixth place; `None` beyond [`Quantity::LIMIT`].
    pub fn times(self, factor: Ratio) -> Option<Self> {
        let product = i128::from(self.0).checked_mul(factor.numerator())? / factor.denominator();
        let cut = i64::try_from(product).ok()?;
        (cut.unsigned_abs() <= Self::LIMIT.0.unsigned_abs()).then_some(Self(cut))
    }

    /// Rounded up to a number of decimal places (six at most).
    pub fn round_up(self, decimals: u8) -> Self {
        match decimals {
            // A step that is known here needs no division.
            0 => self.up_to_multiple(Self(Self::SCALE)),
            1..6 => self.up_to_multiple(Self(10_i64.pow(6 - u32::from(decimals)))),
            _ => self,
        }
    }

    /// The smallest multiple of `step` that is not below `self`; `self` where the step is not positive.
    #[inline]
    pub fn up_to_multiple(self, step: Self) -> Self {
        if step.0 <= 0 {
            return self;
        }
        let over = self.0.rem_euclid(step.0);
        if over == 0 { self } else { self + Self(step.0 - over) }
    }

    /// Whether it has at most so many decimal places.
    pub fn fits(self, decimals: u8) -> bool {
        self.round_up(decimals) == self
    }

    /// For a spreadsheet cell, which holds binary floating point; exact to 15 digits, and only ever written.
    #[expect(clippy::float_arithmetic, reason = "the last step before a spreadsheet cell")]
    pub fn to_cell(self) -> f64 {
        self.0 as f64 / Self::SCALE as f64
    }
}

impl Add for Quantity {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        match self.0.checked_add(other.0) {
            Some(sum) => Self(sum),
            None => out_of_range(self, other),
        }
    }
}

impl Sub for Quantity {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        match self.0.checked_sub(other.0) {
            Some(difference) => Self(difference),
            None => out_of_range(self, other),
        }
    }
}

impl Neg for Quantity {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.checked_neg().must("a quantity leaves its range"))
    }
}

/// What a book has of a part and asks of it is below 10^12 ([`crate::check::limits::MOST_OF_A_PART`]), so that no sum can come
/// here.
#[cold]
fn out_of_range(one: Quantity, other: Quantity) -> ! {
    broken(format!("the quantities {one} and {other} have no sum or difference"))
}

impl AddAssign for Quantity {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Quantity {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Sum for Quantity {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        items.fold(Self::ZERO, Add::add)
    }
}

/// Puts neighbours of one key together; equal keys stand side by side.
pub fn add_equals<K: PartialEq, Q: AddAssign + Copy>(items: &mut Vec<(K, Q)>) {
    items.dedup_by(|later, first| {
        let same = later.0 == first.0;
        if same {
            first.1 += later.1;
        }
        same
    });
}

impl Serialize for Quantity {
    /// As text, so that no program reads it as binary floating point.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl fmt::Display for Quantity {
    /// A plain decimal without trailing zeros: `12`, `-0.5`, `3.333333`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let all = self.0.unsigned_abs();
        let (whole, mut rest) = (all / 1_000_000, all % 1_000_000);
        if rest == 0 {
            return f.pad(&format!("{sign}{whole}"));
        }
        let mut places = 6;
        while rest.is_multiple_of(10) {
            rest /= 10;
            places -= 1;
        }
        f.pad(&format!("{sign}{whole}.{rest:0places$}"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn q(text: &str) -> Quantity {
        Quantity::cut(Ratio::decimal(text).unwrap()).unwrap()
    }

    #[test]
    fn prints_as_a_plain_decimal() {
        for text in ["0", "12", "-0.5", "3.333333", "0.000001", "-7.01"] {
            assert_eq!(q(text).to_string(), text);
        }
    }

    #[test]
    fn cuts_towards_zero_at_the_sixth_place() {
        assert_eq!(q("0.0000019").to_string(), "0.000001");
        assert_eq!(Quantity::whole(1).times(Ratio::new(1, 3).unwrap()).unwrap().to_string(), "0.333333");
        assert_eq!(Quantity::whole(-1).times(Ratio::new(2, 3).unwrap()).unwrap().to_string(), "-0.666666");
    }

    #[test]
    fn rounds_up_to_places_and_multiples() {
        assert_eq!(q("2.0001").round_up(0).to_string(), "3");
        assert_eq!(q("2.0001").round_up(3).to_string(), "2.001");
        assert_eq!(q("11").up_to_multiple(q("10")).to_string(), "20");
        assert_eq!(q("20").up_to_multiple(q("10")).to_string(), "20");
    }

    #[test]
    fn refuses_what_is_too_large() {
        assert_eq!(Quantity::LIMIT.times(Ratio::new(2, 1).unwrap()), None);
    }

    #[test]
    fn a_sum_beyond_the_range_ends_the_command_instead_of_being_wrong() {
        let (most, least) = (Quantity::from_millionths(i64::MAX), Quantity::from_millionths(i64::MIN));
        let one = Quantity::from_millionths(1);
        let ended = |sum: fn(Quantity, Quantity) -> Quantity, a, b| {
            std::panic::catch_unwind(|| sum(a, b)).is_err_and(|why| why.is::<crate::base::Broken>())
        };
        assert!(ended(|a, b| a + b, most, one) && ended(|a, b| a - b, least, one) && ended(|a, _| -a, least, one));
        assert!(
            ended(|a, b| [a, b].into_iter().sum(), most, one)
                && ended(|a, b| a.up_to_multiple(b), most, Quantity::whole(1))
        );
        assert_eq!(most - one + one, most);
    }
}
