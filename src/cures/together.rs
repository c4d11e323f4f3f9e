//! All that is advised done at once: what then still stops others is not done, and who keeps moving is counted.

use super::change::bought;
use super::cost::waits_longer;
use super::piece::{Piece, stopping};
use super::search::{Advised, Tried, changes_of, working};
use super::{Advice, Cures, tries};
use crate::base::OwnerId;
use crate::plan::{Outlook, Plan, stops};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// What is asked when it is looked for what serves a piece, and how many cures are tried without.
#[derive(Clone, Copy)]
struct ServeQuestion<'a, 'p> {
    plan: &'a Plan<'p>,
    advice: &'a BTreeMap<usize, Advice>,
    most: usize,
}

impl Tried {
    /// What was chosen for each part, done one after the other; what stops others once it meets the rest is not done.
    pub(super) fn together(
        &self,
        plan: &Plan<'_>,
        pieces: &[Piece],
        found: Vec<Vec<Advised>>,
    ) -> BTreeMap<usize, Advice> {
        let all: BTreeMap<usize, Advice> = found.iter().flatten().cloned().collect();
        let before = Outlook::of(plan);
        let nobody_worse = |after: &Outlook<'_>| !waits_longer(&before, after);
        if self.with(plan, &working(&all), nobody_worse) == Some(true) {
            return all;
        }
        let mut kept = BTreeMap::new();
        for group in found {
            let indices: Vec<usize> = group.iter().map(|(i, _)| *i).collect();
            kept.extend(self.group(plan, &working(&kept), pieces, &indices));
        }
        kept
    }

    /// With the units that keep moving when all that works is done at once.
    pub(super) fn told(
        &self,
        plan: &Plan<'_>,
        pieces: Vec<Piece>,
        mut advice: BTreeMap<usize, Advice>,
        left_out: usize,
    ) -> Cures {
        let all = working(&advice);
        let after = self.with(plan, &all, |after| {
            self.serve_with_others(plan, after, &pieces, &mut advice);
            after.stopped()
        });
        let stopped: BTreeSet<OwnerId> = stops(plan).into_keys().collect();
        let still = after.unwrap_or_else(|| stopped.clone());
        let moving: BTreeSet<OwnerId> = stopped.iter().copied().filter(|owner| !still.contains(owner)).collect();
        let waits = (0..pieces.len()).filter(|i| orders_inside_lead_time(&advice, *i)).map(|i| pieces[i].owner);
        let inside_lead_time = waits.filter(|owner| moving.contains(owner)).collect();
        let told = pieces.into_iter().enumerate();
        let pieces = told.map(|(i, piece)| (piece, advice.remove(&i).unwrap_or(Advice::Nothing))).collect();
        Cures { pieces, left_out, stopped, moving, inside_lead_time }
    }

    /// What the line no longer waits for, because something is done for other pieces.
    fn serve_with_others(
        &self,
        plan: &Plan<'_>,
        after: &Outlook<'_>,
        pieces: &[Piece],
        advice: &mut BTreeMap<usize, Advice>,
    ) {
        let served = |i: &usize| match &advice[i] {
            Advice::With(_) => false,
            other => other.working().is_none() && stopping(after, &pieces[*i]).is_zero(),
        };
        let served: Vec<usize> = advice.keys().copied().filter(served).collect();
        // Where the whole plan is made anew each time, a large one is tried fewer times.
        let whole = bought(plan.plant, &working(advice)).is_none();
        let most = tries(plan, served.len());
        let asked = ServeQuestion { plan, advice, most: if whole { most } else { usize::MAX } };
        let by: Vec<Vec<usize>> = served.par_iter().map(|i| self.serving(asked, *i, pieces)).collect();
        advice.extend(served.into_iter().zip(by).filter(|(_, by)| !by.is_empty()).map(|(i, by)| (i, Advice::With(by))));
    }

    /// The cures that serve a piece: those of its own unit that can't be left out while all others are done; where its own
    /// don't count, those of others.
    fn serving(&self, asked: ServeQuestion<'_, '_>, i: usize, pieces: &[Piece]) -> Vec<usize> {
        let works = asked.advice.keys().copied().filter(|i| asked.advice[i].working().is_some());
        let (mut own, mut others): (Vec<usize>, Vec<usize>) = works.partition(|j| pieces[*j].owner == pieces[i].owner);
        self.leave_out(asked, &pieces[i], &mut own, &others);
        if own.is_empty() {
            self.leave_out(asked, &pieces[i], &mut others, &[]);
            return others;
        }
        own
    }

    /// Leaves out of some cures, beside which others are done, all that a piece does not need, the last first.
    fn leave_out(&self, asked: ServeQuestion<'_, '_>, piece: &Piece, some: &mut Vec<usize>, beside: &[usize]) {
        for i in some.clone().into_iter().rev().take(asked.most) {
            let rest: Vec<usize> = some.iter().copied().filter(|other| *other != i).collect();
            let done: BTreeSet<usize> = rest.iter().chain(beside).copied().collect();
            let changes = changes_of(done.iter().filter_map(|i| asked.advice.get(i)));
            if self.with(asked.plan, &changes, |after| stopping(after, piece).is_zero()) == Some(true) {
                *some = rest;
            }
        }
    }
}

/// Whether a piece waits for an order that would come inside its lead time.
fn orders_inside_lead_time(advice: &BTreeMap<usize, Advice>, i: usize) -> bool {
    match advice.get(&i) {
        Some(Advice::Do(cure)) => cure.works && cure.inside_lead_time,
        Some(Advice::With(others)) => others.iter().any(|other| *other != i && orders_inside_lead_time(advice, *other)),
        _ => false,
    }
}
