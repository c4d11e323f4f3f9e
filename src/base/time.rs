//! Local times to the second, without a zone, and plain dates.
//!
//! Rule `working-seconds`.

use super::MustBe;
use chrono::{DateTime, Datelike, Months, NaiveDate, NaiveDateTime, NaiveTime, Weekday};
use serde::{Serialize, Serializer};
use std::fmt;

/// A length of time in seconds, clock or working.
pub type Seconds = i64;

const DAY: Seconds = 86_400;

/// A date of the local calendar, counted in days.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date(i32);

/// A moment of local time, counted in seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(i64);

impl Date {
    /// The date of so many days after 1970-01-01.
    pub const fn from_days(days: i32) -> Self {
        Self(days)
    }

    /// Days after 1970-01-01.
    pub const fn days(self) -> i32 {
        self.0
    }

    /// From the calendar library's date.
    pub fn from_chrono(date: NaiveDate) -> Self {
        Self(date.num_days_from_ce() - 719_163)
    }

    /// As the calendar library's date.
    pub fn to_chrono(self) -> NaiveDate {
        Moment::at(self, 0).to_chrono().date()
    }

    /// `YYYY-MM-DD` between the years 1900 and 2199, or `None`.
    pub fn parse(text: &str) -> Option<Self> {
        let shape = text.len() == 10
            && text.bytes().enumerate().all(|(i, b)| if i == 4 || i == 7 { b == b'-' } else { b.is_ascii_digit() });
        let date = NaiveDate::parse_from_str(text, "%Y-%m-%d").ok().filter(|_| shape)?;
        (1900..2200).contains(&date.year()).then(|| Self::from_chrono(date))
    }

    /// Days since Monday: 0 to 6.
    pub fn weekday(self) -> usize {
        self.to_chrono().weekday().num_days_from_monday() as usize
    }

    /// So many days later (or earlier).
    pub fn plus(self, days: i32) -> Self {
        Self(self.0.checked_add(days).must("a date is out of reach"))
    }

    /// The same date of the year before; of 29 February the day before that.
    pub fn year_before(self) -> Self {
        self.to_chrono().checked_sub_months(Months::new(12)).map_or(self, Self::from_chrono)
    }

    /// Its 00:00.
    pub const fn midnight(self) -> Moment {
        Moment::at(self, 0)
    }

    /// `Tue 14 Sep`.
    pub fn short(self) -> String {
        let date = self.to_chrono();
        format!("{} {} {}", &named(date.weekday())[..3], date.day(), &month_name(date)[..3])
    }

    /// `Tuesday 14 September 2027`.
    pub fn long(self) -> String {
        let date = self.to_chrono();
        format!("{} {} {} {}", named(date.weekday()), date.day(), month_name(date), date.year())
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut text = String::with_capacity(10);
        put_date(&mut text, *self);
        f.pad(&text)
    }
}

impl Moment {
    /// Stands for a time that a calendar without further working time never reaches.
    pub const NEVER: Self = Self(i64::MAX / 4);
    /// Stands for a time before a calendar's first working time.
    pub const BEFORE_ALL: Self = Self(i64::MIN / 4);
    /// What a plan can speak of begins here, in the year 1800.
    const FIRST: Self = Self::at(Date(-62_091), 0);
    /// What a plan can speak of ends here, with the year 2399.
    const LAST: Self = Self::at(Date(157_054), 0);

    /// The moment of so many seconds after 1970-01-01 00:00.
    pub const fn from_seconds(seconds: i64) -> Self {
        Self(seconds)
    }

    /// Seconds after 1970-01-01 00:00.
    pub const fn seconds(self) -> i64 {
        self.0
    }

    /// So many seconds after 00:00 of a date.
    pub const fn at(date: Date, seconds: Seconds) -> Self {
        Self(date.0 as i64 * DAY + seconds)
    }

    /// So many clock seconds later; what is out of a calendar's reach stays there: see [`Moment::is_real`].
    pub const fn plus(self, seconds: Seconds) -> Self {
        Self(self.0.saturating_add(seconds))
    }

    /// The date it lies on.
    pub fn date(self) -> Date {
        Date(i32::try_from(self.0.div_euclid(DAY)).must("a moment out of a calendar's reach is asked for its date"))
    }

    /// Seconds since its 00:00.
    pub const fn time(self) -> Seconds {
        self.0.rem_euclid(DAY)
    }

    /// Whether it is a real time rather than a stand-in for one out of a calendar's reach.
    pub const fn is_real(self) -> bool {
        self.0 >= Self::FIRST.0 && self.0 < Self::LAST.0
    }

    /// From the calendar library's date and time.
    pub fn from_chrono(time: NaiveDateTime) -> Self {
        Self(time.and_utc().timestamp())
    }

    /// As the calendar library's date and time.
    pub fn to_chrono(self) -> NaiveDateTime {
        let time = DateTime::from_timestamp(self.0, 0).must("a moment out of a calendar's reach is to be shown");
        time.naive_utc()
    }

    /// `YYYY-MM-DD`, alone (00:00) or followed by a space or `T` and `HH:MM` or `HH:MM:SS`; whether a time was given.
    pub fn parse(text: &str) -> Option<(Self, bool)> {
        let Some((day, time)) = text.split_once(['T', ' ']) else {
            return Date::parse(text).map(|date| (date.midnight(), false));
        };
        Some((Self::at(Date::parse(day)?, parse_time(time.trim())?), true))
    }

    /// Whole clock minutes from `self` to `later`, rounded up; 0 where `later` is not later.
    pub fn minutes_until(self, later: Self) -> i64 {
        (later.0 - self.0).max(0).div_euclid(60) + i64::from((later.0 - self.0).max(0) % 60 > 0)
    }

    /// `Tue 14 Sep 06:00`, with seconds only where there are any.
    pub fn short(self) -> String {
        let mut text = self.date().short();
        text.push(' ');
        put_clock(&mut text, self.time(), self.time() % 60 != 0);
        text
    }

    /// `06:00`, with seconds only where there are any.
    pub fn clock(self) -> String {
        let mut text = String::with_capacity(8);
        put_clock(&mut text, self.time(), self.time() % 60 != 0);
        text
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut text = String::with_capacity(19);
        put_date(&mut text, self.date());
        text.push('T');
        put_clock(&mut text, self.time(), true);
        f.pad(&text)
    }
}

/// The name of a weekday.
fn named(day: Weekday) -> &'static str {
    ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"][day.num_days_from_monday() as usize]
}

/// The name of a date's month.
fn month_name(date: NaiveDate) -> &'static str {
    const NAMES: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    NAMES[date.month0() as usize]
}

/// Two digits of a number. Times stand in so many cells that a general way to write them would take as long as all else about them.
fn put_two(text: &mut String, number: u32) {
    let digit = |digit: u32| char::from_digit(digit % 10, 10).must("a digit is one");
    text.extend([digit(number / 10), digit(number)]);
}

/// `2027-09-14`; with a sign and more digits where a year needs them.
fn put_date(text: &mut String, date: Date) {
    let date = date.to_chrono();
    match u32::try_from(date.year()) {
        Ok(year) if year < 10_000 => [year / 100, year % 100].into_iter().for_each(|two| put_two(text, two)),
        _ => text.push_str(&format!("{:+05}", date.year())),
    }
    for number in [date.month(), date.day()] {
        text.push('-');
        put_two(text, number);
    }
}

/// `06:00` or `06:00:00`: so many seconds after 00:00 of a day.
fn put_clock(text: &mut String, time: Seconds, with_seconds: bool) {
    let time = u32::try_from(time).must("a time of day is below zero");
    let numbers = [time / 3600, time / 60 % 60, time % 60];
    for (at, number) in numbers.into_iter().take(if with_seconds { 3 } else { 2 }).enumerate() {
        if at > 0 {
            text.push(':');
        }
        put_two(text, number);
    }
}

impl Serialize for Date {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl Serialize for Moment {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

/// `HH:MM` or `HH:MM:SS` as seconds after 00:00; `24:00` is the end of the day.
pub(crate) fn parse_time(text: &str) -> Option<Seconds> {
    if matches!(text, "24:00" | "24:00:00") {
        return Some(DAY);
    }
    let padded = if text.find(':') == Some(1) { format!("0{text}") } else { text.to_owned() };
    let digits = padded.bytes().enumerate().all(|(i, b)| if i % 3 == 2 { b == b':' } else { b.is_ascii_digit() });
    if !digits || !matches!(padded.len(), 5 | 8) {
        return None;
    }
    let form = if padded.len() == 5 { "%H:%M" } else { "%H:%M:%S" };
    let time = NaiveTime::parse_from_str(&padded, form).ok()?;
    Some(i64::from(chrono::Timelike::num_seconds_from_midnight(&time)))
}

/// `Mon`, `monday`: days since Monday.
pub(crate) fn parse_weekday(text: &str) -> Option<usize> {
    text.parse::<Weekday>().ok().map(|day| day.num_days_from_monday() as usize)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_the_forms_of_the_contract() {
        let noon = Moment::at(Date::parse("2027-09-13").unwrap(), 12 * 3600);
        assert_eq!(Moment::parse("2027-09-13 12:00"), Some((noon, true)));
        assert_eq!(Moment::parse("2027-09-13T12:00:00"), Some((noon, true)));
        assert_eq!(Moment::parse("2027-09-13"), Some((noon.plus(-12 * 3600), false)));
        for wrong in [
            "13.09.2027",
            "2027-9-13",
            "2027-02-30",
            "2027-09-13 25:00",
            "2027-09-13 12",
            "0027-09-13",
            "2027-09-13 12:0",
            "tomorrow",
        ] {
            assert_eq!(Moment::parse(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn prints_dates_and_times() {
        let (moment, _) = Moment::parse("2027-09-14 06:00").unwrap();
        assert_eq!(moment.to_string(), "2027-09-14T06:00:00");
        assert_eq!(moment.short(), "Tue 14 Sep 06:00");
        assert_eq!(moment.date().to_string(), "2027-09-14");
        assert_eq!(moment.date().weekday(), 1);
        assert_eq!(Moment::from_seconds(-1).date().to_string(), "1969-12-31");
    }

    /// The calendar library has forms of its own for dates and times; these are its, for days of three centuries and times
    /// of all kinds.
    #[test]
    fn prints_as_the_calendar_library_does() {
        for day in (-26_000..84_000).step_by(13) {
            let date = Date::from_days(day);
            let known = date.to_chrono();
            assert_eq!(date.to_string(), known.format("%Y-%m-%d").to_string());
            assert_eq!(date.short(), known.format("%a %-d %b").to_string());
            assert_eq!(date.long(), known.format("%A %-d %B %Y").to_string());
            let moment = Moment::at(date, (i64::from(day) * 7919).rem_euclid(DAY));
            let known = moment.to_chrono();
            assert_eq!(moment.to_string(), known.format("%Y-%m-%dT%H:%M:%S").to_string());
            let (short, clock) = match moment.seconds() % 60 {
                0 => ("%a %-d %b %H:%M", "%H:%M"),
                _ => ("%a %-d %b %H:%M:%S", "%H:%M:%S"),
            };
            assert_eq!(moment.short(), known.format(short).to_string());
            assert_eq!(moment.clock(), known.format(clock).to_string());
            let whole = Moment::at(date, moment.time() / 60 * 60);
            assert_eq!(whole.short(), whole.to_chrono().format("%a %-d %b %H:%M").to_string());
        }
    }

    #[test]
    fn minutes_round_up() {
        let start = Moment::from_seconds(0);
        assert_eq!(start.minutes_until(Moment::from_seconds(61)), 2);
        assert_eq!(start.minutes_until(Moment::from_seconds(60)), 1);
        assert_eq!(start.minutes_until(Moment::from_seconds(-60)), 0);
    }

    /// Source: ISO 8601 week examples (seen): 2008-12-29 is 2009-W01-1, 2010-01-03 is 2009-W53-7, 2005-01-01 is 2004-W53-6.
    #[test]
    fn weekdays_agree_with_iso_8601() {
        for (date, weekday) in [("2008-12-29", 1), ("2010-01-03", 7), ("2005-01-01", 6)] {
            assert_eq!(Date::parse(date).unwrap().weekday() + 1, weekday);
        }
    }
}
