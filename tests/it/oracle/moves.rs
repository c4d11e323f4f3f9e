//! When a line moves: the working seconds of each move, and the clock times between them.
//!
//! Rules `moves`, `places`.

use super::calendar::Calendar;
use super::clock::day_of;
use super::plant::{Line, Plant};

/// So many moves ahead are laid out; no book goes on for longer.
const MOVES: usize = 6000;

pub struct Moves<'a> {
    calendar: &'a Calendar,
    /// `s(0)`, `s(1)`, ... in working seconds.
    ahead: Vec<i64>,
    takt_back: i64,
    pub last_move_is_now: bool,
}

impl Moves<'_> {
    pub fn new<'a>(plant: &'a Plant, line: &Line) -> Moves<'a> {
        let calendar = &plant.calendars[&line.calendar];
        let as_of = plant.settings.as_of;
        let last_move = line.last_move.unwrap_or(as_of);
        let mut ahead = vec![calendar.worked(last_move)];
        for number in 1..MOVES {
            let before = ahead[number - 1];
            let usual = before + takt_on(line, day_of(calendar.starts(before)));
            let moves_now = number == 1 && usual < calendar.worked(as_of);
            ahead.push(if moves_now { calendar.worked(as_of) } else { usual });
        }
        let takt_back = takt_on(line, day_of(last_move));
        Moves { calendar, ahead, takt_back, last_move_is_now: last_move == as_of }
    }

    /// `s(j)`: the working seconds of a move.
    pub fn worked(&self, number: i64) -> i64 {
        match number < 0 {
            true => self.ahead[0] + number * self.takt_back,
            false => self.ahead[number as usize],
        }
    }

    /// When what comes with a move arrives.
    pub fn starts(&self, number: i64) -> i64 {
        self.calendar.starts(self.worked(number))
    }

    /// When what goes with a move leaves.
    pub fn ends(&self, number: i64) -> i64 {
        self.calendar.ends(self.worked(number))
    }

    /// The first move, not before the given one, that starts on or after a day's 00:00.
    pub fn first_on_or_after(&self, day: i64, mut number: i64) -> i64 {
        while day_of(self.starts(number)) < day {
            number += 1;
        }
        number
    }
}

/// The takt of a date: the latest one not after it; before the earliest, that one.
fn takt_on(line: &Line, day: i64) -> i64 {
    let begun = line.takt.iter().rev().find(|(from, _)| *from <= day);
    begun.unwrap_or(&line.takt[0]).1
}
