//! What must hold for a bill line, or for all lines of a path, and for which units it holds.
//!
//! Rules `active-lines`, `changes`.

use super::{Reached, TooLarge};
use crate::base::{ChangeId, UnitId, numbered};
use crate::check::limits::MOST_TRUTHS;
use crate::check::{BillLine, Plant};
use crate::configure::Configured;
use crate::line::Pace;
use rayon::prelude::*;
use std::collections::HashMap;

/// A condition, or several that must all hold; 0 always does.
pub type GuardId = u32;

/// What one line asks: its condition and its changes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
struct Clause {
    when: u32,
    from: Option<ChangeId>,
    until: Option<ChangeId>,
}

/// All that lines and paths ask, each once, and a bit for each unit whether it holds.
#[derive(Debug, Default)]
pub struct Guards {
    clauses: Vec<Clause>,
    of_line: Vec<GuardId>,
    /// For each guard the clauses it is made of, by number.
    made_of: Vec<Vec<u32>>,
    known: HashMap<Vec<u32>, GuardId>,
    /// For each guard a bit for each unit, and one for nobody at the end.
    bits: Vec<Vec<u64>>,
    /// Where each unit's bit stands: those on the plan by rank, so that a word is 64 owners in a row; then the others.
    places: Vec<u32>,
}

impl Guards {
    /// The guards of all bill lines.
    pub fn of_lines(plant: &Plant) -> Self {
        let mut guards = Self::default();
        guards.known(Vec::new());
        let mut numbers: HashMap<Clause, GuardId> = HashMap::new();
        let of_line = plant.bills.iter().map(|line: &BillLine| {
            let clause = Clause { when: line.when, from: line.from, until: line.until };
            if line.always() {
                return 0;
            }
            *numbers.entry(clause).or_insert_with(|| {
                guards.clauses.push(clause);
                guards.known(vec![numbered(guards.clauses.len() - 1)])
            })
        });
        let of_line = of_line.collect();
        Self { of_line, ..guards }
    }

    fn known(&mut self, made_of: Vec<u32>) -> GuardId {
        let next: GuardId = numbered(self.made_of.len());
        *self.known.entry(made_of).or_insert_with_key(|made_of| {
            self.made_of.push(made_of.clone());
            next
        })
    }

    /// What a bill line asks, by its index.
    pub fn of_line(&self, line: usize) -> GuardId {
        self.of_line[line]
    }

    /// Both of two.
    pub fn both(&mut self, first: GuardId, second: GuardId) -> GuardId {
        if first == 0 || first == second {
            return second;
        }
        if second == 0 {
            return first;
        }
        let mut made_of = [&self.made_of[first as usize][..], &self.made_of[second as usize]].concat();
        made_of.sort_unstable();
        made_of.dedup();
        self.known(made_of)
    }

    /// Finds out for whom each of them holds; for nobody in particular no name is true and no change reached.
    ///
    /// # Errors
    /// Where there are too many of them for so many units.
    pub fn judge(
        &mut self,
        plant: &Plant,
        configured: &Configured,
        pace: &Pace,
        reached: &Reached<'_>,
    ) -> Result<(), TooLarge> {
        let words = (plant.units.len() + 1).div_ceil(64);
        let rows = self.clauses.len() + self.made_of.len() + plant.names + plant.changes.len();
        if rows as u64 * words as u64 * 64 > MOST_TRUTHS {
            return Err(TooLarge::Truths(rows));
        }
        self.places = places(plant, pace);
        let who = Everybody::of(plant, configured, reached, &self.places);
        let clauses: Vec<Vec<u64>> = self.clauses.par_iter().map(|clause| who.judge(plant, clause)).collect();
        let all_of = |made_of: &Vec<u32>| {
            let mut bits = vec![u64::MAX; words];
            for clause in made_of {
                bits.iter_mut().zip(&clauses[*clause as usize]).for_each(|(all, one)| *all &= one);
            }
            bits
        };
        self.bits = self.made_of.par_iter().map(all_of).collect();
        Ok(())
    }

    /// Whether one holds for a unit, or for nobody in particular.
    pub fn holds(&self, guard: GuardId, who: super::Who) -> bool {
        let who = who.map_or(self.places.len(), |unit| self.places[unit.at()] as usize);
        guard == 0 || self.bits[guard as usize][who / 64] >> (who % 64) & 1 == 1
    }

    /// Where a unit's bit stands among those of [`Guards::owners`]: units on the plan by rank, then the others.
    pub fn place(&self, unit: UnitId) -> usize {
        self.places[unit.at()] as usize
    }

    /// For which units on the plan one holds: 64 owners to a word, the first in its lowest bit.
    pub fn owners(&self, guard: GuardId) -> &[u64] {
        &self.bits[guard as usize]
    }
}

/// Where each unit's bit stands.
fn places(plant: &Plant, pace: &Pace) -> Vec<u32> {
    const NONE: u32 = u32::MAX;
    let mut places = vec![NONE; plant.units.len()];
    let planned = pace.owners.iter().take_while(|owner| owner.planned);
    let free = numbered(planned.clone().count());
    for (unit, place) in planned.zip(0..).filter_map(|(owner, place)| Some((owner.unit?, place))) {
        places[unit.at()] = place;
    }
    places.iter_mut().filter(|place| **place == NONE).zip(free..).for_each(|(place, free)| *place = free);
    places
}

/// A bit for each unit, and one for nobody at the end, for each thing that may be true.
struct Everybody {
    /// Who has a configuration, or is nobody.
    known: Vec<u64>,
    /// For each name for whom it is true.
    names: Vec<Vec<u64>>,
    /// For each change for whom it is reached.
    reached: Vec<Vec<u64>>,
}

impl Everybody {
    fn of(plant: &Plant, configured: &Configured, inside: &Reached<'_>, places: &[u32]) -> Self {
        let words = (places.len() + 1).div_ceil(64);
        let set = |bits: &mut [u64], place: usize| bits[place / 64] |= 1 << (place % 64);
        let place = |unit: usize| places[unit] as usize;
        let mut known = vec![0; words];
        let mut names = vec![vec![0; words]; plant.names];
        for (unit, own) in configured.iter().enumerate().filter_map(|(unit, own)| Some((unit, own.as_ref()?))) {
            set(&mut known, place(unit));
            own.iter().for_each(|name| set(&mut names[name.at()], place(unit)));
        }
        set(&mut known, places.len());
        let reached = (0..plant.changes.len()).into_par_iter().map(ChangeId::of).map(|change| {
            let mut bits = vec![0; words];
            let planned = (0..configured.len()).filter(|unit| configured[*unit].is_some());
            let those = planned.filter(|unit| inside(UnitId::of(*unit), change));
            those.for_each(|unit| set(&mut bits, place(unit)));
            bits
        });
        Self { known, names, reached: reached.collect() }
    }

    /// For whom a clause holds.
    fn judge(&self, plant: &Plant, clause: &Clause) -> Vec<u64> {
        let condition = &plant.conditions[clause.when as usize];
        let mut stack = Vec::new();
        let of_word = |word: usize| {
            let reached = |change: ChangeId| self.reached[change.at()][word];
            let from = clause.from.map_or(u64::MAX, reached);
            let until = clause.until.map_or(0, reached);
            self.known[word] & from & !until & condition.holds_for(|name| self.names[name.at()][word], &mut stack)
        };
        (0..self.known.len()).map(of_word).collect()
    }
}
