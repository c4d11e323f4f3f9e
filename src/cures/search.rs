//! The search: bought parts side by side, each with what was chosen for it so far; then all of it together; then the shops.

use super::candidates::{Candidate, Kind, Search};
use super::change::{Change, changed};
use super::cost::{Cost, given};
use super::piece::{Piece, pieces, stopping};
use super::{Advice, Cure, Cures, MOST_DEMANDS, MOST_PIECES};
use crate::base::PartId;
use crate::check::Plant;
use crate::plan::{self, Plan, Request, stops};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// A piece by its place in the list, with what is advised.
pub(super) type Advised = (usize, Advice);

/// Looks for the cures of a plan.
pub(super) fn search(plan: &Plan<'_>) -> Cures {
    let all = pieces(plan);
    let most = MOST_PIECES.min(MOST_DEMANDS / demands(plan).max(1) / 4);
    let left_out = all.len().saturating_sub(most);
    let pieces: Vec<Piece> = all.into_iter().take(most).collect();
    if pieces.is_empty() {
        let stopped = stops(plan).into_keys().collect();
        return Cures { left_out, stopped, ..Cures::default() };
    }
    let tried = Tried::of(plan);
    let mut of_part: BTreeMap<PartId, Vec<usize>> = BTreeMap::new();
    let bought = pieces.iter().enumerate().filter(|(_, piece)| !piece.made());
    bought.for_each(|(i, piece)| of_part.entry(piece.part).or_default().push(i));
    let groups: Vec<Vec<usize>> = of_part.into_values().collect();
    let found: Vec<Vec<Advised>> = groups.par_iter().map(|group| tried.group(plan, &pieces, group)).collect();
    let mut advice: BTreeMap<usize, Advice> = tried.together(plan, &pieces, found);
    let changes = working(&advice);
    let plant = changed(plan.plant, &changes);
    let made: Vec<usize> = (0..pieces.len()).filter(|i| pieces[*i].made()).collect();
    if let Some(plan) = tried.plan(&plant) {
        advice.extend(tried.group(&plan, &pieces, &made));
    }
    tried.told(plan, pieces, advice, left_out)
}

/// How many demands a plan has; where it does not keep all, too many.
fn demands(plan: &Plan<'_>) -> usize {
    match plan.kept_up_to() {
        None => plan.supplies.iter().map(|supply| supply.demands.len()).sum(),
        Some(_) => usize::MAX,
    }
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

    pub(super) fn plan<'a>(&self, plant: &'a Plant) -> Option<Plan<'a>> {
        plan::plan(plant, &self.request).0
    }

    /// Advice for pieces in order, each with what was chosen for those before it.
    pub(super) fn group(&self, plan: &Plan<'_>, pieces: &[Piece], group: &[usize]) -> Vec<Advised> {
        let (mut found, mut chosen): (Vec<Advised>, Vec<Change>) = (Vec::new(), Vec::new());
        // Which piece's cure serves another one, too.
        let (mut last, mut served): (Option<usize>, BTreeMap<usize, usize>) = (None, BTreeMap::new());
        for (turn, &i) in group.iter().enumerate() {
            let plant = changed(plan.plant, &chosen);
            let now = if chosen.is_empty() { None } else { self.plan(&plant) };
            let now = now.as_ref().unwrap_or(plan);
            if let Some(last) = last {
                let rest = group[turn..].iter().filter(|i| self.piece_now(now, &pieces[**i]).is_none());
                rest.for_each(|i| _ = served.entry(*i).or_insert(last));
            }
            let advice = match self.piece_now(now, &pieces[i]) {
                Some(piece) => self.advise(now, &piece),
                None => served.get(&i).map_or(Advice::Nothing, |by| Advice::With(*by)),
            };
            if let Some(cure) = advice.working() {
                chosen.extend(cure.candidate.changes.iter().cloned());
                last = Some(i);
            }
            found.push((i, advice));
        }
        found
    }

    /// The piece as a plan has it; `None` where the line no longer waits for it.
    fn piece_now(&self, plan: &Plan<'_>, piece: &Piece) -> Option<Piece> {
        let same = |now: &&Piece| (now.owner, now.part, now.to) == (piece.owner, piece.part, piece.to);
        let now = pieces(plan);
        let alike = now.iter().filter(same).find(|now| now.there == piece.there);
        alike.or_else(|| now.iter().find(same)).cloned()
    }

    /// The first candidate that works, or else the best.
    fn advise(&self, plan: &Plan<'_>, piece: &Piece) -> Advice {
        let search = Search { plan, piece, stock: self.stock, receipts: self.receipts };
        let mut best: Option<Cure> = None;
        for candidate in search.candidates() {
            let Some(cure) = self.attempt(plan, piece, candidate) else { continue };
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

    /// Plans with a candidate and tells what comes of it.
    fn attempt(&self, plan: &Plan<'_>, piece: &Piece, candidate: Candidate) -> Option<Cure> {
        let plant = changed(plan.plant, &candidate.changes);
        let after = self.plan(&plant)?;
        let cures = stopping(plan, piece) - stopping(&after, piece) >= piece.qty;
        let cost = Cost::between(plan, &after, piece);
        let takes = matches!(candidate.kind, Kind::LooseStock | Kind::Reservation);
        let given = if takes { given(plan, &after, piece) } else { Vec::new() };
        let refilled = given.iter().all(|given| given.refilled.is_some());
        let works = cures && cost.stops_nobody() && refilled;
        let inside_lead_time = inside_lead_time(plan.plant, &candidate);
        Some(Cure { candidate, works, cures, cost, given, inside_lead_time })
    }
}

fn inside_lead_time(plant: &Plant, candidate: &Candidate) -> bool {
    candidate.changes.iter().any(|change| match change {
        Change::Order { part, by, .. } => by.date().plus(-(plant.part(*part).lead_days as i32)) < plant.as_of.date(),
        _ => false,
    })
}
