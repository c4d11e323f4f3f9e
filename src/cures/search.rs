//! The search: bought parts side by side, each with what was chosen for it so far; then all of it together; then the shops.

use super::candidates::{Candidate, Kind, Search};
use super::change::{Change, bought, changed, goods};
use super::cost::{Cost, given};
use super::piece::{Piece, piece_now, pieces, stopping};
use super::{Advice, Cure, Cures, MOST_PIECES, tries};
use crate::base::{PartId, Quantity};
use crate::check::Plant;
use crate::plan::{self, AskedPulls, Outlook, Plan, Request, Wait};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A piece by its place in the list, with what is advised.
pub(super) type Advised = (usize, Advice);

/// Looks for the cures of a plan.
pub(super) fn search(plan: &Plan<'_>) -> Cures {
    let base = Outlook::of(plan);
    let pieces = looked_at(pieces(&base), tries(plan, 4));
    let left_out = plan.effects.waited_for.saturating_sub(pieces.len());
    if pieces.is_empty() {
        let stopped = base.stopped();
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
    changes_of(advice.values())
}

/// The changes of those that work.
pub(super) fn changes_of<'a>(advice: impl Iterator<Item = &'a Advice>) -> Vec<Change> {
    advice.filter_map(Advice::working).flat_map(|cure| cure.candidate.changes.clone()).collect()
}

/// How much the line still waits for of each unit's part at a place, given what has been cured of it.
struct Open(BTreeMap<Wait, Quantity>);

impl Open {
    fn of(plan: &Plan<'_>, pieces: &[Piece], group: &[usize]) -> Self {
        let base = Outlook::of(plan);
        Self(group.iter().map(|i| (key(&pieces[*i]), stopping(&base, &pieces[*i]))).collect())
    }

    /// What of it are other pieces than this one.
    fn besides(&self, piece: &Piece) -> Quantity {
        self.0.get(&key(piece)).copied().unwrap_or_default() - piece.qty
    }

    /// A piece is cured.
    fn close(&mut self, piece: &Piece) {
        *self.0.entry(key(piece)).or_default() -= piece.qty;
    }
}

fn key(piece: &Piece) -> Wait {
    (piece.owner, piece.part, piece.to)
}

/// How plans are tried.
pub(super) struct Tried {
    request: Request,
    stock: usize,
    receipts: usize,
}

impl Tried {
    fn of(plan: &Plan<'_>) -> Self {
        let request = Request { day: Some(plan.day), set_aside: true, most_held: Some(0), pulls: AskedPulls::None };
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
        let mut open = Open::of(plan, pieces, group);
        for (turn, &i) in group.iter().enumerate() {
            let advice = self.with(plan, &chosen, |now| {
                let left = |i: usize| piece_now(now, &pieces[i], open.besides(&pieces[i]));
                if let Some(last) = last {
                    let rest = group[turn..].iter().filter(|i| left(**i).is_none());
                    rest.for_each(|i| _ = served.entry(*i).or_insert(last));
                }
                match left(i) {
                    Some(piece) => (self.advise(plan, &chosen, now, &piece), false),
                    None => (served.get(&i).map_or(Advice::Nothing, |by| Advice::With(vec![*by])), true),
                }
            });
            let (advice, there) = advice.unwrap_or((Advice::Nothing, false));
            if let Some(cure) = advice.working() {
                chosen.extend(cure.candidate.changes.iter().cloned());
                last = Some(i);
            }
            if there || advice.working().is_some() {
                open.close(&pieces[i]);
            }
            found.push((i, advice));
        }
        found
    }

    /// The first candidate that works, or else the best.
    fn advise(&self, plan: &Plan<'_>, chosen: &[Change], now: &Outlook<'_>, piece: &Piece) -> Advice {
        let search = Search { outlook: now, piece, stock: self.stock, receipts: self.receipts };
        let mut best: Option<Cure> = None;
        for candidate in search.candidates() {
            let changes = [chosen, &candidate.changes].concat();
            let cure = self.with(plan, &changes, |after| judged(now, after, piece, candidate));
            let Some(cure) = cure else { continue };
            if cure.works {
                return Advice::Do(Box::new(cure));
            }
            if cure.cures && best.as_ref().is_none_or(|best| cure.cost.rank() < best.cost.rank()) {
                best = Some(cure);
            }
        }
        best.map_or(Advice::Nothing, |cure| Advice::Do(Box::new(cure)))
    }
}

/// What comes of a candidate.
fn judged(now: &Outlook<'_>, after: &Outlook<'_>, piece: &Piece, candidate: Candidate) -> Cure {
    let cures = stopping(now, piece) - stopping(after, piece) >= piece.qty;
    let cost = Cost::between(now, after, piece);
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
