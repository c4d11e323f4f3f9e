//! Texts of a list, and those of them that a row group uses.

use super::keys::NOTHING;
use crate::base::{MustBe, numbered};
use std::borrow::Cow;
use std::collections::HashMap;
use std::io::{Error, Result};

/// The key of what the row group has not used.
const UNUSED: u32 = NOTHING;

/// A list of the plan as a dictionary, each text in it once.
pub struct Listed {
    texts: Vec<Box<str>>,
    /// For each place in the list the number of its text; `None` for an empty one, which stands for nothing.
    numbers: Vec<Option<u32>>,
    /// For each text its key in the row group.
    keys: Vec<u32>,
    /// The texts that the row group uses, by key.
    used: Vec<u32>,
    /// The keys once more, for each place that was asked for.
    known: Vec<u32>,
    asked: Vec<usize>,
    strange: bool,
}

impl Listed {
    /// With the texts of a list.
    pub fn new(list: &[Cow<'_, str>]) -> Self {
        let mut known: HashMap<&str, u32, foldhash::fast::RandomState> = HashMap::default();
        let mut texts: Vec<Box<str>> = Vec::new();
        let number = |text| {
            let number = *known.entry(text).or_insert_with(|| {
                texts.push(Box::from(text));
                numbered(texts.len() - 1)
            });
            Some(number).filter(|_| !text.is_empty())
        };
        let numbers: Vec<Option<u32>> = list.iter().map(|text| &**text).map(number).collect();
        let (keys, known) = (vec![UNUSED; texts.len()], vec![UNUSED; list.len()]);
        Self { texts, numbers, keys, used: Vec::new(), known, asked: Vec::new(), strange: false }
    }

    /// All texts.
    pub fn texts(&self) -> impl ExactSizeIterator<Item = &str> {
        self.texts.iter().map(|text| &**text)
    }

    /// The key of the text at a place of the list; [`NOTHING`] where that is empty.
    pub fn key(&mut self, place: i64) -> u32 {
        let place = usize::try_from(place).must("a text's place in its list is below zero");
        match self.known.get(place) {
            Some(key) if *key != UNUSED => *key,
            _ => self.find(place),
        }
    }

    #[cold]
    fn find(&mut self, place: usize) -> u32 {
        let Some(number) = self.numbers.get(place) else {
            self.strange = true;
            return NOTHING;
        };
        let Some(number) = *number else { return NOTHING };
        let key = &mut self.keys[number as usize];
        if *key == UNUSED {
            *key = numbered(self.used.len());
            self.used.push(number);
        }
        self.known[place] = *key;
        self.asked.push(place);
        *key
    }

    /// The texts that the row group uses, by key.
    ///
    /// # Errors
    /// Where a place was asked for that the list does not have.
    pub fn used(&self) -> Result<impl ExactSizeIterator<Item = &str>> {
        match self.strange {
            true => Err(Error::other("a text is in no list of the plan")),
            false => Ok(self.used.iter().map(|number| &*self.texts[*number as usize])),
        }
    }

    /// For the next row group.
    pub fn clear(&mut self) {
        self.used.drain(..).for_each(|number| self.keys[number as usize] = UNUSED);
        self.asked.drain(..).for_each(|place| self.known[place] = UNUSED);
    }
}
