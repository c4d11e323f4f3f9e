//! Says whether a `when` or `must` holds for a unit, given the names that are true for it.
//!
//! Rule `expressions`.

use std::collections::BTreeSet;

use super::sheets::{Key, key};

#[derive(Clone, Debug, PartialEq)]
enum Token {
    Open,
    Close,
    And,
    Or,
    Not,
    Name(Key),
}

/// Whether an expression holds; a blank one always does.
pub fn holds(text: &str, truths: &BTreeSet<Key>) -> bool {
    let tokens = tokens(text);
    if tokens.is_empty() {
        return true;
    }
    let (value, rest) = any_of(&tokens, truths);
    assert!(rest.is_empty(), "something after the end of: {text}");
    value
}

/// One or more terms joined by `or`.
fn any_of<'a>(tokens: &'a [Token], truths: &BTreeSet<Key>) -> (bool, &'a [Token]) {
    let (mut value, mut rest) = all_of(tokens, truths);
    while rest.first() == Some(&Token::Or) {
        let (next, after) = all_of(&rest[1..], truths);
        value = value || next;
        rest = after;
    }
    (value, rest)
}

/// One or more terms joined by `and`.
fn all_of<'a>(tokens: &'a [Token], truths: &BTreeSet<Key>) -> (bool, &'a [Token]) {
    let (mut value, mut rest) = term(tokens, truths);
    while rest.first() == Some(&Token::And) {
        let (next, after) = term(&rest[1..], truths);
        value = value && next;
        rest = after;
    }
    (value, rest)
}

/// A name, a `not` before a term, or an expression in parentheses.
fn term<'a>(tokens: &'a [Token], truths: &BTreeSet<Key>) -> (bool, &'a [Token]) {
    let (first, rest) = tokens.split_first().expect("a name, `not` or `(`");
    match first {
        Token::Not => {
            let (value, rest) = term(rest, truths);
            (!value, rest)
        }
        Token::Open => {
            let (value, rest) = any_of(rest, truths);
            assert_eq!(rest.first(), Some(&Token::Close), "a parenthesis is not closed");
            (value, &rest[1..])
        }
        Token::Name(name) => (truths.contains(name), rest),
        other => panic!("a name was expected, not {other:?}"),
    }
}

fn tokens(text: &str) -> Vec<Token> {
    let mut tokens = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let (token, after) = match first {
            '(' => (Token::Open, &rest[1..]),
            ')' => (Token::Close, &rest[1..]),
            '"' => {
                let (name, after) = rest[1..].split_once('"').expect("a closing quote");
                (Token::Name(key(name)), after)
            }
            _ => {
                let ends = |sign: char| sign.is_whitespace() || "()\"".contains(sign);
                let (word, after) = rest.split_at(rest.find(ends).unwrap_or(rest.len()));
                (word_token(word), after)
            }
        };
        tokens.push(token);
        rest = after.trim_start();
    }
    tokens
}

fn word_token(word: &str) -> Token {
    match key(word).as_str() {
        "and" => Token::And,
        "or" => Token::Or,
        "not" => Token::Not,
        name => Token::Name(name.to_string()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn not_binds_tightest_then_and() {
        let truths = BTreeSet::from(["a".to_string(), "dunlin 15".to_string()]);
        for (text, expected) in [
            ("", true),
            ("A", true),
            ("not A or A", true),
            ("b and b or a", true),
            ("b and (b or a)", false),
            ("not b and a", true),
            ("not (a and b)", true),
            ("not not \"Dunlin 15\"", true),
            ("a and\"DUNLIN 15\"and not b-2", true),
        ] {
            assert_eq!(holds(text, &truths), expected, "{text}");
        }
    }
}
