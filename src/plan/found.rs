//! What a walk over all parts finds, as the pieces of each pass by.

use super::account::Account;
use super::arrivals::{Arrivals, Handing};
use super::delays::{Latest, Marks, Shops, There, material};
use super::doubts::{self, Doubt};
use super::effects::week;
use super::on_line::OnLine;
use super::packed::Packed;
use super::slots::NONE;
use super::standing::Standing;
use super::sums::{Sums, Told};
use super::troubles::{Seen, Tally};
use crate::base::Date;
use crate::check::DestKind;
use crate::supply::{Covered, Supply};
use crate::waves::Runs;

/// What a walk over all parts finds.
pub(super) struct Found {
    /// For each part its supply, where that is held.
    pub(super) supplies: Vec<Supply>,
    /// For each part what its demands come to.
    pub(super) accounts: Vec<Account>,
    pub(super) standing: Standing,
    /// For each part those of its pulls that are asked for.
    pub(super) pulls: Vec<Vec<Packed>>,
    /// For each bought part the pieces that may not be there in time.
    pub(super) doubts: Vec<doubts::OfPart>,
    /// What those at stations do.
    pub(super) sums: Sums,
}

/// Where it is gathered when the material of jobs is there.
#[derive(Clone, Copy)]
pub(super) struct Gathering<'g> {
    pub(super) shops: Shops<'g>,
    pub(super) runs: &'g Runs,
    /// For each job when the last of its material is there that is not in time for its run.
    pub(super) materials: &'g Latest,
    /// For each slot when the last of what is needed there is there that is late; unknown where something is short.
    pub(super) at_slots: &'g Latest,
    /// The slots of single jobs of which it is known that some material is never there: nothing there is later than that.
    pub(super) never_there: &'g Marks,
    pub(super) on: OnLine<'g>,
    pub(super) arrivals: &'g Arrivals,
}

/// What is remembered of the pieces that have passed by.
pub(super) struct Passing<'g> {
    with: Gathering<'g>,
    /// The last day of the coming week.
    week: Date,
    handing: Handing<'g>,
    seen: Seen,
    /// Room for the pieces of a part.
    of_part: doubts::OfPart,
}

impl<'g> Passing<'g> {
    /// Before anything has passed by.
    pub(super) fn of(with: Gathering<'g>) -> Self {
        let (handing, seen) = (Handing::of(with.on, with.arrivals), Seen::of(with.on.pace.owners.len()));
        Self { with, week: week(with.on.plant), handing, seen, of_part: doubts::OfPart::default() }
    }
}

impl Found {
    /// Nothing, for so many owners.
    pub(super) fn new(owners: usize) -> Self {
        Self {
            supplies: Vec::new(),
            accounts: Vec::new(),
            standing: Standing::new(owners),
            pulls: Vec::new(),
            doubts: Vec::new(),
            sums: Sums::new(owners),
        }
    }

    /// Takes in how a part's demands are covered, at these slots where it is bought; `slots_tell` is whether a piece at a station does
    /// what all do there that come at its time.
    pub(super) fn take(&mut self, passing: &mut Passing<'_>, supply: &Supply, slots: &[u32], slots_tell: bool) {
        let with = passing.with;
        let (plant, mut runs) = (with.shops.plant, with.runs.in_turn());
        let mut tally = Tally::new(passing.week);
        passing.of_part.clear();
        for (at, peg) in supply.pegs.iter().enumerate().filter(|(_, peg)| !peg.on_hand()) {
            let demand = &supply.demands[peg.demand as usize];
            let slot = slots.get(peg.demand as usize).copied();
            self.standing.take(demand, peg);
            let Some(mut doubt) = doubts::doubt(demand, peg, &mut runs) else { continue };
            doubt.slot = slot.unwrap_or(NONE);
            if matches!(plant.dest(demand.to).what, DestKind::Shop(_)) {
                self.take_material(with, &doubt);
            }
            let counts = tally.add(&doubt, &mut passing.seen);
            let beside = |at: usize| supply.pegs.get(at).is_some_and(|other| other.demand == peg.demand);
            let alone = !beside(at + 1) && !beside(at.wrapping_sub(1));
            let told = match slots_tell && alone {
                true => self.sums.take_at_station(&mut passing.handing, &doubt),
                false => Told::Later,
            };
            if let (Told::Does(outcome), true) = (told, counts) {
                tally.does(outcome, demand);
            }
            if let Some(slot) = slot {
                passing.of_part.push(slot, &doubt, told == Told::Later);
            }
        }
        // No longer than it is.
        self.doubts.push(passing.of_part.clone());
        self.sums.take_tally(tally);
    }

    /// Notes when a piece of a shop's material is there that is not on hand: where it is late for whoever needs it then, and where it
    /// is in no time for its run for its jobs.
    fn take_material(&mut self, with: Gathering<'_>, doubt: &Doubt) {
        if with.never_there.has(doubt.slot) {
            return;
        }
        if doubt.covered() != Covered::InTime {
            match doubt.slot {
                NONE => self.standing.take_made(&doubt.demand, doubt.there()),
                slot => with.at_slots.note(slot, doubt.there()),
            }
        }
        let Some(there) = material(with.shops.plant, doubt) else { return };
        if with.shops.note(with.materials, doubt, there) && there == There::Unknown {
            with.never_there.mark(doubt.slot);
        }
    }

    /// With what is found of the parts that come next.
    pub(super) fn join(&mut self, more: Self) {
        self.supplies.extend(more.supplies);
        self.accounts.extend(more.accounts);
        self.pulls.extend(more.pulls);
        self.doubts.extend(more.doubts);
        self.standing.join(more.standing);
        self.sums.join(more.sums);
    }
}
