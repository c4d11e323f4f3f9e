//! What a build says of many slots at once, as further slots that tell whether it is so: each follows from two others, so that no
//! table holds more than three slots and there are as many builds as before (G. Tseitin's encoding, 1968).

use super::says::Says;
use super::space::Space;
use super::sums::Table;
use crate::base::{NameId, numbered};
use crate::expression::Node;
use itertools::Itertools;

/// Whether something is so.
#[derive(Clone, Debug)]
pub enum Truth {
    /// It always is, or never.
    Always(bool),
    /// One slot tells: for each of its values.
    By(usize, Vec<bool>),
}

impl Truth {
    fn not(self) -> Self {
        match self {
            Self::Always(so) => Self::Always(!so),
            Self::By(slot, so) => Self::By(slot, so.into_iter().map(|so| !so).collect()),
        }
    }
}

impl Space<'_> {
    /// Whether something is so, as a slot tells it.
    pub(super) fn truth(&mut self, says: &Says) -> Truth {
        match says {
            Says::Name(name) => self.truth_of_name(*name),
            Says::When(when) => {
                let frame = self.frame;
                let whole = frame.plant.conditions[*when as usize].fold(|piece: Node<Truth>| match piece {
                    Node::Name(name) => self.truth_of_name(name),
                    Node::Not(a) => a.not(),
                    Node::And(a, b) => self.joined(a, b, |a, b| a && b),
                    Node::Or(a, b) => self.joined(a, b, |a, b| a || b),
                });
                whole.unwrap_or(Truth::Always(true))
            }
            Says::Not(inner) => self.truth(inner).not(),
            Says::All(all) => self.truth_of(all, true, |a, b| a && b),
            Says::Any(any) => self.truth_of(any, false, |a, b| a || b),
        }
    }

    fn truth_of(&mut self, says: &[Says], of_none: bool, join: impl Fn(bool, bool) -> bool + Copy) -> Truth {
        says.iter().fold(Truth::Always(of_none), |so_far, says| {
            let next = self.truth(says);
            self.joined(so_far, next, join)
        })
    }

    fn truth_of_name(&self, name: NameId) -> Truth {
        match self.slot_of.get(name.at()) {
            Some(Some(slot)) => {
                let value = self.slots[*slot].iter().position(|option| *option == name).map(|at| at + 1);
                Truth::By(*slot, (0..self.sizes[*slot]).map(|at| Some(at) == value).collect())
            }
            _ => Truth::Always(self.frame.given.contains(name)),
        }
    }

    /// Two put together: where they are told by two slots, a third tells what comes of them.
    fn joined(&mut self, a: Truth, b: Truth, join: impl Fn(bool, bool) -> bool) -> Truth {
        match (a, b) {
            (Truth::Always(a), Truth::Always(b)) => Truth::Always(join(a, b)),
            (Truth::Always(a), Truth::By(slot, so)) => plain(slot, so.into_iter().map(|b| join(a, b)).collect()),
            (Truth::By(slot, so), Truth::Always(b)) => plain(slot, so.into_iter().map(|a| join(a, b)).collect()),
            (Truth::By(slot, a), Truth::By(other, b)) if slot == other => {
                plain(slot, a.into_iter().zip(b).map(|(a, b)| join(a, b)).collect())
            }
            (Truth::By(slot, a), Truth::By(other, b)) => {
                let both = (0..a.len()).cartesian_product(0..b.len());
                // Slots of a table ascend.
                let row = |(i, j): (usize, usize)| {
                    let (first, second) = if slot < other { (i, j) } else { (j, i) };
                    let so = join(a[i], b[j]);
                    ([numbered(first), numbered(second), u32::from(so)].into(), ())
                };
                let rows = both.map(row).collect();
                let new = self.further_slot();
                self.tables.push(Table { slots: vec![slot.min(other), slot.max(other), new], rows });
                Truth::By(new, vec![false, true])
            }
        }
    }
}

/// What one slot tells, where it differs.
fn plain(slot: usize, so: Vec<bool>) -> Truth {
    match so.iter().all_equal_value() {
        Ok(always) => Truth::Always(*always),
        Err(_) => Truth::By(slot, so),
    }
}
