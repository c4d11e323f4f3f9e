//! What each line loses where it waits, second by second: it stands for as long as the piece is not there at whose unit's move it is.
//!
//! Rule `line-loss`.

use std::collections::BTreeMap;

use super::clock::{DAY, day_of};
use super::consequences::{Consequence, Word};
use super::sheets::Key;
use super::wants::View;

/// What one stands for: the line, the move of the unit, and when the piece is there and handed over; in the line's working seconds.
#[derive(Clone, Debug)]
pub struct Stop {
    pub line: Key,
    pub at: i64,
    pub until: i64,
}

/// Seconds lost.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Loss {
    /// By line and day, each day begun on its times.
    pub by_day: BTreeMap<(Key, i64), i64>,
    /// By line, if nothing is made up.
    pub in_all: BTreeMap<Key, i64>,
    /// For each row of the table what it adds to the days.
    pub adds: Vec<Option<i64>>,
    /// What there is to say of how that came about.
    pub cases: Vec<&'static str>,
}

/// A line that is watched second by second.
struct Watch {
    second: i64,
    end: i64,
    lost: i64,
}

impl Watch {
    /// How far it would stand by itself.
    fn alone(&self, at: i64, until: i64) -> i64 {
        (until.min(self.end) - at).max(0)
    }

    /// A move that was to be at a moment comes as much later as was lost; there the line stands until another.
    fn stand(&mut self, at: i64, until: i64) -> i64 {
        self.second = (at + self.lost).min(self.end);
        let before = self.lost;
        while self.second < until && self.second < self.end {
            self.second += 1;
            self.lost += 1;
        }
        self.lost - before
    }
}

/// Of the rows of a table, in its order.
pub fn loss(view: &View, rows: &[Consequence]) -> Loss {
    let is_station = |row: &Consequence| view.plant.stations.contains_key(&row.to);
    let adds = rows.iter().map(|row| is_station(row).then_some(0)).collect();
    let mut loss = Loss { adds, ..Loss::default() };
    for line in &view.plant.lines {
        // The rows of each move, and of each row when it is there.
        let mut moves: BTreeMap<i64, Vec<(usize, i64)>> = BTreeMap::new();
        for (number, row) in rows.iter().enumerate().filter(|(_, row)| is_station(row)) {
            if let Some(stop) = row.outcome.stop.as_ref().filter(|stop| stop.line == line.key) {
                assert_eq!(row.outcome.word, Word::Stops);
                moves.entry(stop.at).or_default().push((number, stop.until));
            }
        }
        lose_by_day(view, &line.key, &moves, &mut loss);
        let mut watch = Watch { second: i64::MIN, end: i64::MAX, lost: 0 };
        for (at, rows) in &moves {
            watch.stand(*at, last_of(rows.iter()).expect("a row").1);
        }
        if watch.lost > 0 {
            loss.in_all.insert(line.key.clone(), watch.lost);
        }
    }
    loss
}

/// The row that is there last, of those alike the first.
fn last_of<'r>(rows: impl Iterator<Item = &'r (usize, i64)>) -> Option<(usize, i64)> {
    rows.copied().max_by_key(|(number, until)| (*until, std::cmp::Reverse(*number)))
}

fn lose_by_day(view: &View, line: &Key, moves: &BTreeMap<i64, Vec<(usize, i64)>>, loss: &mut Loss) {
    let calendar = view.plant.calendar_of_line(line);
    let Some((first, _)) = moves.first_key_value() else { return };
    let last_until = moves.values().flatten().map(|row| row.1).max().expect("a row");
    let first_day = day_of(calendar.starts(*first));
    let last_day =
        day_of(calendar.starts(last_until)).max(day_of(calendar.starts(*moves.last_key_value().expect("a move").0)));
    for day in first_day..=last_day {
        let (begins, ends) = (calendar.worked(day * DAY), calendar.worked((day + 1) * DAY));
        let mut watch = Watch { second: begins, end: ends, lost: 0 };
        let earlier = moves.iter().filter(|(at, _)| **at < begins).flat_map(|(_, rows)| rows);
        if let Some((number, until)) = last_of(earlier.filter(|(_, until)| *until > begins)) {
            *loss.adds[number].as_mut().expect("a station") += watch.stand(begins, until);
            loss.cases.push("loss: a line stands over midnight");
        }
        for (at, rows) in moves.iter().filter(|(at, _)| day_of(calendar.starts(**at)) == day) {
            let (number, until) = last_of(rows.iter()).expect("a row");
            let alone = watch.alone(*at, until);
            let more = watch.stand(*at, until);
            *loss.adds[number].as_mut().expect("a station") += more;
            let mut note = |is_so: bool, case: &'static str| loss.cases.extend(is_so.then_some(case));
            note(rows.iter().any(|row| row.1 < until), "loss: another piece of the move is there later");
            note(rows.iter().any(|row| row.1 == until && row.0 != number), "loss: of those alike the first decides");
            note(alone > 0 && more == 0, "loss: nothing is added, the line stands already");
            note(more > 0 && more < alone, "loss: less is added, the line stands already");
        }
        if watch.lost > 0 {
            loss.by_day.insert((line.clone(), day), watch.lost);
        }
    }
}
