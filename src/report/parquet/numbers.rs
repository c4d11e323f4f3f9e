//! The different numbers of a row group.

/// Numbers, each with its key: the first to come has the first.
pub struct Numbers {
    values: Vec<i64>,
    /// At a number's place, or behind it: one more than its key; 0 where there is none.
    slots: Vec<u32>,
    near: bool,
}

/// Slots at first. There are always twice as many as numbers, and a power of two.
const FEW: usize = 1 << 8;
/// An odd number without a pattern, of which the product's upper bits are taken: two to the sixty-fourth by the golden ratio.
const SPREAD: u64 = 0x9E37_79B9_7F4A_7C15;

impl Numbers {
    /// Without any. Times come one soon after the other, so their places are `near` each other.
    pub fn new(near: bool) -> Self {
        Self { values: Vec::new(), slots: vec![0; FEW], near }
    }

    /// The key of a number.
    pub fn key(&mut self, number: i64) -> u32 {
        let mut slot = self.place(number);
        loop {
            match self.slots[slot] {
                0 => return self.add(number, slot),
                key if self.values[key as usize - 1] == number => return key - 1,
                _ => slot = (slot + 1) & (self.slots.len() - 1),
            }
        }
    }

    /// The numbers, by key.
    pub fn values(&self) -> &[i64] {
        &self.values
    }

    /// For the next row group.
    pub fn clear(&mut self) {
        self.values.clear();
        self.slots.fill(0);
    }

    /// Where a number's slot is, unless others took it.
    fn place(&self, number: i64) -> usize {
        let spread = |number: u64| number.wrapping_mul(SPREAD) >> (64 - self.slots.len().trailing_zeros());
        let place = if self.near {
            let (minutes, seconds) = (number.div_euclid(60), number.rem_euclid(60));
            minutes.cast_unsigned().wrapping_add(spread(seconds.cast_unsigned()))
        } else {
            spread(number.cast_unsigned())
        };
        place as usize & (self.slots.len() - 1)
    }

    #[cold]
    fn add(&mut self, number: i64, slot: usize) -> u32 {
        self.values.push(number);
        self.slots[slot] = self.values.len() as u32;
        if self.values.len() * 2 > self.slots.len() {
            self.grow();
        }
        self.values.len() as u32 - 1
    }

    fn grow(&mut self) {
        self.slots = vec![0; self.slots.len() * 2];
        for key in 0..self.values.len() {
            let mut slot = self.place(self.values[key]);
            while self.slots[slot] != 0 {
                slot = (slot + 1) & (self.slots.len() - 1);
            }
            self.slots[slot] = key as u32 + 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_keeps_its_key_however_many_come() {
        for near in [false, true] {
            let mut numbers = Numbers::new(near);
            let mut random = fastrand::Rng::with_seed(5);
            for _ in 0..3 {
                let mut seen: Vec<i64> = vec![i64::MIN, i64::MAX, 0, -1, 59, 60, 61];
                seen.extend((0..5000).map(|_| random.i64(..) >> random.u32(..64)));
                let keys: Vec<u32> = seen.iter().map(|number| numbers.key(*number)).collect();
                assert_eq!(keys[..7], [0, 1, 2, 3, 4, 5, 6]);
                assert!(seen.iter().zip(&keys).all(|(number, key)| numbers.values()[*key as usize] == *number));
                assert!(seen.iter().zip(&keys).all(|(number, key)| numbers.key(*number) == *key));
                let different: std::collections::BTreeSet<i64> = seen.into_iter().collect();
                assert_eq!(numbers.values().len(), different.len());
                numbers.clear();
            }
        }
    }
}
