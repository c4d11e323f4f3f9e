//! How far differences lie from their median: modified z-scores (B. Iglewicz and D. Hoaglin, How to Detect and Handle Outliers, 1993), exactly.
//!
//! Rule `odd-weights`.

use crate::base::{MustBe, Total};

/// A unit is odd beyond 3.5 × 1.4826 of the median absolute deviation: that product, in ten-thousandths.
const LIMIT: i128 = 51_891;
/// What makes a standard deviation of the median absolute deviation where errors are normal: 1.4826, in ten-thousandths.
const SIGMA: i128 = 14_826;
const TEN_THOUSAND: i128 = 10_000;

/// The median of some differences, and the median of how far they lie from it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spread {
    /// Twice the median, in millionths: of an even number of values the two in the middle added up.
    twice_median: i128,
    /// Four times the median absolute deviation, in millionths.
    four_deviations: i128,
}

/// Twice the median of values; `None` where there are none.
fn twice_median(mut values: Vec<i128>) -> Option<i128> {
    values.sort_unstable();
    let (low, high) = (values.len().checked_sub(1)? / 2, values.len() / 2);
    values[low].checked_add(values[high])
}

impl Spread {
    /// That of some differences; `None` where there are none.
    pub fn of(differences: &[Total]) -> Option<Self> {
        let values: Vec<i128> = differences.iter().map(|value| value.millionths()).collect();
        let twice = twice_median(values.clone())?;
        let four = twice_median(values.iter().map(|value| (2 * value - twice).abs()).collect())?;
        Some(Self { twice_median: twice, four_deviations: four })
    }

    /// How far a difference lies from the median, twice, in millionths.
    fn twice_off(self, difference: Total) -> i128 {
        2 * difference.millionths() - self.twice_median
    }

    /// Whether a difference is odd: it lies further from the median than 3.5 × 1.4826 × the median absolute deviation. Where more
    /// than half of all lie at the median that deviation is nothing, and every other difference is odd.
    pub fn is_odd(self, difference: Total) -> bool {
        let off = self.twice_off(difference).abs().checked_mul(2 * TEN_THOUSAND).must(RANGE);
        off > self.four_deviations.checked_mul(LIMIT).must(RANGE)
    }

    /// The modified z-score, in hundredths, cut towards zero; `None` where the median absolute deviation is nothing.
    pub fn score(self, difference: Total) -> Option<i128> {
        let off = self.twice_off(difference).checked_mul(2 * TEN_THOUSAND * 100).must(RANGE);
        off.checked_div(self.four_deviations.checked_mul(SIGMA).must(RANGE))
    }

    /// The median, cut (towards zero) at the sixth place.
    pub fn median(self) -> Total {
        Total::from_millionths(self.twice_median / 2)
    }

    /// How far a difference lies from the median, cut at the sixth place.
    pub fn off(self, difference: Total) -> Total {
        Total::from_millionths(self.twice_off(difference) / 2)
    }

    /// How far a difference may lie from the median and not be odd, cut at the sixth place.
    pub fn limit(self) -> Total {
        Total::from_millionths(self.four_deviations.checked_mul(LIMIT).must(RANGE) / (4 * TEN_THOUSAND))
    }
}

/// Weights are below 10^5 kg and bills below 10^21 kg, so that no product leaves 128 bits.
const RANGE: &str = "a sum of weights leaves the range of 128 bits";
