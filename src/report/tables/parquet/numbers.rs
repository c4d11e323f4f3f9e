//! The different numbers of a row group.

use crate::base::numbered;
use foldhash::fast::FixedState;
use std::collections::HashMap;

/// Numbers, each with its key: the first to come has the first.
#[derive(Default)]
pub struct Numbers {
    values: Vec<i64>,
    keys: HashMap<i64, u32, FixedState>,
    /// The last number that was asked for, and its key: many rows have that of the row before.
    last: Option<(i64, u32)>,
}

impl Numbers {
    /// The key of a number.
    pub fn key(&mut self, number: i64) -> u32 {
        if let Some((_, key)) = self.last.filter(|(last, _)| *last == number) {
            return key;
        }
        let key = *self.keys.entry(number).or_insert_with(|| {
            self.values.push(number);
            numbered(self.values.len() - 1)
        });
        self.last = Some((number, key));
        key
    }

    /// The numbers, by key.
    pub fn values(&self) -> &[i64] {
        &self.values
    }

    /// For the next row group.
    pub fn clear(&mut self) {
        self.values.clear();
        self.keys.clear();
        self.last = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_keeps_its_key_however_many_come() {
        let mut numbers = Numbers::default();
        let mut random = fastrand::Rng::with_seed(5);
        for _ in 0..3 {
            let mut seen: Vec<i64> = vec![i64::MIN, i64::MAX, 0, 0, -1, 59, 60];
            seen.extend((0..5000).map(|_| random.i64(..) >> random.u32(..64)));
            let keys: Vec<u32> = seen.iter().map(|number| numbers.key(*number)).collect();
            assert_eq!(keys[..7], [0, 1, 2, 2, 3, 4, 5]);
            assert!(seen.iter().zip(&keys).all(|(number, key)| numbers.values()[*key as usize] == *number));
            assert!(seen.iter().zip(&keys).all(|(number, key)| numbers.key(*number) == *key));
            let different: std::collections::BTreeSet<i64> = seen.into_iter().collect();
            assert_eq!(numbers.values().len(), different.len());
            numbers.clear();
        }
    }
}
