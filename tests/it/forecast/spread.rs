//! Chances of sums against published values and against convolution in integers of any size.
//!
//! Rule `chances`.

use lineward::forecast::{MOST_STEPS, ONE, Spread};
use num_bigint::BigUint;
use std::collections::BTreeMap;

const PIECE: i64 = 1_000_000;

/// What one unit takes: one piece with so many chances in a hundred.
fn one(percent: u32) -> Vec<(i64, u32)> {
    vec![(0, 100 - percent), (PIECE, percent)]
}

/// A chance in parts of 2^62, to nine places.
fn chance(part: u64) -> f64 {
    (part as f64 / ONE as f64 * 1e9).round() / 1e9
}

/// Units that differ, each by itself: the Poisson binomial distribution. Its distribution function for .1, .5, .7 is .135, .6, .965, 1
/// (documentation of the R package poisbinom; seen, and multiplied out: .9 × .5 × .3 = .135), its chances for .3, .8, .3 are .098,
/// .476, .354, .072 (Hong, On computing the distribution function for the Poisson binomial distribution, 2013, as retold; seen, and
/// multiplied out: .7 × .2 × .7 = .098).
#[test]
fn units_that_differ_are_told_as_published() {
    let of = |percents: [u32; 3]| Spread::sum(percents.iter().map(|percent| Spread::of(&one(*percent), 1)).collect());
    let up_to =
        |spread: &Spread| (0..4).map(|pieces| chance(spread.chance_of(pieces * i128::from(PIECE)))).collect::<Vec<_>>();
    assert_eq!(up_to(&of([10, 50, 70])), [0.135, 0.6, 0.965, 1.0]);
    assert_eq!(up_to(&of([30, 80, 30])), [0.098, 0.574, 0.928, 1.0]);
}

/// 300 units of which each takes a piece with a chance of three quarters, or of one: 95, 99 and 99.9 % (computed with the binomial
/// quantiles of a statistics library).
#[test]
fn three_hundred_units_are_told_as_computed() {
    let enough = |percent| {
        let spread = Spread::of(&one(percent), 300);
        assert!(spread.lost() < ONE / 1_000_000_000);
        [950, 990, 999].map(|wanted| spread.enough(wanted) / i128::from(PIECE))
    };
    assert_eq!(enough(75), [237, 242, 247]);
    assert_eq!(enough(25), [87, 93, 99]);
}

/// Where a chance is one half to the last part, half is enough: of one unit that takes none or one, of three, and of a list that no
/// power of two divides.
#[test]
fn an_exact_half_is_enough() {
    let half = |taken: &[(i64, u32)], units| Spread::of(taken, units).enough(500);
    assert_eq!(half(&[(0, 1), (1, 1)], 1), 0);
    assert_eq!(half(&[(0, 1), (1, 1)], 3), 1);
    assert_eq!(half(&[(0, 1), (1, 2), (3, 2), (4, 1)], 1), 1);
    // Three of these come to 6 at most in half of all cases, as 12 - x is as likely as x, and 6 itself can't be: 0 to 4 without 2.
    let three = exact(&[(0, 1), (1, 2), (3, 2), (4, 1)], 3);
    let all: BigUint = three.values().sum();
    let up_to = |most: i64| three.range(..=most).map(|(_, count)| count).sum::<BigUint>() * 2_u32 >= all;
    let least = (0..).find(|most| up_to(*most)).expect("an amount");
    assert_eq!(half(&[(0, 1), (1, 2), (3, 2), (4, 1)], 3), i128::from(least));
}

/// In how many of all ways so many units come to an amount.
fn exact(taken: &[(i64, u32)], units: u32) -> BTreeMap<i64, BigUint> {
    let mut all = BTreeMap::from([(0, BigUint::from(1_u32))]);
    for _ in 0..units {
        let mut next: BTreeMap<i64, BigUint> = BTreeMap::new();
        for (amount, ways) in &all {
            for (more, count) in taken {
                *next.entry(amount + more).or_default() += ways * *count;
            }
        }
        all = next;
    }
    all
}

/// The same of several floorplans together.
fn exact_sum(lists: &[(Vec<(i64, u32)>, u32)]) -> BTreeMap<i64, BigUint> {
    let mut all = BTreeMap::from([(0, BigUint::from(1_u32))]);
    for (taken, units) in lists {
        let one = exact(taken, *units);
        let mut next: BTreeMap<i64, BigUint> = BTreeMap::new();
        for (amount, ways) in &all {
            for (more, other) in &one {
                *next.entry(amount + more).or_default() += ways * other;
            }
        }
        all = next;
    }
    all
}

/// The least amount that is enough in so many of a thousand ways.
fn enough(ways: &BTreeMap<i64, BigUint>, wanted: u32) -> i64 {
    let all: BigUint = ways.values().sum();
    let mut so_far = BigUint::default();
    for (amount, count) in ways {
        so_far += count;
        if &so_far * 1_000_u32 >= &all * wanted {
            return *amount;
        }
    }
    unreachable!("all ways are enough")
}

/// A list of amounts, each a whole number of steps above the least.
fn list(random: &mut fastrand::Rng, step: i64, most: i64) -> Vec<(i64, u32)> {
    let least = random.i64(0..3) * step * 7;
    let mut taken = BTreeMap::new();
    for _ in 0..random.usize(1..7) {
        *taken.entry(least + random.i64(0..=most) * step).or_default() += random.u32(1..60);
    }
    taken.into_iter().collect()
}

/// Where amounts need few steps, the least amount that is enough is that of all ways counted, to the millionth.
#[test]
fn few_steps_are_exact() {
    let mut random = fastrand::Rng::with_seed(23);
    let mut several = 0;
    for round in 0..120 {
        let step = [1, PIECE, 250_000, 1_234_567][round % 4];
        let lists: Vec<(Vec<(i64, u32)>, u32)> = (0..random.usize(1..4))
            .map(|_| {
                let most = random.i64(1..12);
                (list(&mut random, step, most), random.u32(0..30))
            })
            .collect();
        let ways = exact_sum(&lists);
        let found = Spread::sum(lists.iter().map(|(taken, units)| Spread::of(taken, *units)).collect());
        several += usize::from(ways.len() > 20);
        for wanted in [1, 50, 500, 950, 999] {
            assert_eq!(found.enough(wanted), i128::from(enough(&ways, wanted)), "round {round}, {wanted}: {lists:?}");
        }
        assert!(found.lost() < ONE / 1_000_000_000);
    }
    assert!(several > 60, "{several}");
}

/// Fine measures, whose amounts can't all be told apart: half and nearly all are right to half of a hundredth, upwards and downwards.
#[test]
fn fine_measures_are_right_to_half_of_a_hundredth() {
    let mut random = fastrand::Rng::with_seed(24);
    let (mut coarse, mut worst) = (0, 0.0_f64);
    for round in 0..24 {
        // Steps of which nothing larger is a common measure: lengths and areas with three to six places.
        let (step, most) = [(1_000, 2_000), (10, 3_000), (1_000, 700), (1, 1_500)][round % 4];
        let units = [3, 12, 24, 40][round / 4 % 4];
        let lists: Vec<(Vec<(i64, u32)>, u32)> = (0..1 + round % 2)
            .map(|_| {
                let most = most / (1 + round as i64 % 2);
                (list(&mut random, step, most), (units / (1 + round % 2)) as u32)
            })
            .collect();
        let ways = exact_sum(&lists);
        let range = (ways.keys().last().expect("ways") - ways.keys().next().expect("ways")) / step;
        coarse += usize::from(range > MOST_STEPS as i64);
        let found = Spread::sum(lists.iter().map(|(taken, units)| Spread::of(taken, *units)).collect());
        for wanted in [500, 950] {
            let (found, right) = (found.enough(wanted) as f64, enough(&ways, wanted) as f64);
            let off = if right > 0.0 { (found / right - 1.0).abs() } else { found / step as f64 };
            worst = worst.max(off);
            assert!(off <= 0.005, "round {round}, {wanted}: {found}, not {right}: {lists:?}");
        }
    }
    assert!(coarse >= 12, "{coarse}");
    assert!(worst > 0.0, "none of them was put on fewer steps");
}

/// Many units: the mean and the spread of what is told are those of so many units (the sum of independent amounts has the sums of
/// their means and variances), and nothing is lost that counts.
#[test]
fn a_hundred_thousand_units_keep_mean_and_variance() {
    let taken = [(0, 30), (1_250_000, 50), (3_111_111, 20)];
    let count: f64 = taken.iter().map(|(_, count)| f64::from(*count)).sum();
    let mean = taken.iter().map(|(amount, count)| *amount as f64 * f64::from(*count)).sum::<f64>() / count;
    let square = taken.iter().map(|(amount, count)| (*amount as f64).powi(2) * f64::from(*count)).sum::<f64>() / count;
    let units = 100_000;
    let found = Spread::of(&taken, units);
    let sd = ((square - mean * mean) * f64::from(units)).sqrt();
    let all = mean * f64::from(units);
    // Quantiles of the normal distribution, to which so many units come near: 0 and 1.645.
    assert!((found.enough(500) as f64 - all).abs() < 0.05 * sd);
    assert!((found.enough(950) as f64 - all - 1.645 * sd).abs() < 0.05 * sd);
    assert!(found.lost() < ONE / 100_000_000);
}
