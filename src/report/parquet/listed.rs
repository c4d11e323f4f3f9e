//! Texts of a list, and those of them that a row group uses.

use std::borrow::Cow;
use std::collections::HashMap;

/// A text that no row of the row group has used.
const UNUSED: u32 = u32::MAX;
/// The place of an empty text, which stands for nothing.
const NOTHING: u32 = u32::MAX;

/// A list of the plan as a dictionary, each text in it once.
pub struct Listed {
    texts: Vec<Box<str>>,
    /// For each place in the list the number of its text.
    numbers: Vec<u32>,
    /// For each text its key in the row group.
    keys: Vec<u32>,
    /// The texts that are used, by key.
    used: Vec<u32>,
    /// The place that was asked for last, and its key: most rows have the text of the row before.
    last: (i64, Option<u32>),
    strange: bool,
}

impl Listed {
    /// With the texts of a list.
    pub fn new(list: &[Cow<'_, str>]) -> Self {
        let mut known: HashMap<&str, u32> = HashMap::new();
        let mut texts: Vec<Box<str>> = Vec::new();
        let number = |text| {
            *known.entry(text).or_insert_with(|| {
                texts.push(Box::from(text));
                texts.len() as u32 - 1
            })
        };
        let numbers: Vec<u32> = list.iter().map(|text| &**text).map(number).collect();
        let numbers = numbers.into_iter().zip(list).map(|(number, text)| if text.is_empty() { NOTHING } else { number });
        let (numbers, keys) = (numbers.collect(), vec![UNUSED; texts.len()]);
        Self { texts, numbers, keys, used: Vec::new(), last: (-1, None), strange: false }
    }

    /// All texts.
    pub fn texts(&self) -> impl ExactSizeIterator<Item = &str> {
        self.texts.iter().map(|text| &**text)
    }

    /// The key of the text at a place of the list; `None` where that is empty.
    pub fn key(&mut self, place: i64) -> Option<u32> {
        if place != self.last.0 {
            self.last = (place, self.find(place));
        }
        self.last.1
    }

    fn find(&mut self, place: i64) -> Option<u32> {
        let Some(number) = self.numbers.get(place as usize) else {
            self.strange = true;
            return None;
        };
        let key = self.keys.get_mut(*number as usize)?;
        if *key == UNUSED {
            *key = self.used.len() as u32;
            self.used.push(*number);
        }
        Some(*key)
    }

    /// The texts that are used, by key.
    pub fn used(&self) -> impl ExactSizeIterator<Item = &str> {
        self.used.iter().map(|number| &*self.texts[*number as usize])
    }

    /// Whether a place was asked for that the list does not have.
    pub fn strange(&self) -> bool {
        self.strange
    }

    /// For the next row group.
    pub fn clear(&mut self) {
        self.used.drain(..).for_each(|number| self.keys[number as usize] = UNUSED);
        self.last = (-1, None);
    }
}
