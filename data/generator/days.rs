//! The working days of the plan, and on which of them a line minute falls.

use crate::tune::DAY_MINUTES;
use chrono::{Datelike, Days, NaiveDate};

/// The day of the spring tide: the quay road is under water and the whole plant is closed.
pub const CLOSED_DAY: &str = "2027-09-24";

/// The evacuation drill: its place in `working_days`, and the minutes it takes.
const DRILL_DAY: usize = 3;
const DRILL_MINUTES: f64 = 25.0;

pub const AS_OF_DAY: &str = "2027-09-13";

fn date(text: &str) -> NaiveDate {
    text.parse().expect("a date of this file")
}

/// The as-of date and the working days after it, enough for the whole plan.
pub fn working_days() -> Vec<NaiveDate> {
    let first = date(AS_OF_DAY);
    (0..50)
        .map(|n| first + Days::new(n))
        .filter(|day| day.weekday().number_from_monday() < 6)
        .filter(|day| *day != date(CLOSED_DAY))
        .collect()
}

/// The line's working minutes of a day, by its place in `working_days`; the evacuation drill takes some of one.
fn minutes_of(day: usize) -> f64 {
    if day == DRILL_DAY { DAY_MINUTES - DRILL_MINUTES } else { DAY_MINUTES }
}

/// The place in `working_days` of a minute of line time counted from the as-of moment, which is a day's end.
pub fn day_of(minute: f64) -> usize {
    let mut day = 0;
    while minute >= minute_of(day + 1) {
        day += 1;
    }
    day
}

/// The minute of line time at which a working day begins.
pub fn minute_of(day: usize) -> f64 {
    (1..day).map(minutes_of).sum()
}

/// The minute of line time at which the working day of a date begins.
pub fn morning_of(date: &str) -> f64 {
    let days = working_days();
    let day = days.iter().position(|day| day.to_string() == date);
    minute_of(day.expect("a working day of the plan"))
}
