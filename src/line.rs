//! The line: moves at every takt, when each unit stands where, its rank, and which changes it has reached.
//!
//! Rules `moves`, `entry`, `places`, `issued`, `rank`, `held-and-done`, `changes`.

use crate::base::{ChangeId, Date, DestId, LineId, Moment, OwnerId, Quantity, Seconds, UnitId, fold};
use crate::check::{DestKind, ExtraFor, Line, Plant};
use itertools::Itertools;
use std::collections::HashMap;
use std::sync::OnceLock;

/// The moves of one line in its working seconds; move 0 is the last one made. Moves at one takt are told by the first of
/// them, so that a line may run for centuries.
#[derive(Debug)]
struct Moves {
    /// From which move on, when that one is, and the working seconds from each to the next.
    paces: Vec<(i64, Seconds, Seconds)>,
    /// Working seconds between earlier moves.
    before: Seconds,
}

impl Moves {
    fn new(plant: &Plant, line: &Line) -> Self {
        let calendar = plant.calendar(line.calendar);
        let last = line.last_move.unwrap_or(plant.as_of);
        let made = calendar.worked(last);
        // A move starts on a date or after it where the working time before that date is behind it.
        let row_at = |at: Seconds| {
            let after = line.takt.partition_point(|(from, _)| calendar.worked(from.midnight()) <= at);
            after.saturating_sub(1)
        };
        let first = line.takt[row_at(made)].1;
        // A line that stands still moves now at the earliest.
        let mut at = made.saturating_add(first).max(calendar.worked(plant.as_of));
        let mut number = 1_i64;
        let mut paces = vec![(0, made, at - made)];
        loop {
            let row = row_at(at);
            let takt = line.takt[row].1;
            paces.push((number, at, takt));
            let Some(next) = line.takt.get(row + 1).map(|(from, _)| calendar.worked(from.midnight())) else { break };
            let steps = steps(next - at, takt).max(1);
            number = number.saturating_add(steps);
            at = at.saturating_add(steps.saturating_mul(takt));
        }
        Self { paces, before: self::takt(line, last.date()) }
    }

    /// `s(j)`.
    fn at(&self, number: i64) -> Seconds {
        let after = self.paces.partition_point(|(first, ..)| *first <= number);
        let (first, at, takt) = match after.checked_sub(1) {
            Some(i) => self.paces[i],
            None => (0, self.paces[0].1, self.before),
        };
        at.saturating_add(number.saturating_sub(first).saturating_mul(takt))
    }

    /// The first move, from move 0 on, with so many working seconds behind it.
    fn reaching(&self, work: Seconds) -> i64 {
        let after = self.paces.partition_point(|(_, at, _)| *at < work);
        let Some((first, at, takt)) = after.checked_sub(1).map(|i| self.paces[i]) else { return 0 };
        let within = first.saturating_add(steps(work - at, takt));
        self.paces.get(after).map_or(within, |(next, ..)| within.min(*next))
    }
}

/// How many steps of a length it takes to come so far.
fn steps(far: Seconds, length: Seconds) -> i64 {
    far.max(0).saturating_add(length - 1) / length.max(1)
}

/// The takt of a date: the latest row not after it, before the earliest that one.
fn takt(line: &Line, date: Date) -> Seconds {
    let after = line.takt.partition_point(|(from, _)| *from <= date);
    line.takt[after.saturating_sub(1)].1
}

/// Whom material is needed for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Owner {
    /// The code printed; blank for nobody.
    pub code: String,
    /// The row of the sequence, where it has one.
    pub unit: Option<UnitId>,
    /// Whether it is a unit on the plan, rather than one that only extras name.
    pub planned: bool,
}

/// When units stand where.
#[derive(Debug)]
pub struct Pace {
    moves: Vec<Moves>,
    /// For each unit the move at which it entered or enters; `None` for held and done ones.
    entry: Vec<Option<i64>>,
    /// For each unit the first on its line, itself or behind it, that is neither held nor done.
    leads: Vec<Option<UnitId>>,
    /// Who needs material, in order of rank.
    pub owners: Vec<Owner>,
    /// The owner of each extra.
    pub extra_owners: Vec<OwnerId>,
    /// For each unit when it arrives at each position and leaves it, where that was asked for.
    times: Vec<OnceLock<Stays>>,
}

/// When a unit arrives at each position and when it leaves it.
type Stays = Box<[(Moment, Moment)]>;

/// Works out the pace of all lines.
pub fn pace(plant: &Plant) -> Pace {
    let mut pace = Pace {
        moves: plant.lines.iter().map(|line| Moves::new(plant, line)).collect(),
        entry: vec![None; plant.units.len()],
        leads: vec![None; plant.units.len()],
        owners: Vec::new(),
        extra_owners: Vec::new(),
        times: vec![OnceLock::new(); plant.units.len()],
    };
    (0..plant.lines.len()).for_each(|line| pace.enter_units(plant, LineId::of(line)));
    pace.rank(plant);
    pace.rank_extras(plant);
    pace
}

impl Pace {
    fn enter_units(&mut self, plant: &Plant, id: LineId) {
        let line = &plant.lines[id.at()];
        let all = plant.units.iter().enumerate().filter(|(_, unit)| unit.line == id);
        let all = all.sorted_by_key(|(_, unit)| unit.seq).collect_vec();
        let units = all.iter().filter(|(_, unit)| unit.on_plan()).copied().collect_vec();
        let just_moved = line.last_move.is_none_or(|last| last == plant.as_of);
        let first_taken = units.iter().any(|(_, unit)| unit.at == Some(1));
        let first_free = i64::from(!just_moved || first_taken);
        let mut last: Option<i64> = None;
        for (i, unit) in units {
            let entry = match unit.at {
                Some(position) => 1 - i64::from(position),
                None => {
                    let next = last.map_or(first_free, |last| (last + 1).max(first_free));
                    self.not_before(plant, id, next + i64::from(unit.gap), unit.start)
                }
            };
            self.entry[i] = Some(entry);
            last = Some(entry);
        }
        let mut next = None;
        for (i, _) in all.into_iter().rev() {
            next = self.entry[i].map(|_| UnitId::of(i)).or(next);
            self.leads[i] = next;
        }
    }

    /// The first move from `number` on that starts on or after 00:00 of a date.
    fn not_before(&self, plant: &Plant, id: LineId, number: i64, start: Option<Date>) -> i64 {
        let Some(start) = start else { return number };
        let calendar = plant.calendar(plant.lines[id.at()].calendar);
        number.max(self.moves[id.at()].reaching(calendar.worked(start.midnight())))
    }

    fn rank(&mut self, plant: &Plant) {
        let entered = (0..plant.units.len()).map(UnitId::of).filter_map(|id| Some((self.enters(plant, id)?, id)));
        let key = |(enters, id): &(Moment, UnitId)| -> (Moment, String, Quantity) {
            let unit = &plant.units[id.at()];
            (*enters, fold(&plant.lines[unit.line.at()].code), unit.seq)
        };
        let ranked = entered.sorted_by_cached_key(key);
        self.owners.extend(ranked.map(|(_, id)| Owner {
            code: plant.units[id.at()].code.clone(),
            unit: Some(id),
            planned: true,
        }));
    }

    /// Held, done and unknown units that extras name rank after all others, in order of first appearance.
    fn rank_extras(&mut self, plant: &Plant) {
        let planned: HashMap<UnitId, OwnerId> =
            self.owners.iter().enumerate().filter_map(|(i, owner)| Some((owner.unit?, OwnerId::of(i)))).collect();
        let mut others: HashMap<String, OwnerId> = HashMap::new();
        for extra in &plant.extras {
            let (code, unit) = match &extra.owner {
                ExtraFor::Unit(unit) => (plant.units[unit.at()].code.as_str(), Some(*unit)),
                ExtraFor::Code(code) => (code.as_str(), None),
                ExtraFor::Nobody => ("", None),
            };
            let owner = unit.and_then(|unit| planned.get(&unit)).copied().unwrap_or_else(|| {
                *others.entry(fold(code)).or_insert_with(|| {
                    self.owners.push(Owner { code: code.to_owned(), unit, planned: false });
                    OwnerId::of(self.owners.len() - 1)
                })
            });
            self.extra_owners.push(owner);
        }
    }

    /// When a unit arrives at a position of its line, in the line's working seconds.
    fn arrives_work(&self, plant: &Plant, unit: UnitId, position: u32) -> Option<Seconds> {
        Some(self.move_work(plant.units[unit.at()].line, self.move_at(unit, position)?))
    }

    /// The number of the move with which a unit on the plan arrives at a position.
    pub fn move_at(&self, unit: UnitId, position: u32) -> Option<i64> {
        Some(self.entry[unit.at()]? + i64::from(position) - 1)
    }

    /// When a line makes a move, in its working seconds.
    pub fn move_work(&self, line: LineId, number: i64) -> Seconds {
        self.moves[line.at()].at(number)
    }

    /// The unit at whose entry other lines reach a change that begins with a unit which is not done: that unit, or the next one
    /// behind it on its line where it is held; nobody where there is none, and other lines do not reach the change.
    pub fn leads(&self, first: UnitId) -> Option<UnitId> {
        self.leads[first.at()]
    }

    /// When a unit enters its line.
    pub fn enters(&self, plant: &Plant, unit: UnitId) -> Option<Moment> {
        self.arrives(plant, unit, 1)
    }

    /// When a unit arrives at a position.
    pub fn arrives(&self, plant: &Plant, unit: UnitId, position: u32) -> Option<Moment> {
        let calendar = plant.calendar(plant.lines[plant.units[unit.at()].line.at()].calendar);
        Some(calendar.starts(self.arrives_work(plant, unit, position)?))
    }

    /// When a unit leaves a position.
    pub fn leaves(&self, plant: &Plant, unit: UnitId, position: u32) -> Option<Moment> {
        let calendar = plant.calendar(plant.lines[plant.units[unit.at()].line.at()].calendar);
        Some(calendar.ends(self.arrives_work(plant, unit, position + 1)?))
    }

    /// When a unit arrives at a position of its line and when it leaves it, looked up: for those who ask for the same units often.
    pub fn stay(&self, plant: &Plant, unit: UnitId, position: u32) -> Option<(Moment, Moment)> {
        let positions = plant.lines[plant.units[unit.at()].line.at()].positions;
        let stays = self.times[unit.at()].get_or_init(|| {
            let stay = |position| Some((self.arrives(plant, unit, position)?, self.leaves(plant, unit, position)?));
            (1..=positions).filter_map(stay).collect()
        });
        stays.get(position.checked_sub(1)? as usize).copied()
    }

    /// When a unit leaves its line.
    pub fn leaves_line(&self, plant: &Plant, unit: UnitId) -> Option<Moment> {
        self.leaves(plant, unit, plant.lines[plant.units[unit.at()].line.at()].positions)
    }

    /// When a unit's material must be at a station of its line.
    pub fn need(&self, plant: &Plant, unit: UnitId, station: DestId) -> Option<Moment> {
        let DestKind::Station { line, position, ahead } = plant.dest(station).what else { return None };
        let calendar = plant.calendar(plant.lines[line.at()].calendar);
        Some(calendar.starts(self.arrives_work(plant, unit, position)? - ahead))
    }

    /// Whether a unit on the plan is inside a change.
    pub fn reached(&self, plant: &Plant, id: UnitId, change: ChangeId) -> bool {
        let change = &plant.changes[change.at()];
        let unit = &plant.units[id.at()];
        let enters = self.enters(plant, id);
        let entered = enters.map(Moment::date);
        let start = if unit.at.is_some() { unit.start.or(entered) } else { entered };
        let by_date = change.from_date.is_some_and(|from| start.is_some_and(|start| start >= from));
        by_date || change.from_unit.is_some_and(|first| self.behind(plant, id, first, enters))
    }

    /// Whether a unit is `first` or behind it on its line, or enters another line no earlier.
    fn behind(&self, plant: &Plant, id: UnitId, first: UnitId, enters: Option<Moment>) -> bool {
        let (unit, leader) = (&plant.units[id.at()], &plant.units[first.at()]);
        if unit.line == leader.line {
            return unit.seq >= leader.seq;
        }
        // A done unit's entry lies before all.
        leader.done || {
            let begins = self.leads(first).and_then(|leads| self.enters(plant, leads));
            begins.is_some_and(|begins| enters.is_some_and(|enters| enters >= begins))
        }
    }

    /// Whether all times that units on the lines have lie within the calendars.
    pub fn within_calendars(&self, plant: &Plant) -> Result<(), LineId> {
        for (i, unit) in plant.units.iter().enumerate() {
            let id = UnitId::of(i);
            let times = [self.enters(plant, id), self.leaves_line(plant, id)];
            if times.into_iter().flatten().any(|time| !time.is_real()) {
                return Err(unit.line);
            }
        }
        Ok(())
    }
}
