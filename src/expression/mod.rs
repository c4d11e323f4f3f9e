//! Expressions of names, `and`, `or`, `not` and parentheses: read with spans inside the cell, evaluated on bit sets.
//!
//! Rule `expressions`.

mod names;
mod read;
#[cfg(test)]
mod tests;

pub use names::NameSet;

use crate::base::{MustBe, NameId};
use read::{Reader, tokens};

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
pub enum Node<T> {
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
    pub fn fold<T>(&self, mut join: impl FnMut(Node<T>) -> T) -> Option<T> {
        let mut stack: Vec<T> = Vec::new();
        for step in &self.steps {
            let mut taken = || stack.pop().must(STACK);
            let piece = match step {
                Step::Name(name) => Node::Name(*name),
                Step::Not => Node::Not(taken()),
                Step::And => Node::And(taken(), taken()),
                Step::Or => Node::Or(taken(), taken()),
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
