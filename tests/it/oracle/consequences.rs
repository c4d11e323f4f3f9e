//! What each piece that is not there when its run is picked does to its unit and the line.
//!
//! Rule `outcomes`.

use std::cmp::Reverse;
use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};

use super::loss::Stop;
use super::moved::Moved;
use super::numbers::Millionths;
use super::plant::Station;
use super::saves::Until;
use super::sheets::Key;
use super::shops::{Job, Run};
use super::supply::{Cover, JobNames, Peg};
use super::wants::{DemandKey, View};

/// The mildest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Word {
    SpecialRun,
    CanFollow,
    Stops,
}

/// What a missing piece does to the unit at its station.
#[derive(Clone, Debug)]
pub struct Outcome {
    pub word: Word,
    /// The station it is for.
    station: Key,
    pub arrives: i64,
    /// None where the line does not stop, or nothing says for how long.
    pub stop_minutes: Option<i64>,
    /// Where the line stops for a known time at a station: at which move, and until when.
    pub stop: Option<Stop>,
    pub hand_over_at: Option<Key>,
}

/// One row of the table.
pub struct Consequence {
    pub rank: usize,
    pub part: Key,
    pub to: Key,
    pub qty: Millionths,
    /// When it is there itself.
    pub there: Option<i64>,
    pub outcome: Outcome,
    /// The last moment at which it saves the line.
    pub saves_until: Option<i64>,
    pub cases: Vec<&'static str>,
}

pub fn consequences(view: &View, run: &Run, pegs: &[Peg], names: &JobNames) -> Vec<Consequence> {
    let look = Look { view, pegs, names, moved: Moved::new(view, run, pegs) };
    let mut rows: BTreeMap<_, Consequence> = BTreeMap::new();
    for row in pegs.iter().filter_map(|peg| look.consequence(peg)) {
        match rows.entry(place_in_table(&row)) {
            Entry::Vacant(empty) => _ = empty.insert(row),
            Entry::Occupied(mut alike) => alike.get_mut().add(row),
        }
    }
    rows.into_values().collect()
}

/// All of a row but its quantity, in the order of the table.
fn place_in_table(row: &Consequence) -> impl Ord + use<> {
    let Outcome { word, arrives, stop_minutes, hand_over_at, .. } = row.outcome.clone();
    let place = (arrives, row.rank, row.to.clone(), row.part.clone(), row.there.unwrap_or(i64::MAX));
    (place, word, stop_minutes, row.saves_until, hand_over_at)
}

impl Consequence {
    /// Pieces alike in all but quantity are one row.
    fn add(&mut self, alike: Consequence) {
        self.qty += alike.qty;
        self.cases.extend(alike.cases);
        self.cases.push("several pieces in a row");
    }
}

pub struct Look<'a> {
    pub view: &'a View<'a>,
    pegs: &'a [Peg],
    names: &'a JobNames,
    pub moved: Moved<'a>,
}

impl Look<'_> {
    /// The row of a piece, where its unit is planned and it is not there in time to be picked.
    fn consequence(&self, peg: &Peg) -> Option<Consequence> {
        let DemandKey { rank, part, to, .. } = peg.demand.clone();
        let taker = &self.view.crowd.takers[rank];
        if taker.unit.is_none() || taker.set_aside || !self.moved.is_missing(peg) {
            return None;
        }
        let there = self.moved.there(peg);
        let outcome = match self.is_at_station(peg) {
            true => self.at_station(peg, there),
            false => self.worst_above(&peg.demand)?,
        };
        let until = self.saves_until(&peg.demand, &[]);
        let mut cases = self.cases(peg, there, &outcome);
        cases.extend((until == Until::Never).then_some("no moment saves the line"));
        cases.extend((until == Until::Always).then_some("nothing stops whenever it comes"));
        let saves_until = until.clock();
        Some(Consequence { rank, part, to, qty: peg.qty, there, outcome, saves_until, cases })
    }

    fn is_at_station(&self, peg: &Peg) -> bool {
        self.view.plant.stations.contains_key(&peg.demand.to)
    }

    /// What a piece does that is there at a moment, or for all one knows never.
    fn at_station(&self, peg: &Peg, there: Option<i64>) -> Outcome {
        let rank = peg.demand.rank;
        let own = &self.view.plant.stations[&peg.demand.to];
        let last_key = self.fit_by(&peg.demand);
        let last = &self.view.plant.stations[&last_key];
        let arrives = self.view.arrives(rank, own.position);
        let last_arrives = self.view.arrives(rank, last.position);
        let outcome = |word: Word, stop_minutes: Option<i64>, hand_over_at: Option<Key>| Outcome {
            word,
            station: peg.demand.to.clone(),
            arrives,
            stop_minutes,
            stop: None,
            hand_over_at,
        };
        let Some(handed_over) = there.map(|there| there + self.view.plant.settings.hand_over) else {
            let word = if self.has_left(&peg.demand) { Word::CanFollow } else { Word::Stops };
            return outcome(word, None, None);
        };
        if handed_over <= arrives {
            outcome(Word::SpecialRun, None, Some(peg.demand.to.clone()))
        } else if handed_over <= last_arrives || self.has_left(&peg.demand) {
            let at = self.where_it_stands(&peg.demand, &last_key, handed_over);
            outcome(Word::CanFollow, None, at)
        } else {
            let calendar = self.view.plant.calendar_of_line(&own.line);
            let seconds = calendar.worked(handed_over) - calendar.worked(last_arrives);
            let at = self.view.move_at(rank, last.position);
            let stop = Some(Stop { line: own.line.clone(), at, until: calendar.worked(handed_over) });
            Outcome { stop, ..outcome(Word::Stops, Some((seconds + 59) / 60), Some(last_key)) }
        }
    }

    /// The last station where a demand's part can be fitted: its own, or one behind it on the same line.
    pub fn fit_by(&self, demand: &DemandKey) -> Key {
        let own = &self.view.plant.stations[&demand.to];
        let is_behind = |key: &&Key| {
            let station = self.view.plant.stations.get(*key);
            station.is_some_and(|station| station.line == own.line && station.position > own.position)
        };
        let given = self.view.plant.parts[&demand.part].fit_by.as_ref();
        given.filter(is_behind).unwrap_or(&demand.to).clone()
    }

    /// Whether a demand's unit has left the last station where its part can be fitted by the as-of moment.
    pub fn has_left(&self, demand: &DemandKey) -> bool {
        let unit = self.view.crowd.unit_of(demand.rank).expect("a unit on a line");
        let last = &self.view.plant.stations[&self.fit_by(demand)];
        self.view.leaves(unit, last) <= self.view.plant.settings.as_of
    }

    /// The station at which a unit stands at a moment after it has come to a demand's; none once it is off the line.
    fn where_it_stands(&self, demand: &DemandKey, last_key: &Key, clock: i64) -> Option<Key> {
        let stations = &self.view.plant.stations;
        let (own, last) = (&stations[&demand.to], &stations[last_key]);
        if self.view.crowd.unit_of(demand.rank).expect("a unit on a line").leaves <= clock {
            return None;
        }
        let of_line = || stations.iter().filter(|(_, station)| station.line == own.line);
        let reached = |station: &Station| self.view.arrives(demand.rank, station.position) <= clock;
        let here = of_line().map(|(_, station)| station).filter(|station| reached(station));
        let position = here.map(|station| station.position).max().expect("it has arrived");
        let is_there = |station: &Station| station.position == position;
        if is_there(own) {
            return Some(demand.to.clone());
        }
        if is_there(last) {
            return Some(last_key.clone());
        }
        of_line().find(|(_, station)| is_there(station)).map(|(key, _)| key.clone())
    }

    /// The worst of what a piece in a shop ends in at stations; none where no job starts with it.
    fn worst_above(&self, demand: &DemandKey) -> Option<Outcome> {
        let mut outcomes = Vec::new();
        self.follow(demand, &mut BTreeSet::new(), &mut outcomes);
        outcomes.into_iter().max_by_key(|outcome| {
            let unknown = outcome.word == Word::Stops && outcome.stop_minutes.is_none();
            let minutes = if unknown { i64::MAX } else { outcome.stop_minutes.unwrap_or(0) };
            // Of those alike the first to arrive, then by station, then by where it is handed over.
            (outcome.word, minutes, Reverse((outcome.arrives, outcome.station.clone(), outcome.hand_over_at.clone())))
        })
    }

    fn follow(&self, demand: &DemandKey, seen: &mut BTreeSet<DemandKey>, outcomes: &mut Vec<Outcome>) {
        if !seen.insert(demand.clone()) {
            return;
        }
        for job in self.moved.jobs_above(demand) {
            for peg in self.delivered_by(job) {
                if !self.is_at_station(peg) {
                    self.follow(&peg.demand, seen, outcomes);
                } else if self.moved.is_missing(peg) {
                    outcomes.push(self.at_station(peg, self.moved.there(peg)));
                } else {
                    outcomes.push(self.at_station(peg, Some(i64::MIN / 2)));
                }
            }
        }
    }

    /// The pieces that a job covers itself or by what comes free with it.
    pub fn delivered_by<'b>(&'b self, job: &'b Job) -> impl Iterator<Item = &'b Peg> {
        let demand = &job.draft.demand;
        self.pegs.iter().filter(move |peg| match &peg.cover {
            Cover::Job(name) => peg.demand == *demand && *name == self.names[demand],
            _ => peg.givers.contains(demand),
        })
    }

    /// What a row shows, so that a test can see that everything comes up.
    fn cases(&self, peg: &Peg, there: Option<i64>, outcome: &Outcome) -> Vec<&'static str> {
        let at_station = self.is_at_station(peg);
        let mut cases = vec![match (&outcome.word, at_station) {
            (Word::SpecialRun, true) => "special run",
            (Word::CanFollow, true) => "can follow",
            (Word::Stops, true) => "stops the line",
            (Word::SpecialRun, false) => "shop: special run",
            (Word::CanFollow, false) => "shop: can follow",
            (Word::Stops, false) => "shop: stops the line",
        }];
        cases.push(match (&peg.cover, at_station) {
            (Cover::Receipt(_), true) => "receipt at a station",
            (Cover::Receipt(_), false) => "receipt in a shop",
            (Cover::Job(_), true) => "job for a station",
            (Cover::Job(_), false) => "job for a shop",
            (Cover::ByProduct, true) => "by-product at a station",
            (Cover::ByProduct, false) => "by-product in a shop",
            (Cover::Nothing, true) => "short at a station",
            (Cover::Nothing, false) => "short in a shop",
            (Cover::Lying(_), _) => unreachable!("what lies in the plant is there"),
        });
        let mut note = |is_so: bool, case: &'static str| cases.extend(is_so.then_some(case));
        let moves = matches!(peg.cover, Cover::Job(_) | Cover::ByProduct);
        note(moves && there.is_some() && there != peg.available, "moved");
        note(moves && there.is_none(), "moved, nobody knows how far");
        note(moves && there == peg.available, "late without having moved");
        note(peg.givers.len() > 1, "by-product of several jobs");
        note(self.moved.waits_for_itself(peg), "a job that waits for itself");
        if at_station {
            self.note_station(peg, there, outcome, &mut note);
        } else {
            let own = self.moved.jobs_above(&peg.demand);
            note(own.len() > 1, "several jobs start with it");
            let direct = own.iter().any(|job| job.draft.demand.to == outcome.station);
            note(!direct, "worst behind another job or a by-product");
            let left = outcome.word == Word::CanFollow && outcome.hand_over_at.is_none();
            note(left, "shop: has left its fit by, off the line or no time known");
        }
        cases
    }

    fn note_station(
        &self,
        peg: &Peg,
        there: Option<i64>,
        outcome: &Outcome,
        note: &mut impl FnMut(bool, &'static str),
    ) {
        let plant = self.view.plant;
        let own = &plant.stations[&peg.demand.to];
        let given = plant.parts[&peg.demand.part].fit_by.as_ref().map(|key| &plant.stations[key]);
        let last = &plant.stations[&self.fit_by(&peg.demand)];
        let is_other = outcome.hand_over_at.as_ref().is_some_and(|at| plant.stations[at].position != own.position);
        note(given.is_some_and(|given| given.line != own.line), "fit by on another line");
        note(given.is_some_and(|given| given.line == own.line && given.position <= own.position), "fit by not behind");
        note(last.position > own.position && outcome.word == Word::Stops && there.is_some(), "too late for fit by");
        let stops = outcome.word == Word::Stops;
        note(last.position > own.position && there.is_none() && stops, "short for all its fit by");
        let left = self.has_left(&peg.demand);
        let follows = outcome.word == Word::CanFollow && !left;
        note(follows && is_other, "follows to another station");
        note(follows && !is_other, "follows at its own station");
        let follows_left = outcome.word == Word::CanFollow && left;
        note(follows_left && is_other, "has left its fit by, still on the line");
        note(follows_left && there.is_none(), "has left its fit by, no time known");
        let off_line = outcome.hand_over_at.is_none() && there.is_some();
        note(follows_left && off_line, "has left its fit by, off the line by then");
        let handed_over = there.map(|there| there + plant.settings.hand_over);
        let arrives = |position: i64| handed_over == Some(self.view.arrives(peg.demand.rank, position));
        let between = own.position + 1..last.position;
        note(arrives(own.position), "handed over as the unit arrives");
        note(between.into_iter().any(arrives), "handed over as the unit arrives on its way");
        note(last.position > own.position && arrives(last.position), "handed over as the unit arrives at the last");
        note(outcome.arrives < plant.settings.as_of, "arrived before the as-of moment");
        note(plant.settings.hand_over == 0, "nothing to hand over");
    }
}
