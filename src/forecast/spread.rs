//! The chances of amounts: what so many units take together of a part, each of them independently as one of a list did.
//!
//! Whole numbers throughout. Chances are counted in parts of 2^62 and cut downwards, so that what is lost is known to the last part:
//! all of them together and what is lost are one.
//!
//! Rule `chances`.

use std::sync::Arc;

/// Certainty.
pub const ONE: u64 = 1 << 62;

/// Amounts lie on so many steps at most. Where those that can come up need no more, all chances are exact but for what is lost.
pub const MOST_STEPS: usize = 2_048;

/// Where they need more, a list that has grown beyond twice so many steps is put on fewer of them, at most so many.
const COARSE_STEPS: usize = 512;

/// Ends of a list are left out as long as they come to less than this, of all units together.
const NEGLIGIBLE: u128 = (ONE >> 40) as u128;

/// The amounts of a list of units, in millionths, each with how many of them took it; in order, no amount twice, none below 0.
pub type Taken = [(i64, u32)];

/// Chances of amounts that lie at equal steps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spread {
    /// The least of them, in millionths.
    least: i128,
    /// How far it is from one to the next, in millionths; at least 1.
    step: i128,
    /// The chance of each; neither the first nor the last is 0.
    chances: Arc<[u64]>,
}

impl Spread {
    /// What so many units take together, each as one of a list did; nothing where there are none.
    pub fn of(taken: &Taken, units: u32) -> Self {
        Self::with(taken, units, &mut power)
    }

    /// The same with another way to find what units take of a [`Shape`], such as a list of those that were found already.
    pub(super) fn with(taken: &Taken, units: u32, power: &mut dyn FnMut(&Shape, u32) -> Steps) -> Self {
        let (Some((least, _)), true) = (taken.first(), units > 0) else { return Self::sure(0) };
        let Some(shape) = Shape::of(taken) else { return Self::sure(i128::from(*least) * i128::from(units)) };
        let steps = power(&shape, units);
        let unit = i128::from(shape.unit);
        let from = i128::from(*least) * i128::from(units);
        Self { least: from + steps.first * unit, step: steps.step * unit, chances: steps.chances }
    }

    /// An amount that is certain.
    fn sure(amount: i128) -> Self {
        Self { least: amount, step: 1, chances: Arc::new([ONE]) }
    }

    /// What several take together, independently of each other.
    pub fn sum(spreads: Vec<Self>) -> Self {
        let (sure, mut others): (Vec<Self>, Vec<Self>) = spreads.into_iter().partition(|one| one.chances.len() == 1);
        let offset: i128 = sure.iter().map(|one| one.least).sum();
        // What is lost of a certain amount is nothing but what was left out of it.
        others.extend(sure.into_iter().filter(|one| one.chances[0] < ONE).map(|one| Self { least: 0, ..one }));
        let step = common_step(&others);
        others.sort_by_key(|one| (one.chances.len(), one.least));
        let mut all = Steps { exact: true, first: 0, step: 1, chances: Arc::new([ONE]) };
        let mut least = offset;
        for one in others {
            least += one.least;
            let on_steps =
                put(one.chances.iter().enumerate().map(|(at, chance)| (at as i128 * one.step, *chance)), step);
            all = all.plus(&Steps { exact: true, first: 0, step: 1, chances: on_steps.into() }).trimmed(1, 1);
        }
        Self { least: least + all.first * step, step, chances: all.chances }
    }

    /// The least amount that is enough with so many chances in a thousand, in millionths. What is lost counts as if it were enough:
    /// that is less than 10^-8.
    pub fn enough(&self, in_a_thousand: u32) -> i128 {
        let wanted = u128::from(ONE) * u128::from(in_a_thousand);
        let mut so_far = u128::from(self.lost());
        let found = self.chances.iter().position(|chance| {
            so_far += u128::from(*chance);
            so_far * 1_000 >= wanted
        });
        self.least + found.unwrap_or(self.chances.len() - 1) as i128 * self.step
    }

    /// The chance that an amount is enough, in parts of 2^62; what is lost is not in it.
    pub fn chance_of(&self, amount: i128) -> u64 {
        let amounts = (0..).map(|at| self.least + at * self.step);
        self.chances.iter().zip(amounts).filter(|(_, at)| *at <= amount).map(|(chance, _)| chance).sum()
    }

    /// What was lost by cutting, and of ends that were left out, in parts of 2^62.
    pub fn lost(&self) -> u64 {
        ONE - self.chances.iter().sum::<u64>()
    }
}

/// The step on which all amounts of several lists lie together: one that all have in common, or else one so large that there are
/// not too many.
fn common_step(spreads: &[Spread]) -> i128 {
    let several = || spreads.iter().filter(|one| one.chances.len() > 1);
    let common = several().map(|one| one.step).fold(0, gcd).max(1);
    let range: i128 = several().map(|one| (one.chances.len() - 1) as i128 * one.step).sum();
    let steps = range / common;
    common * divided_up(steps, MOST_STEPS as i128 - 1).max(1)
}

/// A list of amounts without its least amount, in the largest unit that measures them.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Shape {
    /// The unit, in millionths.
    unit: i64,
    /// How far above the least, and how many.
    pub(super) above: Vec<(i64, u32)>,
}

impl Shape {
    /// `None` where all are the same.
    fn of(taken: &Taken) -> Option<Self> {
        let least = taken.first()?.0;
        let unit = taken.iter().map(|(amount, _)| i128::from(amount - least)).fold(0, gcd);
        let unit = i64::try_from(unit).ok().filter(|unit| *unit > 0)?;
        Some(Self { unit, above: taken.iter().map(|(amount, count)| ((amount - least) / unit, *count)).collect() })
    }
}

/// Chances at equal steps, counted in the unit of a shape.
#[derive(Clone, Debug)]
pub(super) struct Steps {
    /// Whether all amounts are told apart.
    exact: bool,
    first: i128,
    step: i128,
    chances: Arc<[u64]>,
}

/// What so many units take above their least amounts: the list is doubled and one added, as the digits of the number say.
pub(super) fn power(shape: &Shape, units: u32) -> Steps {
    let one = Steps::of(shape, units);
    let mut all = one.clone();
    let mut number = 1;
    for digit in (0..units.max(1).ilog2()).rev() {
        all = all.twice().trimmed(2 * number, units).coarse();
        number *= 2;
        if units >> digit & 1 == 1 {
            let same = one.clone().on(all.step);
            all = all.plus(&same).trimmed(number + 1, units).coarse();
            number += 1;
        }
    }
    all
}

impl Steps {
    /// What one unit takes. Where so many units need too many steps for all amounts to be told apart, it is put on fewer.
    fn of(shape: &Shape, units: u32) -> Self {
        let range = shape.above.last().map_or(0, |(above, _)| i128::from(*above));
        let exact = range * i128::from(units) < MOST_STEPS as i128;
        let step = if exact { 1 } else { divided_up(range, COARSE_STEPS as i128 - 1).max(1) };
        let all: u128 = shape.above.iter().map(|(_, count)| u128::from(*count)).sum();
        let chance = |count: u32| cut(u128::from(ONE) * u128::from(count) / all);
        let chances = put(shape.above.iter().map(|(above, count)| (i128::from(*above), chance(*count))), step);
        Self { exact, first: 0, step, chances: chances.into() }
    }

    /// What two such take together; both have the same steps.
    fn plus(&self, other: &Self) -> Self {
        let (few, many) = (&self.chances, &other.chances);
        let (few, many) = if few.len() > many.len() { (many, few) } else { (few, many) };
        let mut sums = vec![0; few.len() + many.len() - 1];
        few.iter().enumerate().for_each(|(at, one)| add_products(&mut sums[at..], *one, many));
        Self { exact: self.exact, first: self.first + other.first, step: self.step, chances: sums.into() }
    }

    /// What two alike take together.
    fn twice(&self) -> Self {
        let one = &self.chances;
        let mut sums = vec![0; 2 * one.len() - 1];
        for (at, chance) in one.iter().enumerate() {
            add_products(&mut sums[2 * at + 1..], *chance, &one[at + 1..]);
        }
        // Two different amounts come in two orders.
        sums.iter_mut().for_each(|sum| *sum *= 2);
        for (at, chance) in one.iter().enumerate() {
            add_products(&mut sums[2 * at..], *chance, &one[at..=at]);
        }
        Self { exact: self.exact, first: 2 * self.first, step: self.step, chances: sums.into() }
    }

    /// Without the ends whose chances are negligible: for so many units of all, so that all of them together lose little.
    fn trimmed(self, units: u32, of: u32) -> Self {
        let negligible = NEGLIGIBLE * u128::from(units) / u128::from(of.max(1));
        let ends = |chances: &mut dyn Iterator<Item = &u64>| {
            let mut all = 0_u128;
            let mut count = 0;
            for chance in chances {
                all += u128::from(*chance);
                if all > negligible {
                    break;
                }
                count += 1;
            }
            count
        };
        let front = ends(&mut self.chances.iter());
        let back = ends(&mut self.chances.iter().rev());
        if front == 0 && back == 0 {
            return self;
        }
        let kept = self.chances[front..self.chances.len() - back].into();
        Self { exact: self.exact, first: self.first + front as i128 * self.step, step: self.step, chances: kept }
    }

    /// On fewer steps, where there are too many.
    fn coarse(self) -> Self {
        if self.exact || self.chances.len() <= 2 * COARSE_STEPS {
            return self;
        }
        let times = divided_up(self.chances.len() as i128 - 1, COARSE_STEPS as i128 - 1);
        let step = self.step * times;
        self.on(step)
    }

    /// On larger steps.
    fn on(self, step: i128) -> Self {
        if step == self.step {
            return self;
        }
        let amounts = self.chances.iter().enumerate().map(|(at, chance)| (at as i128 * self.step, *chance));
        Self { exact: self.exact, first: self.first, step, chances: put(amounts, step).into() }
    }
}

/// Puts amounts from 0 on, in order, on steps: one that lies between two of them goes to both, by how near it is, so that the mean
/// stays as it is.
fn put(amounts: impl Iterator<Item = (i128, u64)>, step: i128) -> Vec<u64> {
    let mut chances = Vec::new();
    let mut add = |at: usize, chance: u64| {
        if chances.len() <= at {
            chances.resize(at + 1, 0);
        }
        chances[at] += chance;
    };
    for (amount, chance) in amounts.filter(|(_, chance)| *chance > 0) {
        let (at, over) = (usize::try_from(amount / step).unwrap_or(usize::MAX), amount % step);
        let above = cut(u128::from(chance) * over.unsigned_abs() / step.unsigned_abs());
        add(at, chance - above);
        if above > 0 {
            add(at + 1, above);
        }
    }
    chances
}

/// Adds to sums of chances the products of one chance with others, each cut downwards: with lists of 4,096 chances no more is lost of all
/// together than 2^24 parts of 2^62.
fn add_products(sums: &mut [u64], chance: u64, others: &[u64]) {
    if chance == 0 {
        return;
    }
    let sums = sums.iter_mut().zip(others);
    if chance == ONE {
        return sums.for_each(|(sum, other)| *sum += other);
    }
    // Chances are parts of 2^62: four times one makes the upper half of a product a chance. No sum is more than all chances together, ONE.
    let four = u128::from(4 * chance);
    sums.for_each(|(sum, other)| *sum = sum.wrapping_add(cut((four * u128::from(*other)) >> 64)));
}

/// A chance, which is never more than one.
fn cut(chance: u128) -> u64 {
    u64::try_from(chance).unwrap_or(ONE)
}

fn divided_up(number: i128, by: i128) -> i128 {
    (number + by - 1) / by
}

pub(super) fn gcd(one: i128, other: i128) -> i128 {
    let (mut one, mut other) = (one.abs(), other.abs());
    while other != 0 {
        (one, other) = (other, one % other);
    }
    one
}
