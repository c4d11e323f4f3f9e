//! Expressions of names, `and`, `or`, `not` and parentheses: read with spans inside the cell, evaluated on bit sets.
//!
//! Rule `expressions`.

use crate::base::{MustBe, NameId};

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

/// One step of an expression in postfix order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Step {
    Name(NameId),
    Not,
    And,
    Or,
}

/// A piece of a condition whose own pieces are put together already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Piece<T> {
    /// A name.
    Name(NameId),
    /// What is not so.
    Not(T),
    /// Both.
    And(T, T),
    /// Either, or both.
    Or(T, T),
}

/// A condition on a unit's options, floorplan, series and line.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Expression {
    steps: Vec<Step>,
}

/// What is wrong with an expression, and which letters of the cell it is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mistake {
    /// The letters, as offsets into the text.
    pub span: (usize, usize),
    /// What was found and expected.
    pub message: String,
    /// Set where the mistake is a name that nothing has.
    pub unknown_name: bool,
    /// The name that the letters are a part of, where they would be right in quotation marks.
    pub quote: Option<String>,
}

/// A name of several words that may lack its quotation marks has no more than these.
const MOST_WORDS: usize = 8;

/// How deep parentheses and `not` may nest.
const DEPTH: usize = 60;

/// What an expression that was parsed always holds to.
const STACK: &str = "a condition takes more values than it has";

impl Expression {
    /// Reads an expression; `name` finds the id of a name, if there is one.
    ///
    /// # Errors
    /// All unknown names, or the first mistake of form.
    pub fn parse(text: &str, name: impl Fn(&str) -> Option<NameId>) -> Result<Self, Vec<Mistake>> {
        let tokens = tokens(text).map_err(|mistake| vec![mistake])?;
        let mut reader = Reader { tokens, at: 0, end: text.len(), steps: Vec::new(), unknown: Vec::new(), name };
        reader.either(0).and_then(|()| reader.finish()).map_err(|mistake| vec![mistake])?;
        if reader.unknown.is_empty() { Ok(Self { steps: reader.steps }) } else { Err(reader.unknown) }
    }

    /// Whether it is true where exactly the names of `set` are true.
    pub fn holds(&self, set: &NameSet) -> bool {
        if self.steps.len() > 60 {
            return self.holds_long(set);
        }
        // A stack of single bits: up to 60 steps never hold more than 60 values at once.
        let mut stack: u64 = 1;
        for step in &self.steps {
            match step {
                Step::Name(name) => stack = stack << 1 | u64::from(set.contains(*name)),
                Step::Not => stack ^= 1,
                Step::And => stack = stack >> 1 & (!1 | stack & 1),
                Step::Or => stack = stack >> 1 | stack & 1,
            }
        }
        stack & 1 == 1
    }

    /// For which of 64 it is true, where `names` tells for which of them a name is; `stack` is scratch.
    pub fn holds_for(&self, names: impl Fn(NameId) -> u64, stack: &mut Vec<u64>) -> u64 {
        stack.clear();
        for step in &self.steps {
            let top = if matches!(step, Step::Name(_)) { 0 } else { stack.pop().must(STACK) };
            let below = if matches!(step, Step::And | Step::Or) { stack.pop().must(STACK) } else { 0 };
            stack.push(match step {
                Step::Name(name) => names(*name),
                Step::Not => !top,
                Step::And => below & top,
                Step::Or => below | top,
            });
        }
        stack.pop().unwrap_or(u64::MAX)
    }

    fn holds_long(&self, set: &NameSet) -> bool {
        let mut stack: Vec<bool> = Vec::new();
        for step in &self.steps {
            let mut taken = || stack.pop().must(STACK);
            let value = match step {
                Step::Name(name) => set.contains(*name),
                Step::Not => !taken(),
                Step::And => taken() & taken(),
                Step::Or => taken() | taken(),
            };
            stack.push(value);
        }
        stack.pop().unwrap_or(true)
    }

    /// Put together from its names upwards; `None` where it always holds.
    pub fn fold<T>(&self, mut join: impl FnMut(Piece<T>) -> T) -> Option<T> {
        let mut stack: Vec<T> = Vec::new();
        for step in &self.steps {
            let mut taken = || stack.pop().must(STACK);
            let piece = match step {
                Step::Name(name) => Piece::Name(*name),
                Step::Not => Piece::Not(taken()),
                Step::And => Piece::And(taken(), taken()),
                Step::Or => Piece::Or(taken(), taken()),
            };
            stack.push(join(piece));
        }
        stack.pop()
    }

    /// The names it speaks of.
    pub fn names(&self) -> impl Iterator<Item = NameId> {
        self.steps.iter().filter_map(|step| match step {
            Step::Name(name) => Some(*name),
            _ => None,
        })
    }
}

#[derive(Debug, PartialEq, Eq)]
enum Token {
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

type Spanned = (Token, (usize, usize));

fn tokens(text: &str) -> Result<Vec<Spanned>, Mistake> {
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

struct Reader<F> {
    tokens: Vec<Spanned>,
    at: usize,
    end: usize,
    steps: Vec<Step>,
    unknown: Vec<Mistake>,
    name: F,
}

impl<F: Fn(&str) -> Option<NameId>> Reader<F> {
    fn either(&mut self, depth: usize) -> Result<(), Mistake> {
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

    fn finish(&self) -> Result<(), Mistake> {
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

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: [&str; 4] = ["A", "B", "C", "DUNLIN 15"];

    fn id(name: &str) -> Option<NameId> {
        NAMES.iter().position(|known| known.eq_ignore_ascii_case(name)).map(NameId::of)
    }

    fn holds(text: &str, names: &str) -> bool {
        let mut set = NameSet::new(NAMES.len());
        names.split_whitespace().filter_map(id).for_each(|name| {
            set.insert(name);
        });
        Expression::parse(text, id).unwrap().holds(&set)
    }

    /// All rows of the truth table at once, a bit each, against the rows one by one.
    #[test]
    fn many_at_once_are_each_by_itself() {
        let columns: [u64; 4] = [0xAAAA, 0xCCCC, 0xF0F0, 0xFF00];
        for text in
            ["a", "not a", "a and b", "a or b", "a or b and not c", "not (a or 'dunlin 15') and not (b and not c)"]
        {
            let expression = Expression::parse(text, id).unwrap();
            let all = expression.holds_for(|name| columns[name.at()], &mut vec![1]);
            for row in 0..16 {
                let mut set = NameSet::new(NAMES.len());
                let names = (0..NAMES.len()).filter(|name| columns[*name] >> row & 1 == 1).map(NameId::of);
                names.clone().for_each(|name| _ = set.insert(name));
                assert!(set.iter().eq(names), "{text}");
                assert_eq!(all >> row & 1 == 1, expression.holds(&set), "{text}, row {row}");
            }
        }
        assert_eq!(Expression::default().holds_for(|_| 0, &mut Vec::new()), u64::MAX, "no condition always holds");
    }

    /// Every row of the truth table, against the same condition written in Rust.
    #[test]
    fn not_binds_tightest_then_and() {
        for bits in 0..8_u32 {
            let (a, b, c) = (bits & 1 > 0, bits & 2 > 0, bits & 4 > 0);
            let names =
                format!("{} {} {}", if a { "A" } else { "" }, if b { "B" } else { "" }, if c { "C" } else { "" });
            assert_eq!(holds("a or b and not c", &names), a || (b && !c));
            assert_eq!(holds("not (a or b) AND c", &names), !(a || b) && c);
            assert_eq!(holds("not not a and (b or c) or not a", &names), if a { b || c } else { true });
            let long = vec!["(a or b and not c)"; 40].join(" and ");
            assert_eq!(holds(&long, &names), a || (b && !c));
        }
    }

    #[test]
    fn names_with_spaces_are_quoted() {
        let mut set = NameSet::new(NAMES.len());
        set.insert(NameId(3));
        assert!(Expression::parse("\"dunlin 15\" and not A", id).unwrap().holds(&set));
    }

    /// `DUNLIN 15` is a name; its words alone are none, and another space between them is still a space.
    #[test]
    fn a_name_with_spaces_that_lacks_its_marks_is_told() {
        let quote = |text: &str| Expression::parse(text, id).unwrap_err()[0].quote.clone();
        for text in
            ["dunlin 15", "A and DUNLIN  15", "not Dunlin 15 and B", "(DUNLIN 15) or A", "A or (B and dunlin 15)"]
        {
            assert_eq!(quote(text).map(|name| name.to_uppercase()).as_deref(), Some("DUNLIN 15"), "{text}");
        }
        assert_eq!(Expression::parse("A and dunlin 15", id).unwrap_err()[0].span, (6, 15));
        for text in ["A B", "DUNLIN", "DUNLIN and 15", "DUNLIN (15)", "A and"] {
            assert_eq!(quote(text), None, "{text}");
        }
    }

    #[test]
    fn mistakes_are_told_with_their_span() {
        let told = |text: &str| Expression::parse(text, id).unwrap_err();
        assert_eq!(
            told("A and X or Y").iter().map(|m| (m.span, m.unknown_name)).collect::<Vec<_>>(),
            [((6, 7), true), ((11, 12), true)]
        );
        assert_eq!(told("A B")[0].span, (2, 3));
        assert_eq!(told("A and")[0].span, (5, 5));
        assert_eq!(told("(A")[0].message, "expected ')'");
        assert_eq!(told("\"A")[0].span, (0, 2));
        assert_eq!(told(&"(".repeat(5000))[0].message, "this is nested too deeply");
    }
}
