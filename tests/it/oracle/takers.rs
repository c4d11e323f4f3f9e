//! Who takes material, by rank: the units on the lines, then those that only extras name.
//!
//! Rules `rank`, `extras`.

use std::collections::BTreeSet;

use super::options::options_of;
use super::plant::{BillLine, Change, Plant, Source};
use super::sequence::{State, Unit, units};
use super::sheets::Key;
use super::whens::holds;

/// One that takes material; its place in the list is its rank.
pub struct Taker {
    pub key: Key,
    /// As it prints; blank for extras without a unit.
    pub name: String,
    /// The unit's place in the list of units, where it is on a line.
    pub unit: Option<usize>,
    pub set_aside: bool,
    pub options: BTreeSet<Key>,
    /// All names that are true for it: options, floorplan, series, line.
    truths: BTreeSet<Key>,
}

/// All units and takers of a plan.
pub struct Crowd {
    pub units: Vec<Unit>,
    pub takers: Vec<Taker>,
}

impl Crowd {
    /// Everyone, with what is wrong with single units.
    pub fn gather(plant: &Plant) -> (Crowd, Vec<String>) {
        let mut crowd = Crowd { units: units(plant), takers: Vec::new() };
        let mut problems = Vec::new();
        for (place, unit) in crowd.units.iter().enumerate() {
            if unit.state == State::OnLine {
                let options = options_of(plant, unit);
                let set_aside = options.is_err();
                let options = options.unwrap_or_else(|found| {
                    problems.extend(found);
                    BTreeSet::new()
                });
                crowd.takers.push(taker_on_line(plant, unit, place, set_aside, options));
            }
        }
        for rank in 0..crowd.takers.len() {
            let found = crowd.foreign_stations(plant, rank);
            crowd.takers[rank].set_aside |= !found.is_empty();
            problems.extend(found);
        }
        crowd.add_others(plant);
        (crowd, problems)
    }

    /// Those that only extras name, in order of first appearance.
    fn add_others(&mut self, plant: &Plant) {
        for extra in &plant.extras {
            if self.rank_of(&extra.unit).is_none() {
                let listed = self.units.iter().find(|unit| unit.key == extra.unit);
                let name = listed.map_or(&extra.unit_text, |unit| &unit.code).clone();
                let (options, truths) = (BTreeSet::new(), BTreeSet::new());
                let key = extra.unit.clone();
                self.takers.push(Taker { key, name, unit: None, set_aside: false, options, truths });
            }
        }
    }

    pub fn rank_of(&self, unit: &str) -> Option<usize> {
        self.takers.iter().position(|taker| taker.key == unit)
    }

    pub fn unit_of(&self, rank: usize) -> Option<&Unit> {
        self.takers[rank].unit.map(|place| &self.units[place])
    }

    /// The lines of a parent that are active for a taker.
    pub fn active<'a>(&self, plant: &'a Plant, rank: usize, parent: &str) -> Vec<&'a BillLine> {
        let lines = plant.lines_of(parent).iter().filter(|line| line.factor.num > 0);
        lines.filter(|line| self.is_active(plant, rank, line)).collect()
    }

    fn is_active(&self, plant: &Plant, rank: usize, line: &BillLine) -> bool {
        let reached = |change: &Key| {
            let unit = self.unit_of(rank).expect("no change below what a non-unit takes");
            self.is_reached(&plant.changes[change], unit)
        };
        holds(&line.when, &self.takers[rank].truths)
            && line.from_change.as_ref().is_none_or(reached)
            && !line.until_change.as_ref().is_some_and(reached)
    }

    /// Whether a unit comes with a change or after it.
    fn is_reached(&self, change: &Change, unit: &Unit) -> bool {
        let first = change.from_unit.as_ref();
        let first = first.and_then(|key| self.units.iter().find(|unit| unit.key == *key));
        let by_unit = first.is_some_and(|first| self.comes_with_or_after(unit, first));
        by_unit || change.from_day.is_some_and(|day| start_day(unit) >= day)
    }

    /// By `seq` on the same line. On others by the time of entry, for a held unit that of the next on the line behind it.
    fn comes_with_or_after(&self, unit: &Unit, first: &Unit) -> bool {
        if unit.line == first.line {
            return !unit.seq.is_less_than(first.seq);
        }
        match first.state {
            State::Done => true,
            State::OnLine => unit.enters >= first.enters,
            State::Held => self.next_behind(first).is_some_and(|next| unit.enters >= next.enters),
        }
    }

    /// The next unit behind another of its line that is neither held nor done.
    fn next_behind(&self, held: &Unit) -> Option<&Unit> {
        let behind = |unit: &&Unit| unit.line == held.line && held.seq.is_less_than(unit.seq);
        // Units on the lines stand in the list by the time at which they enter.
        self.units.iter().filter(behind).find(|unit| unit.state == State::OnLine)
    }

    /// What there is to say of changes that begin with a held unit, for each unit of another line.
    pub fn cases_of_changes(&self, plant: &Plant) -> Vec<&'static str> {
        let used = |key: &Key| {
            let lines = plant.bills.values().flatten();
            lines.flat_map(|line| [&line.from_change, &line.until_change]).flatten().any(|change| change == key)
        };
        let firsts =
            plant.changes.iter().filter(|(key, _)| used(key)).filter_map(|(_, change)| change.from_unit.as_ref());
        let firsts = firsts.filter_map(|key| self.units.iter().find(|unit| unit.key == *key));
        let held = firsts.filter(|first| first.state == State::Held);
        let cases = held.flat_map(|first| {
            let others = self.units.iter().filter(|unit| unit.line != first.line && unit.state == State::OnLine);
            others.map(|unit| match self.next_behind(first) {
                None => "change of a held unit: nobody behind it",
                Some(next) if unit.enters < next.enters => "change of a held unit: before the next behind it",
                Some(_) => "change of a held unit: with the next behind it or later",
            })
        });
        cases.collect()
    }

    /// Active lines at stations, or of phantoms below, that stand on another line than the unit.
    fn foreign_stations(&self, plant: &Plant, rank: usize) -> Vec<String> {
        let unit = self.unit_of(rank).expect("a unit on a line");
        match self.takers[rank].set_aside {
            true => Vec::new(),
            false => self.foreign_below(plant, rank, &unit.floorplan()),
        }
    }

    fn foreign_below(&self, plant: &Plant, rank: usize, parent: &str) -> Vec<String> {
        let unit = self.unit_of(rank).expect("a unit on a line");
        let mut problems = Vec::new();
        for line in self.active(plant, rank, parent) {
            let station = line.station.as_ref().filter(|key| plant.stations[*key].line != unit.line);
            if let Some(station) = station {
                problems.push(format!("{}: {} at {station} of another line", unit.code, line.part));
            }
            if plant.parts[&line.part].source == Source::Phantom {
                problems.extend(self.foreign_below(plant, rank, &line.part));
            }
        }
        problems
    }
}

fn taker_on_line(plant: &Plant, unit: &Unit, place: usize, set_aside: bool, options: BTreeSet<Key>) -> Taker {
    let mut truths = options.clone();
    truths.extend([unit.floorplan(), unit.line.clone()]);
    if let Some(floorplan) = plant.floorplans.get(&unit.floorplan()) {
        truths.extend(Some(floorplan.series.clone()).filter(|series| !series.is_empty()));
    }
    let (key, name) = (unit.key.clone(), unit.code.clone());
    Taker { key, name, unit: Some(place), set_aside, options, truths }
}

/// The date by which changes count: of the entry, or the given start of a unit on the line.
fn start_day(unit: &Unit) -> i64 {
    let entered = super::clock::day_of(unit.enters);
    unit.start.filter(|_| unit.is_at).unwrap_or(entered)
}
