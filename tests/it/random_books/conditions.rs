//! Random `when` and `must` expressions, and what can be said of them beforehand.

use std::collections::BTreeSet;

use super::dice::Dice;

#[derive(Clone, Debug)]
pub enum Condition {
    Name(String),
    Not(Box<Condition>),
    And(Box<Condition>, Box<Condition>),
    Or(Box<Condition>, Box<Condition>),
}

impl Condition {
    pub fn random(dice: &mut Dice, names: &[String], depth: usize) -> Condition {
        let kind = if depth == 0 { 0 } else { dice.between(0, 5) };
        let below = depth.saturating_sub(1);
        let inner = |dice: &mut Dice| Box::new(Condition::random(dice, names, below));
        match kind {
            0 | 1 => Condition::Name(dice.pick(names)),
            2 => Condition::Not(inner(dice)),
            3 | 4 => Condition::And(inner(dice), inner(dice)),
            _ => Condition::Or(inner(dice), inner(dice)),
        }
    }

    pub fn and(self, other: Condition) -> Condition {
        Condition::And(Box::new(self), Box::new(other))
    }

    pub fn not(self) -> Condition {
        Condition::Not(Box::new(self))
    }

    /// The expression as someone types it, parentheses where needed and sometimes elsewhere.
    pub fn text(&self, dice: &mut Dice) -> String {
        let text = match self {
            Condition::Name(name) => return name_text(dice, name),
            Condition::Not(inner) => format!("not {}", inner.inside(dice, 3)),
            Condition::And(a, b) => format!("{} and {}", a.inside(dice, 2), b.inside(dice, 2)),
            Condition::Or(a, b) => format!("{} or {}", a.inside(dice, 1), b.inside(dice, 1)),
        };
        if dice.chance(5) { format!("({text})") } else { text }
    }

    fn inside(&self, dice: &mut Dice, strength: i64) -> String {
        let own = match self {
            Condition::Name(_) | Condition::Not(_) => 3,
            Condition::And(..) => 2,
            Condition::Or(..) => 1,
        };
        let text = self.text(dice);
        if own < strength { format!("({text})") } else { text }
    }

    /// True or false where it is certain, given what surely holds and what may hold.
    pub fn value(&self, sure: &BTreeSet<String>, possible: &BTreeSet<String>) -> Option<bool> {
        match self {
            Condition::Name(name) if sure.contains(name) => Some(true),
            Condition::Name(name) if !possible.contains(name) => Some(false),
            Condition::Name(_) => None,
            Condition::Not(inner) => inner.value(sure, possible).map(|value| !value),
            Condition::And(a, b) => match (a.value(sure, possible), b.value(sure, possible)) {
                (Some(false), _) | (_, Some(false)) => Some(false),
                (Some(true), Some(true)) => Some(true),
                _ => None,
            },
            Condition::Or(a, b) => match (a.value(sure, possible), b.value(sure, possible)) {
                (Some(true), _) | (_, Some(true)) => Some(true),
                (Some(false), Some(false)) => Some(false),
                _ => None,
            },
        }
    }

    /// All names in it.
    pub fn names(&self) -> Vec<String> {
        match self {
            Condition::Name(name) => vec![name.clone()],
            Condition::Not(inner) => inner.names(),
            Condition::And(a, b) | Condition::Or(a, b) => [a.names(), b.names()].concat(),
        }
    }
}

fn name_text(dice: &mut Dice, name: &str) -> String {
    let spelled = dice.spelled(name).trim().to_string();
    if spelled.contains(' ') || dice.chance(4) { format!("\"{spelled}\"") } else { spelled }
}
