//! The same part twice at one station by two lines of one parent, in some builds only.

use super::bill::Bill;
use super::frame::Frame;
use super::model::{AT_ONCE, Model};
use super::states::State;
use super::witness::{Shown, Witness};
use crate::base::PartId;
use crate::configure::Placing;
use itertools::Itertools;

/// Two lines that some build has both of.
pub struct Twice {
    /// What they bring.
    pub part: PartId,
    /// The lines, by their index.
    pub lines: (u32, u32),
    /// The smallest order that has both, and the state of changes.
    pub by: (Witness, usize),
    /// Whether the state matters.
    pub in_state: bool,
}

/// All parts that come twice, once for each parent and station.
pub fn look(frame: &Frame<'_>, placing: &Placing<'_>, bill: &Bill, states: &[State]) -> Vec<Twice> {
    let (mut found, mut asked) = (Vec::new(), 0);
    let mut model = Model::of(frame, false);
    let keyed = bill.ways.iter().enumerate().filter(|(_, way)| !way.gives);
    let groups = keyed.map(|(i, way)| ((bill.parent(i), way.part, way.station), i)).into_group_map();
    for (_, ways) in groups.into_iter().filter(|(_, ways)| ways.len() > 1).sorted() {
        let always = ways.iter().filter(|i| bill.ways[**i].guard == bill.ways[**i].parent_guard).count();
        // What every build has twice is no accident of an order.
        if always < 2 {
            asked += 1;
            if asked % AT_ONCE == 0 {
                model = Model::of(frame, false);
            }
            found.extend(of_group(&mut model, placing, bill, states, &ways));
        }
    }
    found
}

fn of_group(
    model: &mut Model<'_>,
    placing: &Placing<'_>,
    bill: &Bill,
    states: &[State],
    ways: &[usize],
) -> Option<Twice> {
    let mut asked = Vec::new();
    let changes = ways.iter().any(|i| {
        let guard = &bill.guards[bill.ways[*i].guard as usize];
        !guard.from.is_empty() || !guard.until.is_empty()
    });
    for (at, state) in states.iter().enumerate() {
        let open = ways.iter().copied().filter(|i| {
            let guard = &bill.guards[bill.ways[*i].guard as usize];
            guard.in_state(|change| state.reached[change.at()])
        });
        let open = open.collect_vec();
        if open.len() < 2 || asked.contains(&open) {
            continue;
        }
        let lits = open.iter().map(|i| model.guard(&bill.guards[bill.ways[*i].guard as usize])).collect_vec();
        asked.push(open.clone());
        let two = model.solver.more_than(&lits, 1)[1];
        if let Shown::By(witness) = model.show(placing, &[two]) {
            let holds = |i: &usize| {
                let guard = &bill.guards[bill.ways[*i].guard as usize];
                guard.holds(model.frame.plant, &witness.names, |change| state.reached[change.at()])
            };
            let pair = open.iter().positions(holds).take(2).collect_vec();
            let [first, second] = pair[..] else { continue };
            let both = model.solver.and(lits[first], lits[second]);
            let parent = model.guard(&bill.guards[bill.ways[open[0]].parent_guard as usize]);
            // In some builds only: another has the parent without both.
            if model.show(placing, &[parent, !both]) == Shown::Never {
                continue;
            }
            let witness = model.smallest(placing, &[both]).witness()?;
            let (a, b) = (&bill.ways[open[first]], &bill.ways[open[second]]);
            return Some(Twice { part: a.part, lines: (a.line, b.line), by: (witness, at), in_state: changes });
        }
    }
    None
}
