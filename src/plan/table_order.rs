//! All consequences in the order of their table, some at a time: there may be as many as there are demands.

use super::Plan;
use super::consequences::{Consequence, merge_alike};
use super::doubts::Doubt;
use super::slots::Slot;
use crate::base::{DestId, Moment, MustBe, OwnerId, PartId, numbered};
use rayon::prelude::*;
use std::ops::Range;

/// So many or a few more are shown at a time: few enough to stay near the processor.
const AT_A_TIME: usize = 1 << 15;

/// The moment of a piece that does nothing.
const NONE: u32 = u32::MAX;

impl Plan<'_> {
    /// Shows what all pieces do that are not there, some at a time, by the unit's arrival, rank, place and part.
    pub fn some_consequences(&self, mut visit: impl FnMut(&[Consequence])) {
        let by_moment = ByMoment::of(self);
        let mut lots = vec![Lot::default(); rayon::current_num_threads() * 2];
        let mut next = 0;
        while next < by_moment.moments {
            for lot in &mut lots {
                lot.moments = by_moment.some_from(next);
                next = lot.moments.end;
            }
            lots.par_iter_mut().for_each(|lot| lot.fill(&by_moment));
            lots.iter().filter(|lot| !lot.rows.is_empty()).for_each(|lot| visit(&lot.rows));
        }
    }
}

/// The different moments at which units arrive anywhere, in order.
struct Moments {
    all: Vec<Moment>,
    /// For each slot at a station the number of the moment at which its unit arrives there; [`NONE`] of others.
    at_slots: Vec<u32>,
}

impl Moments {
    fn of(plan: &Plan<'_>) -> Self {
        let units = plan.pace.owners.iter().filter(|owner| owner.planned).filter_map(|owner| owner.unit);
        let stays = units.flat_map(|unit| {
            let line = plan.plant.units[unit.at()].line;
            (1..=plan.plant.lines[line.at()].positions).filter_map(move |at| plan.pace.stay(plan.plant, unit, at))
        });
        let mut all: Vec<Moment> = stays.map(|(arrives, _)| arrives).collect();
        all.par_sort_unstable();
        all.dedup();
        let mut moments = Self { all, at_slots: Vec::new() };
        let number = |slot: &Slot| plan.on_line().stay(slot.owner, slot.to).map_or(NONE, |(at, _)| moments.number(at));
        moments.at_slots = plan.slots().par_iter().map(number).collect();
        moments
    }

    /// The number of a moment.
    fn number(&self, at: Moment) -> u32 {
        numbered(self.all.binary_search(&at).ok().must("a piece comes to a unit where it never arrives"))
    }
}

/// The pieces of all parts that do something, by the moment at which their units arrive.
struct ByMoment<'p> {
    plan: &'p Plan<'p>,
    groups: Vec<Group>,
    /// How many different moments there are.
    moments: usize,
    /// For each part its pieces, where it is not bought.
    made: Vec<Vec<Doubt>>,
}

impl<'p> ByMoment<'p> {
    fn of(plan: &'p Plan<'p>) -> Self {
        let moments = Moments::of(plan);
        let parts = (0..plan.plant.parts.len()).into_par_iter().map(PartId::of);
        let made = parts.map(|part| if plan.plant.part(part).bought() { Vec::new() } else { plan.doubts(part) });
        let mut all = Self { plan, groups: Vec::new(), moments: moments.all.len(), made: made.collect() };
        let parts: Vec<_> = plan.parts_in_groups().collect();
        all.groups = parts.into_par_iter().map(|parts| Group::of(&all, &moments, parts)).collect();
        all
    }

    /// The moments of each of a part's pieces, by number.
    fn put_moments(&self, moments: &Moments, part: PartId, into: &mut Vec<u32>) {
        let judged = |doubt: &Doubt| self.plan.judge().row(doubt).map_or(NONE, |row| moments.number(row.arrives));
        if !self.plan.plant.part(part).bought() {
            return into.extend(self.made[part.at()].iter().map(judged));
        }
        let of_part = &self.plan.doubts[part.at()];
        into.extend(of_part.slots().enumerate().map(|(number, slot)| {
            match slot.map(|slot| moments.at_slots[slot as usize]) {
                None => NONE,
                Some(NONE) => judged(&of_part.read_at(part, number, self.plan.look())),
                Some(at_station) => at_station,
            }
        }));
    }

    /// A part's piece.
    fn read(&self, (part, number): (PartId, u32)) -> Doubt {
        let made = self.made[part.at()].get(number as usize).copied();
        made.unwrap_or_else(|| self.plan.doubts[part.at()].read_at(part, number as usize, self.plan.look()))
    }

    /// Moments from one on with enough pieces to show.
    fn some_from(&self, first: usize) -> Range<usize> {
        let (mut end, mut pieces) = (first, 0);
        while end < self.moments && pieces < AT_A_TIME {
            pieces += self.groups.iter().map(|group| group.at(end).len()).sum::<usize>();
            end += 1;
        }
        first..end
    }
}

/// The pieces of some parts.
struct Group {
    /// For each moment where its pieces end.
    ends: Vec<u32>,
    /// The part of each, and its number among the part's, by moment.
    pieces: Vec<(PartId, u32)>,
}

impl Group {
    fn of(all: &ByMoment<'_>, moments: &Moments, parts: impl Iterator<Item = PartId>) -> Self {
        let (mut of_pieces, mut counts) = (Vec::new(), Vec::new());
        for part in parts {
            let before = of_pieces.len();
            all.put_moments(moments, part, &mut of_pieces);
            counts.push((part, of_pieces.len() - before));
        }
        let mut ends = vec![0_u32; moments.all.len() + 1];
        let does = |moment: &&u32| **moment != NONE;
        of_pieces.iter().filter(does).for_each(|moment| ends[*moment as usize + 1] += 1);
        (1..ends.len()).for_each(|moment| ends[moment] += ends[moment - 1]);
        // Where each moment's pieces begin; once they all stand there it is where they end.
        let mut pieces = vec![(PartId::default(), 0); ends[moments.all.len()] as usize];
        let numbered =
            counts.into_iter().flat_map(|(part, count)| (0..numbered(count)).map(move |number| (part, number)));
        for (moment, piece) in of_pieces.iter().zip(numbered).filter(|(moment, _)| does(moment)) {
            let place = &mut ends[*moment as usize];
            pieces[*place as usize] = piece;
            *place += 1;
        }
        Self { ends, pieces }
    }

    /// Those of a moment, by part.
    fn at(&self, moment: usize) -> &[(PartId, u32)] {
        let first = moment.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.pieces[first as usize..self.ends[moment] as usize]
    }
}

/// The rows of some moments, and room to put them in order.
#[derive(Clone, Default)]
struct Lot {
    moments: Range<usize>,
    pieces: Vec<Doubt>,
    rows: Vec<Consequence>,
    by_part: Vec<Consequence>,
    order: Vec<(OwnerId, DestId, u32)>,
}

impl Lot {
    fn fill(&mut self, all: &ByMoment<'_>) {
        self.rows.clear();
        for moment in self.moments.clone() {
            self.pieces.clear();
            // Pieces lie all over memory: read by themselves, several are waited for at once.
            all.groups
                .iter()
                .for_each(|group| self.pieces.extend(group.at(moment).iter().map(|piece| all.read(*piece))));
            self.by_part.clear();
            self.by_part.extend(self.pieces.iter().filter_map(|piece| all.plan.judge().row(piece)));
            self.add();
        }
    }

    /// Adds the rows of a moment, which come by part: there are few different places.
    fn add(&mut self) {
        self.order.clear();
        self.order.extend(self.by_part.iter().zip(0..).map(|(row, at)| (row.owner, row.to, at)));
        self.order.sort_unstable();
        let first = self.rows.len();
        self.rows.extend(self.order.iter().map(|(.., at)| self.by_part[*at as usize]));
        let place = |row: &Consequence| (row.owner, row.to, row.part);
        if !self.rows[first..].is_sorted_by(|one, other| place(one) < place(other)) {
            let mut of_moment = self.rows.split_off(first);
            merge_alike(&mut of_moment);
            self.rows.append(&mut of_moment);
        }
    }
}
