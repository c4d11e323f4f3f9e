//! The different numbers of a row group.

/// Numbers, each with its key: the first to come has the first.
pub struct Numbers {
    values: Vec<i64>,
    /// Where a number's hash says, or behind that: one more than its key, or 0.
    slots: Vec<u32>,
    /// The number that was asked for last, and its key: many rows have the number of the row before.
    last: Option<(i64, u32)>,
}

/// Slots at first. There are always twice as many as numbers.
const FEW: usize = 1 << 8;
/// An odd number without a pattern, of which the product's upper bits are taken: two to the sixty-fourth by the golden ratio.
const SPREAD: u64 = 0x9E37_79B9_7F4A_7C15;

impl Default for Numbers {
    fn default() -> Self {
        Self { values: Vec::new(), slots: vec![0; FEW], last: None }
    }
}

impl Numbers {
    /// The key of a number.
    pub fn key(&mut self, number: i64) -> u32 {
        match self.last {
            Some((last, key)) if last == number => key,
            _ => {
                let key = self.find(number);
                self.last = Some((number, key));
                key
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
        self.last = None;
    }

    fn find(&mut self, number: i64) -> u32 {
        let slot = self.slot(number);
        if self.slots[slot] == 0 {
            self.values.push(number);
            self.slots[slot] = self.values.len() as u32;
            let key = self.values.len() as u32 - 1;
            if self.values.len() * 2 > self.slots.len() {
                self.grow();
            }
            return key;
        }
        self.slots[slot] - 1
    }

    /// The slot of a number, or the free one that would be its.
    fn slot(&self, number: i64) -> usize {
        let bits = self.slots.len().trailing_zeros();
        let mut slot = (number.cast_unsigned().wrapping_mul(SPREAD) >> (64 - bits)) as usize;
        loop {
            match self.slots[slot] {
                0 => return slot,
                key if self.values[key as usize - 1] == number => return slot,
                _ => slot = (slot + 1) % self.slots.len(),
            }
        }
    }

    fn grow(&mut self) {
        self.slots = vec![0; self.slots.len() * 2];
        for key in 0..self.values.len() {
            let slot = self.slot(self.values[key]);
            self.slots[slot] = key as u32 + 1;
        }
    }
}
