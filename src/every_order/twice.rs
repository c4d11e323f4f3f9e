//! The same part twice at one station by two lines of one parent, in some builds only.

use super::bill::Bill;
use super::frame::Frame;
use super::limit::Limit;
use super::model::{AT_ONCE, Model};
use super::solver::Lit;
use super::states::State;
use super::witness::{Shown, Witness};
use crate::base::PartId;
use crate::configure::Placing;
use itertools::Itertools;

/// Two lines that some build has both of, and another, with the same parent, has not.
pub struct Twice {
    /// What they bring.
    pub part: PartId,
    /// The lines, by their index; where it is not known whether there are such, the first two that bring it.
    pub lines: (u32, u32),
    /// The smallest order that has two, and the state of changes; or what stopped the search.
    pub by: Result<(Witness, usize), Limit>,
    /// Whether the state matters.
    pub in_state: bool,
}

/// All parts that come twice, once for each parent and station.
pub fn look(frame: &Frame<'_>, placing: &Placing<'_>, bill: &Bill, states: &[State]) -> Vec<Twice> {
    let keyed = bill.ways.iter().enumerate().filter(|(_, way)| !way.gives);
    let groups = keyed.map(|(i, way)| ((bill.parent(i), way.part, way.station), i)).into_group_map();
    // What every build has twice is no accident of an order.
    let always = |way: &usize| bill.ways[*way].guard == bill.ways[*way].parent_guard;
    let groups = groups.into_iter().filter(|(_, ways)| ways.len() > 1 && !ways.iter().all(always)).sorted();
    let (mut found, mut asked) = (Vec::new(), 0);
    let mut model = Model::of(frame, false);
    for (_, ways) in groups {
        asked += 1;
        if asked % AT_ONCE == 0 {
            model = Model::of(frame, false);
        }
        let of_state = |state| Group { bill, states, state, ways: &ways }.look(&mut model, placing);
        found.extend((0..states.len()).find_map(of_state));
    }
    found
}

/// Two ways, and the smallest order that has both.
type Pair = ((usize, usize), Witness);

/// Lines of one parent that bring the same part to the same place, in a state of the changes.
struct Group<'a> {
    bill: &'a Bill,
    states: &'a [State],
    state: usize,
    ways: &'a [usize],
}

impl Group<'_> {
    /// The lines that count in a state.
    fn open(&self, state: usize) -> Vec<usize> {
        let in_state = |way: &usize| {
            let guard = &self.bill.guards[self.bill.ways[*way].guard as usize];
            guard.in_state(|change| self.states[state].reached[change.at()])
        };
        self.ways.iter().copied().filter(in_state).collect()
    }

    fn look(&self, model: &mut Model<'_>, placing: &Placing<'_>) -> Option<Twice> {
        let open = self.open(self.state);
        // A state in which the same lines count has nothing new.
        if open.len() < 2 || (0..self.state).any(|before| self.open(before) == open) {
            return None;
        }
        let by = self.pair(model, placing, &open).transpose()?;
        let pair = by.as_ref().map_or((open[0], open[1]), |(pair, _)| *pair);
        let (a, b) = (&self.bill.ways[pair.0], &self.bill.ways[pair.1]);
        let changes = |way: &usize| {
            let guard = &self.bill.guards[self.bill.ways[*way].guard as usize];
            !guard.from.is_empty() || !guard.until.is_empty()
        };
        let in_state = self.ways.iter().any(changes);
        let by = by.map(|(_, witness)| (witness, self.state));
        Some(Twice { part: a.part, lines: (a.line, b.line), by, in_state })
    }

    /// Two lines and the smallest order that has both, where not every build with their parent has both.
    fn pair(&self, model: &mut Model<'_>, placing: &Placing<'_>, open: &[usize]) -> Result<Option<Pair>, Limit> {
        let lits = open.iter().map(|way| self.lit(model, *way)).collect_vec();
        let two = model.solver.more_than(&lits, 1)[1];
        if !can(model.show(placing, &[two]))? {
            return Ok(None);
        }
        let parent = model.guard(&self.bill.guards[self.bill.ways[open[0]].parent_guard as usize]);
        let (mut always, mut sometimes) = (Vec::new(), Vec::new());
        for (way, lit) in open.iter().zip(lits) {
            let without = can(model.show(placing, &[parent, !lit]))?;
            if without { &mut sometimes } else { &mut always }.push((*way, lit));
        }
        let of_sometimes = sometimes.iter().map(|(_, lit)| *lit).collect_vec();
        let goal = match (always.is_empty(), of_sometimes.len()) {
            (_, 0) => return Ok(None),
            (true, _) => model.solver.more_than(&of_sometimes, 1)[1],
            (false, _) => model.solver.any(&of_sometimes),
        };
        let witness = match model.smallest(placing, &[goal]) {
            Shown::By(witness) => *witness,
            Shown::Never => return Ok(None),
            Shown::Unknown(limit) => return Err(limit),
        };
        let there = |way: &usize| {
            let guard = &self.bill.guards[self.bill.ways[*way].guard as usize];
            guard.holds(model.frame.plant, &witness.names, |change| self.states[self.state].reached[change.at()])
        };
        let two = always.iter().take(1).chain(&sometimes).map(|(way, _)| *way).filter(there).take(2).sorted();
        Ok(two.collect_tuple().map(|pair| (pair, witness)))
    }

    fn lit(&self, model: &mut Model<'_>, way: usize) -> Lit {
        model.guard(&self.bill.guards[self.bill.ways[way].guard as usize])
    }
}

/// Whether something can be, where that is known.
fn can(shown: Shown) -> Result<bool, Limit> {
    match shown {
        Shown::By(_) => Ok(true),
        Shown::Never => Ok(false),
        Shown::Unknown(limit) => Err(limit),
    }
}
