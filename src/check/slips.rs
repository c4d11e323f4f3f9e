//! Slips of the pen: which known code was meant by one that nothing has, where one would bet on it.
//!
//! A plant keeps stock of many parts that the book does not know, and their codes are made like those it knows: `KAM-02` beside
//! `KAM-03`, `WN-20L` beside `WN-20R`. So a code is near only where it
//! - has the same letters and digits: blanks, dashes and zeros before a number are left out or put in (`kam 1`, `KAM01` for
//!   `KAM-01`); a mark between two digits must stay (`1/2`, `4.5`), and a dash there, too, unless it leaves five digits or more
//!   (`123456` for `123-456`);
//! - has a letter for the digit that looks like it, or the other way round: O for 0, I or L for 1;
//! - has one letter of a word changed, missing, added or swapped with the next (`KMA-01`), the word has three letters or more
//!   where it is right, the wrong one stands in no known code, and in no more than two that are not: else it is another family.
//!
//! Another digit is never near, nor is a letter that stands alone: those are what tells one part from its siblings.

use crate::base::numbered;
use foldhash::fast::FixedState;
use std::collections::{HashMap, HashSet};
use std::hash::BuildHasher;
use std::ops::Range;

/// The shortest and the longest word that is looked at letter by letter.
const WORD: Range<usize> = 3..25;
/// A dash between digits may be left out of so many digits or more.
const LONG_NUMBER: usize = 5;
/// A word that more unknown codes have is no slip.
const SAME_SLIP: u32 = 2;
/// So many words that lack the same letter are looked at.
const MOST_LIKE: usize = 100;

type Index<K> = HashMap<K, u32, FixedState>;

/// For each code that was found, none of which is known, the index of the known one that was meant. Takes time as all
/// codes have letters, and the logarithm of that.
pub fn meant(known: &[&str], found: &[&str]) -> Vec<Option<usize>> {
    let folded = |codes: &[&str]| codes.iter().map(|code| code.to_lowercase()).collect::<Vec<String>>();
    let (known, found) = (folded(known), folded(found));
    let marks = Marks::of(&known);
    let words = Words::of(&known, &found);
    let of_one = |code: &String| marks.find(code).or_else(|| words.find(code, &marks));
    found.iter().map(|code| of_one(code).map(|id| id as usize)).collect()
}

/// Known codes by what is left of them without dashes, blanks and zeros.
struct Marks<'c> {
    known: &'c [String],
    /// By their letters and numbers, marks between digits kept.
    plain: Index<String>,
    /// By all that is no mark which may be left out, and each letter that looks like a digit as that digit.
    alike: Index<String>,
}

impl<'c> Marks<'c> {
    fn of(known: &'c [String]) -> Self {
        let mut marks = Self { known, plain: Index::default(), alike: Index::default() };
        for (id, code) in (0_u32..).zip(known) {
            marks.plain.entry(plain(code)).or_insert(id);
            marks.alike.entry(joined(code).chars().map(like_a_digit).collect()).or_insert(id);
        }
        marks
    }

    fn find(&self, code: &str) -> Option<u32> {
        let plain = plain(code);
        // A code of marks alone is near to nothing.
        if plain.is_empty() {
            return None;
        }
        self.plain.get(&plain).copied().or_else(|| self.find_alike(code))
    }

    fn find_alike(&self, code: &str) -> Option<u32> {
        let bare = joined(code);
        let id = *self.alike.get(&bare.chars().map(like_a_digit).collect::<String>())?;
        let (code, other) = (code, &self.known[id as usize]);
        let meant = joined(other);
        if bare == meant {
            let dashes = [code, other].map(|code| plain(code).contains('-'));
            return (longest_number(&bare) >= LONG_NUMBER && dashes != [true, true]).then_some(id);
        }
        let one_is_a_digit = |(a, b): (char, char)| a == b || a.is_ascii_digit() != b.is_ascii_digit();
        bare.chars().zip(meant.chars()).all(one_is_a_digit).then_some(id)
    }
}

/// Letters and numbers: without zeros before a number, with one dash for what else stands between two digits, and with a
/// point, comma or slash there as it is.
fn plain(code: &str) -> String {
    let mut plain = String::with_capacity(code.len());
    let mut between = None;
    let mut letters = code.chars().peekable();
    while let Some(letter) = letters.next() {
        if !letter.is_alphanumeric() {
            between = between.filter(|mark| *mark != '-').or(Some(if keeps(letter) { letter } else { '-' }));
            continue;
        }
        let after_digit = plain.ends_with(|last: char| last.is_ascii_digit());
        let mark = between.take().filter(|_| after_digit && letter.is_ascii_digit());
        plain.extend(mark);
        let begins = !after_digit || mark.is_some_and(|mark| !matches!(mark, '.' | ','));
        if letter == '0' && begins && letters.peek().is_some_and(char::is_ascii_digit) {
            continue;
        }
        plain.push(letter);
    }
    plain
}

/// Without marks, but for those between digits that say something.
fn joined(code: &str) -> String {
    let letters: Vec<char> = code.chars().collect();
    let digit = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let stays = |at: &usize| {
        let letter = letters[*at];
        letter.is_alphanumeric() || keeps(letter) && digit(at.checked_sub(1)) && digit(Some(at + 1))
    };
    (0..letters.len()).filter(stays).map(|at| letters[at]).collect()
}

/// Whether a mark between digits says something: a decimal, a part of something.
fn keeps(mark: char) -> bool {
    matches!(mark, '.' | ',' | '/')
}

fn like_a_digit(letter: char) -> char {
    match letter {
        'o' => '0',
        'i' | 'l' => '1',
        _ => letter,
    }
}

fn longest_number(text: &str) -> usize {
    text.split(|letter: char| !letter.is_ascii_digit()).map(str::len).max().unwrap_or_default()
}

/// The words of known codes, by what is left of them without one of their letters, and which words are slips.
struct Words<'c> {
    known: Vec<&'c str>,
    /// The hash of what is left, and the word.
    without_one: Vec<(u64, u32)>,
    /// Words that no known code has, and only few unknown ones.
    slips: HashSet<&'c str, FixedState>,
}

impl<'c> Words<'c> {
    fn of(known: &'c [String], found: &'c [String]) -> Self {
        let mut index: Index<&str> = Index::default();
        let mut words = Vec::new();
        for word in known.iter().flat_map(|code| words_of(code)).map(|(_, word)| word) {
            index.entry(word).or_insert_with(|| {
                words.push(word);
                numbered(words.len() - 1)
            });
        }
        let mut times: Index<&str> = Index::default();
        for code in found {
            let all: HashSet<&str, FixedState> = words_of(code).map(|(_, word)| word).collect();
            all.into_iter().for_each(|word| *times.entry(word).or_default() += 1);
        }
        let slips = times.into_iter().filter(|(word, times)| *times <= SAME_SLIP && !index.contains_key(word));
        let right = (0_u32..).zip(&words).filter(|(_, word)| WORD.contains(&word.chars().count()));
        let mut without_one: Vec<(u64, u32)> =
            right.flat_map(|(id, word)| shorter(word).into_iter().map(move |hash| (hash, id))).collect();
        without_one.sort_unstable();
        Self { without_one, slips: slips.map(|(word, _)| word).collect(), known: words }
    }

    /// The known code that has another word in one place.
    fn find(&self, code: &str, marks: &Marks<'_>) -> Option<u32> {
        let slips = words_of(code).filter(|(_, word)| self.slips.contains(word));
        let other = |(at, word): (usize, &str)| {
            let codes = self.like(word).into_iter().filter_map(|right| {
                let meant = format!("{}{right}{}", &code[..at], &code[at + word.len()..]);
                marks.plain.get(&plain(&meant)).copied()
            });
            codes.min()
        };
        slips.filter_map(other).min()
    }

    /// The words of known codes that are one letter away.
    fn like(&self, word: &str) -> Vec<&'c str> {
        if word.chars().count() >= WORD.end {
            return Vec::new();
        }
        let mut ids: Vec<u32> = Vec::new();
        for hash in shorter(word) {
            let from = self.without_one.partition_point(|(known, _)| *known < hash);
            let same = self.without_one[from..].iter().take_while(|(known, _)| *known == hash).take(MOST_LIKE);
            ids.extend(same.map(|(_, id)| *id));
        }
        ids.sort_unstable();
        ids.dedup();
        let words = ids.into_iter().map(|id| self.known[id as usize]);
        words.filter(|right| strsim::osa_distance(word, right) == 1).collect()
    }
}

/// The runs of letters of a code that are longer than one, and where each begins.
fn words_of(code: &str) -> impl Iterator<Item = (usize, &str)> {
    let other = |letter: char| !letter.is_alphabetic();
    let placed = code.split_inclusive(other).scan(0, move |next, piece| {
        let at = *next;
        *next += piece.len();
        Some((at, piece.trim_end_matches(other)))
    });
    placed.filter(|(_, word)| word.chars().nth(1).is_some())
}

/// Hashes of a word and of the word without each of its letters: two words share one where they are one letter apart.
fn shorter(word: &str) -> Vec<u64> {
    let state = FixedState::default();
    let without = |(at, letter): (usize, char)| format!("{}{}", &word[..at], &word[at + letter.len_utf8()..]);
    let mut hashes: Vec<u64> = word.char_indices().map(|place| state.hash_one(without(place))).collect();
    hashes.push(state.hash_one(word));
    hashes.sort_unstable();
    hashes.dedup();
    hashes
}

#[cfg(test)]
mod tests {
    use super::*;

    const KNOWN: [&str; 12] = [
        "KAM-01",
        "KAM-03",
        "WN-20L",
        "SINK",
        "HB4-01",
        "123-456",
        "00417",
        "PIPE 1/2",
        "SCREW-4.5",
        "CABIN-7",
        "WALL-7",
        "A-0",
    ];

    fn near(found: &str) -> Option<&'static str> {
        meant(&KNOWN, &[found])[0].map(|at| KNOWN[at])
    }

    #[test]
    fn what_one_would_bet_on() {
        let cases = [
            ("KAM01", "KAM-01"),
            ("kam 1", "KAM-01"),
            ("KAM-001", "KAM-01"),
            ("KAM-O1", "KAM-01"),
            ("KAM-0I", "KAM-01"),
            ("K4M-01", ""),
            ("KMA-01", "KAM-01"),
            ("KAN-01", "KAM-01"),
            ("KA-03", "KAM-03"),
            ("KAMM-03", "KAM-03"),
            ("KAM-01.", "KAM-01"),
            ("WN20L", "WN-20L"),
            ("SNIK", "SINK"),
            ("S1NK", "SINK"),
            ("123456", "123-456"),
            ("417", "00417"),
            ("HB4-1", "HB4-01"),
            ("CABIIN 07", "CABIN-7"),
        ];
        for (found, meant) in cases {
            assert_eq!(near(found).unwrap_or_default(), meant, "{found}");
        }
    }

    /// Siblings, other sizes, and what has nothing in common.
    #[test]
    fn what_may_be_another_part() {
        let others = [
            "KAM-02",
            "KAM-10",
            "KAM-11",
            "KAM-30",
            "WN-20R",
            "WN-20",
            "WN-02L",
            "HB4-10",
            "123-457",
            "123465",
            "12-3456",
            "PIPE 12",
            "PIPE 2/1",
            "SCREW-45",
            "SCREW-4.05",
            "SCREW-5",
            "CABIN-8",
            "WALL-70",
            "BOLT",
            "SINK-2",
            "---",
            "",
            "A",
            "CABIN",
        ];
        for found in others {
            assert_eq!(near(found), None, "{found}");
        }
    }

    /// One `BOL-1` for `BOX-1` is a slip; three codes with the word are a family, and so is one whose word is known.
    #[test]
    fn a_word_that_others_have_is_right() {
        let known = ["BOX-1", "BOX-2", "BOX-3", "HOOK-9"];
        assert_eq!(meant(&known, &["BOL-1", "BOL-2"]), [Some(0), Some(1)]);
        assert_eq!(meant(&known, &["BOL-1", "BOL-2", "BOL-3"]), [None; 3]);
        assert_eq!(meant(&["BOX-1", "BOX-2", "BOL-9"], &["BOL-1"]), [None]);
    }
}
