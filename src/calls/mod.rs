//! Calls: for each delivery that comes too late and each order that is still to be placed, what the line loses if it alone fails, what
//! it saves if it alone succeeds, and which of them save only together.

mod ask;
mod bins;
mod blocks;
mod on_hand;
mod tally;
mod without;

pub use crate::plan::Without;
pub use ask::{Source, Step};
pub use bins::{Bin, Bins, bins};
pub use on_hand::OnHand;
pub use without::without;

use crate::base::{Date, Moment, PartId, Quantity, Seconds};
use crate::cures::{Change, Cures, goods};
use crate::plan::{Alone, Plan, Waiting, Worth};
use ask::BareCall;
use itertools::Itertools;
use rayon::prelude::*;
use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use tally::Tally;

/// So many calls are looked at, about the parts first that stop the line first; of other parts it is told that they were not. A
/// thousand take no longer than another plan.
pub const MOST_CALLS: usize = 1_000;
/// So many calls about one part are looked at.
const MOST_OF_A_PART: usize = 40;
/// So many pieces are looked at for calls: a plan in which everything is short must not take much longer for it.
const MOST_PIECES: usize = 200_000;

/// What is saved, in the line's working seconds; less than nothing where a stop with no known end becomes one with a known time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Saved {
    /// Each date begun on its times.
    pub by_dates: Seconds,
    /// If nothing is made up.
    pub in_all: Seconds,
    /// How many units no longer stop with no known end.
    pub no_end: i64,
}

impl Saved {
    fn between(before: &Worth, after: &Worth) -> Self {
        Self {
            by_dates: before.loss.by_dates() - after.loss.by_dates(),
            in_all: before.loss.if_nothing_is_made_up() - after.loss.if_nothing_is_made_up(),
            no_end: before.no_end as i64 - after.no_end as i64,
        }
    }
}

/// Something to ask a supplier for, so that pieces no longer stop the line.
#[derive(Clone, Debug)]
pub struct Call {
    /// A bought part.
    pub part: PartId,
    /// What is asked about.
    pub source: Source,
    /// How many by when, all told.
    pub steps: Vec<Step>,
    /// What is done when it succeeds, as rows of the book can say it.
    pub changes: Vec<Change>,
    /// How much of it the line waits for.
    pub waits: Quantity,
    /// The soonest moment until which a piece of it saves the line; `None` where a job waits for itself.
    pub saves_until: Option<Moment>,
    /// What the line loses if it alone fails and all others succeed.
    pub alone: Worth,
    /// What it saves if it alone succeeds and all others fail; `None` where not all parts were looked at.
    pub saves: Option<Saved>,
    /// The block that it belongs to, by its place in the list.
    pub block: Option<usize>,
}

/// Calls none of which saves alone what they save together.
#[derive(Clone, Debug)]
pub struct Block {
    /// The calls, by their places in the list.
    pub calls: Vec<usize>,
    /// What all of them save.
    pub saves: Saved,
}

/// All calls of a plan.
#[derive(Clone, Debug, Default)]
pub struct Calls {
    /// By the day until which they save the line; within a day those first that leave a unit with no known end, then those without which
    /// the line loses most. The calls of a block stand together.
    pub calls: Vec<Call>,
    /// Calls that save only together.
    pub blocks: Vec<Block>,
    /// What is on hand and would do instead, in the same order.
    pub on_hand: Vec<OnHand>,
    /// What the line still loses when all of them succeed; `None` where not all parts were looked at.
    pub rest: Option<Worth>,
    /// How many parts that stop the line were not looked at.
    pub left_out: usize,
}

/// A part with its calls and what its pieces come to by themselves.
struct OfPart {
    part: PartId,
    asked: Vec<BareCall>,
    /// As it is.
    now: Vec<Waiting>,
    /// With every call done.
    done: Vec<Waiting>,
    /// For each call the pieces that wait where it alone fails, and what they come to: none that all calls together leave.
    fails: Vec<(Vec<Waiting>, Worth)>,
    /// With each call alone done; nothing where not all parts were looked at, for there it decides nothing.
    only: Vec<Vec<Waiting>>,
}

impl OfPart {
    /// Calls without which nothing is lost, while the part's others succeed, are left out, the last first.
    /// `None` where there are too many.
    fn of(alone: &Alone<'_>, part: PartId) -> Option<Self> {
        let asked = ask::asked(alone.plan(), part);
        if asked.len() > MOST_OF_A_PART {
            return None;
        }
        let now = alone.part(part, None);
        let mut of = Self { part, asked, now, done: Vec::new(), fails: Vec::new(), only: Vec::new() };
        of.done = of.with(alone, |_| true);
        let mut call = of.asked.len();
        while call > 0 {
            call -= 1;
            let without = of.with(alone, |i| i != call);
            let left: BTreeSet<&Waiting> = of.done.iter().collect();
            let fails: Vec<Waiting> = without.iter().filter(|piece| !left.contains(piece)).copied().collect();
            let worth = Worth::of(alone.plan(), fails.iter().copied());
            if worth.is_nothing() {
                // What the others come to must be looked at anew, beside one less.
                of.asked.remove(call);
                of.fails.clear();
                (of.done, call) = (without, of.asked.len());
            } else {
                of.fails.push((fails, worth));
            }
        }
        of.fails.reverse();
        Some(of)
    }

    /// Its pieces with each call alone done.
    fn with_one(&self, alone: &Alone<'_>) -> Vec<Vec<Waiting>> {
        match self.asked.len() {
            1 => vec![self.done.clone()],
            calls => (0..calls).map(|call| self.with(alone, |i| i == call)).collect(),
        }
    }

    /// Its pieces with some of its calls done.
    fn with(&self, alone: &Alone<'_>, some: impl Fn(usize) -> bool) -> Vec<Waiting> {
        let done = self.asked.iter().enumerate().filter(|(call, _)| some(*call));
        let mut changes = done.flat_map(|(_, asked)| &asked.changes).peekable();
        match changes.peek() {
            Some(_) => alone.part(self.part, Some(&goods(alone.plan().plant, changes))),
            None => self.now.clone(),
        }
    }
}

impl Calls {
    /// Looks for them, given the cures of the plan.
    pub fn of(plan: &Plan<'_>, cures: &Cures) -> Self {
        Self::of_first(plan, cures, MOST_CALLS)
    }

    /// Looks for the first ones, about so many.
    pub fn of_first(plan: &Plan<'_>, cures: &Cures, most: usize) -> Self {
        let parts = stopping(plan);
        if parts.is_empty() {
            return Self { rest: Some(Worth::of_plan(plan)), ..Self::default() };
        }
        let alone = Alone::of(plan);
        let (mut found, left_out) = looked_at(&alone, &parts, most);
        let whole = left_out == 0;
        if whole {
            found.par_iter_mut().for_each(|of| of.only = of.with_one(&alone));
        }
        let tally =
            whole.then(|| Tally::of(plan, &alone.nobodys(), found.iter().map(|of| (of.part, of.now.as_slice()))));
        let before = tally.as_ref().map(|tally| tally.with(&BTreeMap::new()));
        let save = |part: PartId, left: &[Waiting]| {
            let after = tally.as_ref()?.with(&BTreeMap::from([(part, left)]));
            Some(Saved::between(before.as_ref()?, &after))
        };
        let ways = on_hand::Ways::of(plan, cures);
        let of_stock = |of| ways.about(&alone, of, |left| save(of.part, left)).collect_vec();
        let on_hand = found.par_iter().flat_map_iter(of_stock).collect();
        let calls = found.par_iter().enumerate().flat_map_iter(|(number, of)| {
            let of_call = move |call: usize| {
                let BareCall { source, steps, changes, waits, saves_until, .. } = of.asked[call].clone();
                let worth = of.fails[call].1.clone();
                let (part, saves) = (of.part, of.only.get(call).and_then(|left| save(of.part, left)));
                let call_ = Call { part, source, steps, changes, waits, saves_until, alone: worth, saves, block: None };
                ((number, call), call_)
            };
            (0..of.asked.len()).map(of_call).collect_vec()
        });
        let calls: Vec<((usize, usize), Call)> = calls.collect();
        let blocks = match &tally {
            Some(tally) => blocks::blocks(&alone, tally, &found, &calls),
            None => Vec::new(),
        };
        let all = |of: &OfPart| (of.part, of.done.clone());
        let done: BTreeMap<PartId, Vec<Waiting>> = found.iter().map(all).collect();
        let rest =
            tally.map(|tally| tally.with(&done.iter().map(|(part, pieces)| (*part, pieces.as_slice())).collect()));
        let calls = calls.into_iter().map(|(_, call)| call).collect();
        Self { calls, blocks, on_hand, rest, left_out }.in_order()
    }

    /// In the order in which they are told.
    fn in_order(self) -> Self {
        let mut block_of: Vec<Option<usize>> = vec![None; self.calls.len()];
        for (number, block) in self.blocks.iter().enumerate() {
            block.calls.iter().for_each(|call| block_of[*call] = Some(number));
        }
        let first = |block: &Block| block.calls.iter().map(|call| self.calls[*call].key()).min();
        let firsts = self.blocks.iter().map(first).collect_vec();
        let key = |call: &usize| {
            let own = self.calls[*call].key();
            (block_of[*call].map_or(Some(own), |block| firsts[block]), block_of[*call], own)
        };
        let order = (0..self.calls.len()).sorted_by_key(key).collect_vec();
        let mut place = vec![0; order.len()];
        order.iter().enumerate().for_each(|(new, old)| place[*old] = new);
        let mut calls: Vec<Option<Call>> = self.calls.into_iter().map(Some).collect();
        let moved = order.iter().filter_map(|old| calls[*old].take());
        let calls = moved.zip(&order).map(|(call, old)| Call { block: block_of[*old], ..call }).collect();
        let blocks = self
            .blocks
            .into_iter()
            .map(|block| Block { calls: block.calls.iter().map(|call| place[*call]).sorted().collect(), ..block });
        let on_hand = self.on_hand.into_iter().sorted_by_key(OnHand::key).collect();
        Self { calls, blocks: blocks.collect(), on_hand, ..self }
    }

    /// The calls about a part.
    pub fn about(&self, part: PartId) -> impl Iterator<Item = &Call> {
        self.calls.iter().filter(move |call| call.part == part)
    }
}

/// A call's place among others.
type Key = (Option<Date>, bool, Reverse<Seconds>, Reverse<Seconds>, Option<Moment>, PartId, Source);

impl Call {
    fn key(&self) -> Key {
        let loss = &self.alone.loss;
        let day = self.saves_until.map(Moment::date);
        let (dates, all) = (Reverse(loss.by_dates()), Reverse(loss.if_nothing_is_made_up()));
        (day, self.alone.no_end == 0, dates, all, self.saves_until, self.part, self.source)
    }

    /// How much is asked for in all: what the line waits for, and what others take who need some before.
    pub fn asked(&self) -> Quantity {
        self.steps.last().map_or(Quantity::ZERO, |step| step.qty)
    }

    /// Whether it is an order that would come inside its lead time.
    pub fn inside_lead_time(&self, plan: &Plan<'_>) -> bool {
        self.order_by(plan).is_some_and(|day| day < plan.plant.as_of.date())
    }

    /// The last day to order for the first date of an order; `None` of a delivery.
    fn order_by(&self, plan: &Plan<'_>) -> Option<Date> {
        let lead = i32::try_from(plan.plant.part(self.part).lead_days).ok()?;
        let first = self.steps.first().filter(|_| self.source == Source::Order)?;
        Some(first.by.date().plus(-lead))
    }

    /// Until when quality can answer so that the call can still be made: until the run is picked that the first of it goes with; of an
    /// order until the end of the last open day to order, where that is not past. `None`: it must be asked and called at once.
    pub fn quality_until(&self, plan: &Plan<'_>) -> Option<Moment> {
        let first = self.steps.first()?.by;
        match self.order_by(plan) {
            None => Some(first),
            Some(day) => {
                let open = plan.plant.stores_calendar().open_day_by(day);
                (open >= plan.plant.as_of.date()).then(|| first.min(open.plus(1).midnight()))
            }
        }
    }
}

/// The bought parts that stop the line, the first to do so first. A piece that is there when it is needed may do so, too, where it takes
/// longer to hand over than it is wanted ahead.
fn stopping(plan: &Plan<'_>) -> Vec<PartId> {
    if plan.effects.waited_for == 0 {
        return Vec::new();
    }
    let bought =
        (0..plan.plant.parts.len()).into_par_iter().map(PartId::of).filter(|part| plan.plant.part(*part).bought());
    let mut found: Vec<_> = bought.filter_map(|part| Some((plan.first_stop(part)?, part))).collect();
    found.sort_unstable();
    found.into_iter().map(|(_, part)| part).collect()
}

/// The first parts as far as there is room for their calls and pieces, and how many there is none for. One with too many calls is left out.
fn looked_at(alone: &Alone<'_>, parts: &[PartId], most: usize) -> (Vec<OfPart>, usize) {
    let mut found: Vec<OfPart> = Vec::new();
    for some in parts.chunks(16) {
        let pieces: usize = found.iter().map(|of| of.now.len()).sum();
        let calls: usize = found.iter().map(|of| of.asked.len()).sum();
        if pieces > MOST_PIECES || calls >= most {
            break;
        }
        found.extend(some.par_iter().filter_map(|part| OfPart::of(alone, *part)).collect::<Vec<_>>());
    }
    let left_out = parts.len() - found.len();
    (found, left_out)
}
