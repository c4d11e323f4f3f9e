//! Everything random: numbers, picks, decimals as text, and codes in other letter case.

pub struct Dice {
    rng: fastrand::Rng,
}

impl Dice {
    pub fn new(seed: u64) -> Dice {
        Dice { rng: fastrand::Rng::with_seed(seed.wrapping_mul(0x9E37_79B9).wrapping_add(7)) }
    }

    /// True so many times in a hundred.
    pub fn chance(&mut self, percent: i64) -> bool {
        self.between(1, 100) <= percent
    }

    /// A whole number, both ends included.
    pub fn between(&mut self, low: i64, high: i64) -> i64 {
        self.rng.i64(low..=high)
    }

    pub fn pick<T: Clone>(&mut self, list: &[T]) -> T {
        list[self.rng.usize(0..list.len())].clone()
    }

    /// A pick, or blank where there is nothing to pick from.
    pub fn pick_or_none<T: Clone>(&mut self, list: &[T]) -> Option<T> {
        if list.is_empty() { None } else { Some(self.pick(list)) }
    }

    /// One of several texts.
    pub fn word(&mut self, words: &[&str]) -> String {
        self.pick(words).to_string()
    }

    /// The text so many times in a hundred, or else blank.
    pub fn maybe(&mut self, percent: i64, text: &str) -> String {
        if self.chance(percent) { text.to_string() } else { String::new() }
    }

    /// A whole number as text so many times in a hundred, or else blank.
    pub fn maybe_number(&mut self, percent: i64, low: i64, high: i64) -> String {
        let number = self.between(low, high).to_string();
        self.maybe(percent, &number)
    }

    /// A decimal with up to so many places.
    pub fn decimal(&mut self, low: i64, high: i64, places: usize) -> String {
        let scale = 10i64.pow(places as u32);
        let number = self.between(low * scale, high * scale).max(1);
        let text = format!("{}.{:0places$}", number / scale, number % scale);
        text.trim_end_matches('0').trim_end_matches('.').to_string()
    }

    /// Minutes, now and then with a fraction.
    pub fn minutes(&mut self, low: i64, high: i64) -> String {
        if self.chance(70) {
            return self.between(low, high).to_string();
        }
        let places = self.pick(&[1, 2, 3]);
        self.decimal(low, high, places)
    }

    /// A code as someone else may type it.
    pub fn spelled(&mut self, code: &str) -> String {
        match self.between(1, 20) {
            1 => code.to_lowercase(),
            2 => code.to_uppercase(),
            3 => format!(" {code}"),
            _ => code.to_string(),
        }
    }

    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        self.rng.shuffle(list);
    }

    /// Some of a list, none twice.
    pub fn some_of<T: Clone>(&mut self, list: &[T], count: usize) -> Vec<T> {
        let mut all = list.to_vec();
        self.shuffle(&mut all);
        all.truncate(count);
        all
    }
}
