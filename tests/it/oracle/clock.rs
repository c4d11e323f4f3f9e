//! Dates and times of day as seconds of the local clock.

use chrono::{DateTime, NaiveDate, NaiveTime};

pub const DAY: i64 = 86_400;

/// A moment as the book gives it: some cells hold a date only.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moment {
    pub clock: i64,
    pub has_time: bool,
}

/// Reads `2027-09-14`, `2027-09-14 06:00` or `2027-09-14T06:00:30`.
pub fn moment(text: &str) -> Option<Moment> {
    let text = text.trim();
    let (date, time) = match text.split_once(['T', ' ']) {
        Some((date, time)) => (date, Some(time)),
        None => (text, None),
    };
    let midnight = day(date)? * DAY;
    match time {
        Some(time) => Some(Moment { clock: midnight + time_of_day(time)?, has_time: true }),
        None => Some(Moment { clock: midnight, has_time: false }),
    }
}

/// Reads a date as a number of days.
pub fn day(text: &str) -> Option<i64> {
    let date = NaiveDate::parse_from_str(text.trim(), "%Y-%m-%d").ok()?;
    Some(date.and_time(NaiveTime::MIN).and_utc().timestamp() / DAY)
}

/// Reads `06:00` or `06:00:30` as seconds after midnight; `24:00` is the end of the day.
pub fn time_of_day(text: &str) -> Option<i64> {
    let mut parts = text.trim().split(':').map(|part| part.parse::<i64>().ok());
    let hours = parts.next()??;
    let minutes = parts.next()??;
    let seconds = parts.next().unwrap_or(Some(0))?;
    Some(hours * 3600 + minutes * 60 + seconds)
}

/// The day on which a clock time lies.
pub fn day_of(clock: i64) -> i64 {
    clock.div_euclid(DAY)
}

/// 0 for Monday to 6 for Sunday.
pub fn weekday(day: i64) -> i64 {
    (day + 3).rem_euclid(7) // day 0 was a Thursday
}

/// Prints a clock time as the tables have it.
pub fn print(clock: i64) -> String {
    let moment = DateTime::from_timestamp(clock, 0).expect("a moment of a plant's life");
    moment.format("%Y-%m-%dT%H:%M:%S").to_string()
}

/// Prints a date.
pub fn print_day(day: i64) -> String {
    print(day * DAY)[..10].to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weekdays_are_right() {
        assert_eq!(weekday(day("2027-09-13").unwrap()), 0);
        assert_eq!(weekday(day("2000-01-01").unwrap()), 5);
    }

    #[test]
    fn moments_print_as_read() {
        let text = "2027-09-14T06:00:30";
        assert_eq!(print(moment(text).unwrap().clock), text);
        assert_eq!(moment("2027-09-14 06:00:30"), moment(text));
        assert!(!moment("2027-09-14").unwrap().has_time);
        assert_eq!(print_day(day("2028-02-29").unwrap()), "2028-02-29");
    }
}
