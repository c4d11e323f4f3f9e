//! The edge to the solver that decides whether clauses can all be true at once; nothing else names it.

use crate::base::NameId;
use crate::expression::{Expression, Node};
use batsat::{Callbacks, ClauseKind, SolverInterface, SolverOpts, lbool};
use std::collections::HashMap;

pub use batsat::Lit;

/// So many conflicts one question may take: far more than any that a plant's rules have led to, and seconds at most.
pub const MOST_CONFLICTS: u64 = 200_000;
/// So many all questions to one solver; then each may take a few more.
const MOST_IN_ALL: u64 = 1_000_000;
/// So many then.
const A_FEW: u64 = 2_000;

/// Counts conflicts, so that a question ends at the same point on every machine.
#[derive(Default)]
struct Effort {
    left: u64,
}

impl Callbacks for Effort {
    fn on_new_clause(&mut self, _: &[Lit], _: ClauseKind) {
        self.left = self.left.saturating_sub(1);
    }

    fn stop(&self) -> bool {
        self.left == 0
    }
}

/// What a question comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It can be: the solver holds how.
    Can,
    /// It can't: that is proved.
    Never,
    /// The work that is allowed for it did not do.
    Unknown,
}

/// Clauses, and questions about them.
pub struct Solver {
    inner: batsat::Solver<Effort>,
    /// Conflicts that are left for all questions.
    left: u64,
    yes: Lit,
    both: HashMap<(u32, u32), Lit>,
}

impl Solver {
    /// Without clauses.
    pub fn new() -> Self {
        let mut inner = batsat::Solver::new(SolverOpts::default(), Effort::default());
        let yes = Lit::new(inner.new_var_default(), true);
        inner.add_clause_reuse(&mut vec![yes]);
        Self { inner, left: MOST_IN_ALL, yes, both: HashMap::new() }
    }

    /// What is always true.
    pub fn yes(&self) -> Lit {
        self.yes
    }

    /// What is never true.
    pub fn no(&self) -> Lit {
        !self.yes
    }

    /// Something that may be true or not; tried as `first` where nothing speaks against it.
    pub fn free(&mut self, first: bool) -> Lit {
        // The library's preference says whether the negation is tried first.
        Lit::new(self.inner.new_var(lbool::new(first), true), true)
    }

    /// Something that follows from others, or may be false: it is never tried by itself.
    pub fn bound(&mut self) -> Lit {
        Lit::new(self.inner.new_var(lbool::UNDEF, false), true)
    }

    /// One of these is true.
    pub fn clause(&mut self, lits: &[Lit]) {
        if lits.contains(&self.yes) {
            return;
        }
        let mut lits: Vec<Lit> = lits.iter().copied().filter(|lit| *lit != !self.yes).collect();
        self.inner.add_clause_reuse(&mut lits);
    }

    /// Both.
    pub fn and(&mut self, a: Lit, b: Lit) -> Lit {
        let (yes, no) = (self.yes(), self.no());
        match (a, b) {
            _ if a == no || b == no || a == !b => return no,
            _ if a == yes || a == b => return b,
            _ if b == yes => return a,
            _ => {}
        }
        let key = (a.idx().min(b.idx()), a.idx().max(b.idx()));
        if let Some(known) = self.both.get(&key) {
            return *known;
        }
        let out = self.bound();
        self.clause(&[!out, a]);
        self.clause(&[!out, b]);
        self.clause(&[out, !a, !b]);
        self.both.insert(key, out);
        out
    }

    /// Either, or both.
    pub fn or(&mut self, a: Lit, b: Lit) -> Lit {
        !self.and(!a, !b)
    }

    /// All of them.
    pub fn all(&mut self, lits: &[Lit]) -> Lit {
        lits.iter().fold(self.yes(), |all, lit| self.and(all, *lit))
    }

    /// Any of them.
    pub fn any(&mut self, lits: &[Lit]) -> Lit {
        lits.iter().fold(self.no(), |any, lit| self.or(any, *lit))
    }

    /// A condition, where `name` tells what is true.
    pub fn condition(&mut self, condition: &Expression, name: impl Fn(&Self, NameId) -> Lit) -> Lit {
        let whole = condition.fold(|piece: Node<Lit>| match piece {
            Node::Name(id) => name(self, id),
            Node::Not(a) => !a,
            Node::And(a, b) => self.and(a, b),
            Node::Or(a, b) => self.or(a, b),
        });
        whole.unwrap_or(self.yes)
    }

    /// At most one of these, where `unless` is not true.
    pub fn at_most_one(&mut self, lits: &[Lit], unless: Lit) {
        const PAIRS: usize = 6;
        if lits.len() <= PAIRS {
            for (i, a) in lits.iter().enumerate() {
                lits[i + 1..].iter().for_each(|b| self.clause(&[unless, !*a, !*b]));
            }
            return;
        }
        // One of the first few, and one of the others or what stands for the first few.
        let (head, tail) = lits.split_at(PAIRS - 1);
        let link = self.bound();
        head.iter().for_each(|a| self.clause(&[link, !*a]));
        self.at_most_one(head, unless);
        let rest: Vec<Lit> = std::iter::once(link).chain(tail.iter().copied()).collect();
        self.at_most_one(&rest, unless);
    }

    /// For each number up to `most`: whether more than so many of these are true.
    pub fn more_than(&mut self, lits: &[Lit], most: usize) -> Vec<Lit> {
        // above[k]: more than k of those so far.
        let mut above: Vec<Lit> = vec![self.no(); most + 1];
        for lit in lits {
            let mut next = above.clone();
            for k in 0..=most {
                let before = if k == 0 { self.yes() } else { above[k - 1] };
                let joined = self.and(before, *lit);
                next[k] = self.or(above[k], joined);
            }
            above = next;
        }
        above
    }

    /// For each number up to `most` what is true where more than so many of these are, and may be true without need: so it
    /// can only be asked to be false (C. Sinz, Towards an optimal CNF encoding of Boolean cardinality constraints, 2005).
    pub fn counted(&mut self, lits: &[Lit], most: usize) -> Vec<Lit> {
        let mut above = vec![self.no(); most + 1];
        for (i, lit) in lits.iter().enumerate() {
            let mut next = above.clone();
            // Of i and one no more are true.
            for k in 0..=most.min(i) {
                next[k] = self.bound();
                let before = if k == 0 { self.yes() } else { above[k - 1] };
                self.clause(&[next[k], !above[k]]);
                self.clause(&[next[k], !before, !*lit]);
            }
            above = next;
        }
        above
    }

    /// Whether all clauses and these can be true at once.
    pub fn ask(&mut self, assumed: &[Lit]) -> Answer {
        if !self.inner.is_ok() {
            return Answer::Never;
        }
        let allowed = self.left.clamp(A_FEW, MOST_CONFLICTS);
        self.inner.cb_mut().left = allowed;
        let outcome = self.inner.solve_limited(assumed);
        self.left = self.left.saturating_sub(allowed - self.inner.cb().left);
        if outcome == lbool::TRUE {
            Answer::Can
        } else if outcome == lbool::FALSE {
            Answer::Never
        } else {
            Answer::Unknown
        }
    }

    /// Whether it is true in what the last question found.
    pub fn holds(&self, lit: Lit) -> bool {
        self.inner.value_lit(lit) == lbool::TRUE
    }

    /// Those of the assumed with which the last question was answered by never.
    pub fn blamed(&self, assumed: &[Lit]) -> Vec<Lit> {
        let core = self.inner.unsat_core();
        assumed.iter().copied().filter(|lit| core.contains(lit) || core.contains(&!*lit)).collect()
    }
}
