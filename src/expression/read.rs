//! Text into the steps of a condition, each mistake with the letters that it is about.

use super::{Mistake, Step};
use crate::base::NameId;

/// A name of several words that may lack its quotation marks has no more than these.
const MOST_WORDS: usize = 8;

/// How deep parentheses and `not` may nest.
const DEPTH: usize = 60;

#[derive(Debug, PartialEq, Eq)]
pub(super) enum Token {
    Name(String),
    And,
    Or,
    Not,
    Open,
    Close,
}

impl Token {
    /// The word that it is written as.
    fn word(&self) -> Option<&str> {
        match self {
            Self::Name(name) => Some(name),
            Self::And => Some("and"),
            Self::Or => Some("or"),
            Self::Not => Some("not"),
            Self::Open | Self::Close => None,
        }
    }
}

pub(super) type Spanned = (Token, (usize, usize));

pub(super) fn tokens(text: &str) -> Result<Vec<Spanned>, Mistake> {
    let mut out = Vec::new();
    let mut at = 0;
    while let Some(first) = text[at..].chars().next() {
        let rest = &text[at..];
        let (token, length) = match first {
            c if c.is_whitespace() => {
                at += c.len_utf8();
                continue;
            }
            '(' => (Token::Open, 1),
            ')' => (Token::Close, 1),
            '"' | '\'' => {
                quoted(rest, first).ok_or_else(|| mistake((at, text.len()), "this quotation mark is not closed"))?
            }
            _ => {
                let end = rest.find(|c: char| c.is_whitespace() || matches!(c, '(' | ')' | '"')).unwrap_or(rest.len());
                (word(&rest[..end]), end)
            }
        };
        out.push((token, (at, at + length)));
        at += length;
    }
    Ok(out)
}

fn quoted(rest: &str, mark: char) -> Option<(Token, usize)> {
    let end = rest[1..].find(mark)?;
    Some((Token::Name(rest[1..=end].trim().to_owned()), end + 2))
}

fn word(text: &str) -> Token {
    match text.to_lowercase().as_str() {
        "and" => Token::And,
        "or" => Token::Or,
        "not" => Token::Not,
        _ => Token::Name(text.to_owned()),
    }
}

fn mistake(span: (usize, usize), message: impl Into<String>) -> Mistake {
    Mistake { span, message: message.into(), unknown_name: false, quote: None }
}

/// Reads the pieces of a condition into steps.
pub(super) struct Reader<F> {
    pub(super) tokens: Vec<Spanned>,
    pub(super) at: usize,
    pub(super) end: usize,
    pub(super) steps: Vec<Step>,
    pub(super) unknown: Vec<Mistake>,
    pub(super) name: F,
}

impl<F: Fn(&str) -> Option<NameId>> Reader<F> {
    pub(super) fn either(&mut self, depth: usize) -> Result<(), Mistake> {
        self.both(depth)?;
        while self.take(&Token::Or) {
            self.both(depth)?;
            self.steps.push(Step::Or);
        }
        Ok(())
    }

    fn both(&mut self, depth: usize) -> Result<(), Mistake> {
        self.one(depth)?;
        while self.take(&Token::And) {
            self.one(depth)?;
            self.steps.push(Step::And);
        }
        Ok(())
    }

    fn one(&mut self, depth: usize) -> Result<(), Mistake> {
        let span = self.span();
        if depth > DEPTH {
            return Err(mistake(span, "this is nested too deeply"));
        }
        if self.take(&Token::Not) {
            self.one(depth + 1)?;
            self.steps.push(Step::Not);
            return Ok(());
        }
        if self.take(&Token::Open) {
            self.either(depth + 1)?;
            let missing = self.with_quote(mistake(self.span(), "expected ')'"));
            return if self.take(&Token::Close) { Ok(()) } else { Err(missing) };
        }
        let Some((Token::Name(name), _)) = self.tokens.get(self.at) else {
            return Err(mistake(span, "expected a name, 'not' or '('"));
        };
        match (self.name)(name) {
            Some(id) => self.steps.push(Step::Name(id)),
            None => {
                let wrong = Mistake { span, message: name.clone(), unknown_name: true, quote: None };
                let wrong = self.with_quote(wrong);
                self.unknown.push(wrong);
            }
        }
        self.at += 1;
        Ok(())
    }

    /// The mistake at this place; where the word here is a part of a name with spaces, it is about that name.
    fn with_quote(&self, wrong: Mistake) -> Mistake {
        let from = self.at.saturating_sub(MOST_WORDS - 1)..=self.at;
        let mut stretches = from.flat_map(|from| {
            let last = (from + MOST_WORDS).min(self.tokens.len());
            ((self.at + 1).max(from + 2)..=last).map(move |until| from..until)
        });
        let found = stretches.find_map(|stretch| {
            let tokens = &self.tokens[stretch];
            let words: Option<Vec<&str>> = tokens.iter().map(|(token, _)| token.word()).collect();
            let name = words?.join(" ");
            (self.name)(&name)?;
            Some((name, (tokens.first()?.1.0, tokens.last()?.1.1)))
        });
        match found {
            Some((name, span)) => Mistake { span, quote: Some(name), ..wrong },
            None => wrong,
        }
    }

    pub(super) fn finish(&self) -> Result<(), Mistake> {
        match self.tokens.get(self.at) {
            None => Ok(()),
            Some(_) => Err(self.with_quote(mistake(self.span(), "expected 'and' or 'or' before this"))),
        }
    }

    fn take(&mut self, token: &Token) -> bool {
        let there = self.tokens.get(self.at).is_some_and(|(found, _)| found == token);
        self.at += usize::from(there);
        there
    }

    fn span(&self) -> (usize, usize) {
        self.tokens.get(self.at).map_or((self.end, self.end), |(_, span)| *span)
    }
}
