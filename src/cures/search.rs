//! The search: bought parts side by side, each with what was chosen for it so far; then all of it together; then the shops.

use super::candidates::{Candidate, Kind, Search};
use super::change::{Change, bought, changed, goods};
use super::cost::{Before, Cost, given};
use super::piece::{Piece, piece_now, pieces, stopping, waited_for};
use super::{Advice, Cure, Cures, MOST_DEMANDS, MOST_PIECES};
use crate::base::PartId;
use crate::check::Plant;
use crate::plan::{self, Outlook, Plan, Request};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A piece by its place in the list, with what is advised.
pub(super) type Advised = (usize, Advice);

/// Looks for the cures of a plan.
pub(super) fn search(plan: &Plan<'_>) -> Cures {
    let base = Outlook::of(plan);
    let pieces = looked_at(pieces(&base), MOST_DEMANDS / plan.demands_at_most().max(1) / 4);
    let left_out = waited_for(&base).count().saturating_sub(pieces.len());
    if pieces.is_empty() {
        let stopped = base.stops().into_keys().collect();
        return Cures { left_out, stopped, ..Cures::default() };
    }
    let tried = Tried::of(plan);
    let mut of_part: BTreeMap<PartId, Vec<usize>> = BTreeMap::new();
    let bought = pieces.iter().enumerate().filter(|(_, piece)| !piece.made());
    bought.for_each(|(i, piece)| of_part.entry(piece.part).or_default().push(i));
    let groups: Vec<Vec<usize>> = of_part.into_values().collect();
    let found: Vec<Vec<Advised>> = groups.par_iter().map(|group| tried.group(plan, &[], &pieces, group)).collect();
    let mut advice: BTreeMap<usize, Advice> = tried.together(plan, &pieces, found);
    let made: Vec<usize> = (0..pieces.len()).filter(|i| pieces[*i].made()).collect();
    if !made.is_empty() {
        advice.extend(tried.group(plan, &working(&advice), &pieces, &made));
    }
    tried.told(plan, pieces, advice, left_out)
}

/// The pieces that are looked at, those that stop the line first; of those that shops make, for which the whole plan is made
/// anew, no more than so many.
fn looked_at(all: impl Iterator<Item = Piece>, most_made: usize) -> Vec<Piece> {
    let mut made = 0;
    let room = |piece: &Piece| {
        made += usize::from(piece.made());
        !piece.made() || made <= most_made
    };
    all.take(MOST_PIECES).filter(room).collect()
}

/// The changes of all cures that work.
pub(super) fn working(advice: &BTreeMap<usize, Advice>) -> Vec<Change> {
    advice.values().filter_map(Advice::working).flat_map(|cure| cure.candidate.changes.clone()).collect()
}

/// How plans are tried.
pub(super) struct Tried {
    request: Request,
    stock: usize,
    receipts: usize,
}

impl Tried {
    fn of(plan: &Plan<'_>) -> Self {
        let request = Request { day: Some(plan.day), set_aside: true, keep: None };
        Self { request, stock: plan.plant.stock.len(), receipts: plan.plant.receipts.len() }
    }

    /// Shows what a plan comes to with changes: where they are of bought parts only, the rest of the plan stands.
    pub(super) fn with<R>(
        &self,
        plan: &Plan<'_>,
        changes: &[Change],
        show: impl FnOnce(&Outlook<'_>) -> R,
    ) -> Option<R> {
        if let Some(parts) = bought(plan.plant, changes) {
            return Some(show(&Outlook::with(plan, goods(plan.plant, changes), &parts)));
        }
        let plant = changed(plan.plant, changes);
        let after = plan::plan(&plant, &self.request).0?;
        Some(show(&Outlook::of(&after)))
    }

    /// Advice for pieces in order, with some changes made, each with what was chosen for those before it.
    pub(super) fn group(&self, plan: &Plan<'_>, made: &[Change], pieces: &[Piece], group: &[usize]) -> Vec<Advised> {
        let (mut found, mut chosen): (Vec<Advised>, Vec<Change>) = (Vec::new(), made.to_vec());
        // Which piece's cure serves another one, too.
        let (mut last, mut served): (Option<usize>, BTreeMap<usize, usize>) = (None, BTreeMap::new());
        for (turn, &i) in group.iter().enumerate() {
            let advice = self.with(plan, &chosen, |now| {
                if let Some(last) = last {
                    let rest = group[turn..].iter().filter(|i| piece_now(now, &pieces[**i]).is_none());
                    rest.for_each(|i| _ = served.entry(*i).or_insert(last));
                }
                match piece_now(now, &pieces[i]) {
                    Some(piece) => self.advise(plan, &chosen, now, &piece),
                    None => served.get(&i).map_or(Advice::Nothing, |by| Advice::With(*by)),
                }
            });
            let advice = advice.unwrap_or(Advice::Nothing);
            if let Some(cure) = advice.working() {
                chosen.extend(cure.candidate.changes.iter().cloned());
                last = Some(i);
            }
            found.push((i, advice));
        }
        found
    }

    /// The first candidate that works, or else the best.
    fn advise(&self, plan: &Plan<'_>, chosen: &[Change], now: &Outlook<'_>, piece: &Piece) -> Advice {
        let search = Search { outlook: now, piece, stock: self.stock, receipts: self.receipts };
        let mut best: Option<Cure> = None;
        let before = Before::of(now);
        for candidate in search.candidates() {
            let changes = [chosen, &candidate.changes].concat();
            let cure = self.with(plan, &changes, |after| judged((now, &before), after, piece, candidate));
            let Some(cure) = cure else { continue };
            if cure.works {
                return Advice::Do(Box::new(cure));
            }
            let rank = |cure: &Cure| (cure.cost.stops.len(), cure.cost.minutes);
            if cure.cures && best.as_ref().is_none_or(|best| rank(&cure) < rank(best)) {
                best = Some(cure);
            }
        }
        best.map_or(Advice::Nothing, |cure| Advice::Do(Box::new(cure)))
    }
}

/// What comes of a candidate.
fn judged((now, before): (&Outlook<'_>, &Before), after: &Outlook<'_>, piece: &Piece, candidate: Candidate) -> Cure {
    let cures = stopping(now, piece) - stopping(after, piece) >= piece.qty;
    let cost = Cost::between(before, after, piece);
    let takes = matches!(candidate.kind, Kind::LooseStock | Kind::Reservation);
    let given = if takes { given(now, after, piece) } else { Vec::new() };
    let refilled = given.iter().all(|given| given.refilled.is_some());
    let works = cures && cost.stops_nobody() && refilled;
    let inside_lead_time = inside_lead_time(now.plan.plant, &candidate);
    Cure { candidate, works, cures, cost, given, inside_lead_time }
}

fn inside_lead_time(plant: &Plant, candidate: &Candidate) -> bool {
    candidate.changes.iter().any(|change| match change {
        Change::Order { part, by, .. } => by.date().plus(-(plant.part(*part).lead_days as i32)) < plant.as_of.date(),
        _ => false,
    })
}
