//! Sets of names.

use crate::base::NameId;

/// A set of names, one bit each: what is true for a unit.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct NameSet(Vec<u64>);

impl NameSet {
    /// The empty set, with room for so many names.
    pub fn new(names: usize) -> Self {
        Self(vec![0; names.div_ceil(64)])
    }

    /// Adds a name; whether it was missing.
    pub fn insert(&mut self, name: NameId) -> bool {
        let missing = !self.contains(name);
        self.0[name.at() / 64] |= 1 << (name.0 % 64);
        missing
    }

    /// Takes a name out; whether it was there.
    pub fn remove(&mut self, name: NameId) -> bool {
        let there = self.contains(name);
        if there {
            self.0[name.at() / 64] &= !(1 << (name.0 % 64));
        }
        there
    }

    /// The names that are in one of two sets and not in the other, in order.
    pub fn differing(&self, other: &Self) -> impl Iterator<Item = NameId> {
        Self(self.0.iter().zip(&other.0).map(|(a, b)| a ^ b).collect()).into_names()
    }

    /// Whether a name is in it.
    pub fn contains(&self, name: NameId) -> bool {
        self.0.get(name.at() / 64).is_some_and(|word| word >> (name.0 % 64) & 1 == 1)
    }

    /// The names in it, in order.
    pub fn iter(&self) -> impl Iterator<Item = NameId> {
        let bits = |word: u64| (0..64).filter(move |bit| word >> bit & 1 == 1);
        self.0.iter().zip(0_u32..).flat_map(move |(word, at)| bits(*word).map(move |bit| NameId(at * 64 + bit)))
    }

    fn into_names(self) -> impl Iterator<Item = NameId> {
        let bits = |word: u64| (0..64).filter(move |bit| word >> bit & 1 == 1);
        self.0.into_iter().zip(0_u32..).flat_map(move |(word, at)| bits(word).map(move |bit| NameId(at * 64 + bit)))
    }

    /// Only the names that `other` has too.
    #[must_use]
    pub fn masked(&self, other: &Self) -> Self {
        Self(self.0.iter().zip(&other.0).map(|(a, b)| a & b).collect())
    }
}
