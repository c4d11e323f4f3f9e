//! §4 as clauses: what a build of one floorplan has, what was ordered and taken away for it, and why each option is there.
//!
//! Rules `builds`, `order-checks`.

use super::bill::Guard;
use super::frame::Frame;
use super::mentions::Mentions;
use super::solver::{Lit, Solver};
use crate::base::{GroupId, NameId};
use crate::check::Choose;

/// A row of the book that rules builds out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Row {
    /// A group of which a unit has one.
    Group(GroupId),
    /// A package, and which of what it includes.
    Package(NameId, usize),
    /// What a rule adds.
    Adds(usize),
    /// What a rule asks for.
    Must(usize),
    /// An option that can't be ordered.
    NotOffered(NameId),
    /// The condition of a bill line, by its index.
    When(u32),
}

/// So many questions that bring clauses of their own are asked of one model: they make each other slower.
pub const AT_ONCE: usize = 12;

/// Clauses of which every order that can be placed is a model: a variable for each option of a build, ordered or taken away.
pub struct Model<'a> {
    /// Whose they are.
    pub frame: &'a Frame<'a>,
    /// Where they stand.
    pub solver: Solver,
    /// For each option whether the build has it.
    pub has: Vec<Lit>,
    /// For each option whether it is ordered.
    pub ordered: Vec<Lit>,
    /// For each option whether it is taken away.
    pub away: Vec<Lit>,
    /// For each row a literal with which it counts; none where all always count.
    pub rows: Vec<(Row, Lit)>,
    conditions: Vec<Option<Lit>>,
    explains: bool,
    /// For each number of mentions, as far as they were counted, what is true of an order with more.
    pub(super) more_than: Vec<Lit>,
    /// What an order can mention; none until it is asked for.
    pub(super) by_code: Option<Mentions>,
}

impl<'a> Model<'a> {
    /// Of a floorplan; with `explains`, rows can be left out.
    pub fn of(frame: &'a Frame<'a>, explains: bool) -> Self {
        let mut solver = Solver::new();
        let plant = frame.plant;
        let can = |solver: &mut Solver, can: bool, first: bool| if can { solver.free(first) } else { solver.no() };
        let ids = || (0..plant.options.len()).map(NameId::of);
        // What no order leads to is kept out by a row of the book, too, where rows can be left out.
        let has =
            ids().map(|o| can(&mut solver, explains || frame.reachable[o.at()], frame.standard[o.at()])).collect();
        let ordered = ids().map(|o| can(&mut solver, frame.offers(o), false)).collect();
        let away = ids().map(|o| can(&mut solver, frame.standard[o.at()], false)).collect();
        let conditions = vec![None; plant.conditions.len()];
        let (rows, more_than) = (Vec::new(), Vec::new());
        let mut model =
            Self { frame, solver, has, ordered, away, rows, conditions, explains, more_than, by_code: None };
        model.groups();
        model.packages();
        model.rules();
        model.supports();
        model
    }

    /// The options that clauses speak of.
    fn options(&self) -> Vec<NameId> {
        let all = (0..self.has.len()).map(NameId::of);
        all.filter(|option| self.explains || self.frame.reachable[option.at()]).collect()
    }

    /// What is false where a row counts: part of each of its clauses.
    fn unless(&mut self, row: Row) -> Lit {
        if !self.explains {
            return self.solver.no();
        }
        let counts = self.solver.free(true);
        self.rows.push((row, counts));
        !counts
    }

    fn groups(&mut self) {
        let plant = self.frame.plant;
        let mut members = vec![Vec::new(); plant.groups.len()];
        let mut offered = vec![false; plant.groups.len()];
        for (i, option) in plant.options.iter().enumerate() {
            let Some(group) = option.group else { continue };
            members[group.at()].extend(Some(self.has[i]).filter(|_| self.explains || self.frame.reachable[i]));
            offered[group.at()] |= self.frame.offers(NameId::of(i));
        }
        for (i, group) in plant.groups.iter().enumerate().filter(|(_, group)| group.choose != Choose::Any) {
            let unless = self.unless(Row::Group(GroupId::of(i)));
            self.solver.at_most_one(&members[i], unless);
            if group.choose == Choose::One && offered[i] {
                let one: Vec<Lit> = members[i].iter().copied().chain([unless]).collect();
                self.solver.clause(&one);
            }
        }
    }

    fn packages(&mut self) {
        let plant = self.frame.plant;
        for package in self.options() {
            for (at, inner) in plant.options[package.at()].includes.iter().enumerate() {
                let unless = self.unless(Row::Package(package, at));
                self.solver.clause(&[unless, !self.has[package.at()], self.has[inner.at()]]);
            }
        }
    }

    fn rules(&mut self) {
        for (i, rule) in self.frame.plant.rules.iter().enumerate() {
            let when = self.condition(rule.when);
            if !rule.adds.is_empty() {
                let unless = self.unless(Row::Adds(i));
                rule.adds.iter().for_each(|added| self.solver.clause(&[unless, !when, self.has[added.at()]]));
            }
            if let Some(must) = rule.must {
                let unless = self.unless(Row::Must(i));
                let must = self.condition(must);
                self.solver.clause(&[unless, !when, must]);
            }
        }
    }

    /// Each option is there because it is ordered or standard, or a package or a rule brings it; a standard one is not there
    /// because it is taken away, or another of its group is there.
    fn supports(&mut self) {
        let plant = self.frame.plant;
        let mut brought: Vec<Vec<Lit>> = vec![Vec::new(); plant.options.len()];
        for package in self.options() {
            for inner in &plant.options[package.at()].includes {
                brought[inner.at()].extend((*inner != package).then_some(self.has[package.at()]));
            }
        }
        for rule in &plant.rules {
            let when = self.condition(rule.when);
            rule.adds.iter().for_each(|added| brought[added.at()].push(when));
        }
        for option in self.options() {
            let at = option.at();
            let (has, ordered, away) = (self.has[at], self.ordered[at], self.away[at]);
            if self.frame.standard[at] {
                let mut gone = vec![has, away];
                if let Some(group) = plant.options[at].group.filter(|id| plant.groups[id.at()].choose != Choose::Any) {
                    gone.extend(self.others(option, group));
                }
                self.solver.clause(&gone);
            } else {
                let unless =
                    if self.frame.offers(option) { self.solver.no() } else { self.unless(Row::NotOffered(option)) };
                let why: Vec<Lit> = brought[at].iter().copied().chain([unless, !has, ordered]).collect();
                self.solver.clause(&why);
            }
            self.solver.clause(&[!ordered, has]);
            self.solver.clause(&[!away, !has]);
        }
    }

    fn others(&self, option: NameId, group: GroupId) -> Vec<Lit> {
        let options = &self.frame.plant.options;
        let others = self.options().into_iter().filter(|o| *o != option && options[o.at()].group == Some(group));
        others.map(|o| self.has[o.at()]).collect()
    }

    /// Whether a condition holds, by its index.
    pub fn condition(&mut self, id: u32) -> Lit {
        if let Some(known) = self.conditions[id as usize] {
            return known;
        }
        let (frame, has) = (self.frame, &self.has);
        let options = has.len();
        let lit =
            self.solver.condition(&frame.plant.conditions[id as usize], |solver, name| match has.get(name.at()) {
                Some(has) if name.at() < options => *has,
                _ if frame.given.contains(name) => solver.yes(),
                _ => solver.no(),
            });
        self.conditions[id as usize] = Some(lit);
        lit
    }

    /// Whether what a way asks holds, but for its changes.
    pub fn guard(&mut self, guard: &Guard) -> Lit {
        let lits: Vec<Lit> = guard.whens.iter().map(|when| self.condition(*when)).collect();
        self.solver.all(&lits)
    }
}
