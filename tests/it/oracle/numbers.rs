//! Exact fractions, quantities in whole millionths, and minutes as seconds.
//!
//! Rules `exact-quantities`, `line-factor`, `working-seconds`.

/// A quantity in whole millionths of its unit of measure.
pub type Millionths = i128;

/// One piece.
pub const ONE: Millionths = 1_000_000;

/// An exact fraction in lowest terms, its lower part above zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ratio {
    pub num: i128,
    pub den: i128,
}

impl Ratio {
    pub fn new(num: i128, den: i128) -> Ratio {
        assert!(den != 0, "a fraction of nothing");
        let common = common_divisor(num.abs(), den.abs()).max(1) * den.signum();
        Ratio { num: num / common, den: den / common }
    }

    pub fn whole(number: i128) -> Ratio {
        Ratio::new(number, 1)
    }

    pub fn plus(self, other: Ratio) -> Ratio {
        Ratio::new(self.num * other.den + other.num * self.den, self.den * other.den)
    }

    pub fn minus(self, other: Ratio) -> Ratio {
        self.plus(Ratio::new(-other.num, other.den))
    }

    pub fn times(self, other: Ratio) -> Ratio {
        // Shortened crosswise first, so that long chains of units stay small.
        let left = Ratio::new(self.num, other.den);
        let right = Ratio::new(other.num, self.den);
        Ratio::new(left.num * right.num, left.den * right.den)
    }

    pub fn over(self, other: Ratio) -> Ratio {
        self.times(Ratio::new(other.den, other.num))
    }

    pub fn abs(self) -> Ratio {
        Ratio::new(self.num.abs(), self.den)
    }

    /// The greatest whole number not above the fraction.
    pub fn floor(self) -> i128 {
        self.num.div_euclid(self.den)
    }

    /// The least whole number not below the fraction.
    pub fn ceil(self) -> i128 {
        -(-self.num).div_euclid(self.den)
    }

    pub fn is_less_than(self, other: Ratio) -> bool {
        self.num * other.den < other.num * self.den
    }
}

fn common_divisor(a: i128, b: i128) -> i128 {
    if b == 0 { a } else { common_divisor(b, a % b) }
}

/// Reads a decimal such as `-1.25`, or a share such as `5%`.
pub fn decimal(text: &str) -> Option<Ratio> {
    let text = text.trim();
    if let Some(hundredths) = text.strip_suffix('%') {
        return Some(decimal(hundredths)?.over(Ratio::whole(100)));
    }
    let (sign, digits) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let (before, after) = digits.split_once('.').unwrap_or((digits, ""));
    let all = format!("{before}{after}");
    if all.is_empty() || !all.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let number: i128 = all.parse().ok()?;
    Some(Ratio::new(sign * number, 10i128.pow(after.len() as u32)))
}

/// A quantity times a factor, cut at the sixth place.
pub fn cut(quantity: Millionths, factor: Ratio) -> Millionths {
    Ratio::whole(quantity).times(factor).floor()
}

/// A book's decimal as millionths, cut at the sixth place.
pub fn millionths(number: Ratio) -> Millionths {
    cut(ONE, number)
}

/// Rounds up to so many decimals.
pub fn round_up(quantity: Millionths, decimals: u32) -> Millionths {
    round_up_to(quantity, 10i128.pow(6 - decimals.min(6)))
}

/// Rounds up to a whole number of steps.
pub fn round_up_to(quantity: Millionths, step: Millionths) -> Millionths {
    Ratio::new(quantity, step).ceil() * step
}

/// Minutes to the nearest second, halves up.
pub fn seconds(minutes: Ratio) -> i64 {
    let halves_up = minutes.times(Ratio::whole(60)).plus(Ratio::new(1, 2));
    i64::try_from(halves_up.floor()).expect("minutes of a plant's life")
}

/// Minutes to the second, rounded up.
pub fn seconds_up(minutes: Ratio) -> i64 {
    i64::try_from(minutes.times(Ratio::whole(60)).ceil()).expect("minutes of a plant's life")
}

/// Prints a quantity as a plain decimal without trailing zeros.
pub fn print(quantity: Millionths) -> String {
    let sign = if quantity < 0 { "-" } else { "" };
    let (whole, part) = (quantity.abs() / ONE, quantity.abs() % ONE);
    let text = format!("{sign}{whole}.{part:06}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_are_exact() {
        assert_eq!(decimal("-1.25"), Some(Ratio::new(-5, 4)));
        assert_eq!(decimal("5%"), decimal("0.05"));
        assert_eq!(decimal("1,5"), None);
        assert_eq!(decimal(""), None);
    }

    #[test]
    fn half_a_second_goes_up() {
        assert_eq!(seconds(Ratio::new(1, 120)), 1);
        assert_eq!(seconds(Ratio::new(1, 121)), 0);
        assert_eq!(seconds_up(Ratio::new(1, 600)), 1);
    }

    #[test]
    fn quantities_print_plainly() {
        assert_eq!(print(1_500_000), "1.5");
        assert_eq!(print(-5_000_000), "-5");
        assert_eq!(print(0), "0");
        assert_eq!(round_up(1_000_001, 0), 2_000_000);
        assert_eq!(round_up(1_000_001, 3), 1_001_000);
    }
}
