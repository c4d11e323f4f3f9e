//! Expressions of names with `and`, `or`, `not` and parentheses, as bills and rules use them.

use std::collections::BTreeSet;

/// Whether an expression holds for the names that are true; blank means always.
pub fn holds(text: &str, names: &BTreeSet<String>) -> bool {
    let words = words(text);
    words.is_empty() || any_of(&words, &mut 0, names)
}

/// The names and operators of an expression, quotes taken off.
pub fn words(text: &str) -> Vec<String> {
    let mut out = Vec::new();
    for (n, piece) in text.split('"').enumerate() {
        if n % 2 == 1 {
            out.push(piece.to_string());
        } else {
            let spaced = piece.replace('(', " ( ").replace(')', " ) ");
            out.extend(spaced.split_whitespace().map(str::to_string));
        }
    }
    out
}

fn next_is(words: &[String], at: &mut usize, word: &str) -> bool {
    let found = words.get(*at).is_some_and(|w| w == word);
    *at += usize::from(found);
    found
}

fn any_of(words: &[String], at: &mut usize, names: &BTreeSet<String>) -> bool {
    let mut value = all_of(words, at, names);
    while next_is(words, at, "or") {
        value |= all_of(words, at, names);
    }
    value
}

fn all_of(words: &[String], at: &mut usize, names: &BTreeSet<String>) -> bool {
    let mut value = one(words, at, names);
    while next_is(words, at, "and") {
        value &= one(words, at, names);
    }
    value
}

fn one(words: &[String], at: &mut usize, names: &BTreeSet<String>) -> bool {
    if next_is(words, at, "not") {
        return !one(words, at, names);
    }
    if next_is(words, at, "(") {
        let value = any_of(words, at, names);
        next_is(words, at, ")");
        return value;
    }
    *at += 1;
    names.contains(&words[*at - 1])
}
