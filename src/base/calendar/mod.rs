//! Working calendars: clock time to working seconds and back, without an end where the week repeats.
//!
//! Rules `calendar`, `working-seconds`.

mod pattern;
#[cfg(test)]
mod tests;

use super::{Date, Moment, MustBe, Seconds};
use pattern::Pattern;
use std::collections::HashMap;

const DAY: Seconds = 86_400;
const WEEK: Seconds = 7 * DAY;

/// The days a calendar row speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayRule {
    /// Days of the week; bit 0 is Monday.
    Weekdays(u8),
    /// The dates from the first to the last, both included.
    Dates(Date, Date),
}

/// One row of a calendar.
#[derive(Clone, Copy, Debug)]
pub struct CalendarRow {
    /// Which days.
    pub days: DayRule,
    /// Start and end in seconds after 00:00, the end after the start (on the next day where it is past 24:00);
    /// `None` for a whole day.
    pub hours: Option<(Seconds, Seconds)>,
    /// Working time, or time taken out of what the other rows give.
    pub open: bool,
}

/// Half-open working intervals. `W` counts working seconds from a fixed origin: the start of the dated stretch, which
/// holds every date that a row names; before and after it the week repeats.
#[derive(Clone, Debug)]
pub struct Calendar {
    from: Moment,
    until: Moment,
    dated: Pattern,
    weekly: Pattern,
}

impl Calendar {
    /// The calendar that its rows give.
    pub fn new(rows: &[CalendarRow]) -> Self {
        let (from, until) = reach(rows);
        let origin = from.midnight().seconds();
        let week = Date::from_days(4); // Monday 5 January 1970; weekly rows alone, far from any date
        let weekly_rows: Vec<_> = rows.iter().copied().filter(|row| matches!(row.days, DayRule::Weekdays(_))).collect();
        Self {
            from: from.midnight(),
            until: until.midnight(),
            dated: stretch(rows, from, until, origin),
            weekly: stretch(&weekly_rows, week, week.plus(7), week.midnight().seconds()),
        }
    }

    /// How many intervals its rows give from the first date to the last, each counted on each of its days.
    pub fn size(rows: &[CalendarRow]) -> usize {
        let (from, until) = reach(rows);
        let stretch = usize::try_from(until.days() - from.days()).must("a calendar ends before it begins");
        let of_row = |row: &CalendarRow| match row.days {
            DayRule::Weekdays(bits) => stretch / 7 * bits.count_ones() as usize,
            DayRule::Dates(first, last) => usize::try_from(last.days() - first.days() + 1).unwrap_or_default(),
        };
        rows.iter().map(of_row).sum()
    }

    /// Whether it has any working time.
    pub fn works(&self) -> bool {
        self.dated.total > 0 || self.weekly.total > 0
    }

    /// `W(t)`: the working seconds before a moment, from the calendar's own origin.
    pub fn worked(&self, at: Moment) -> Seconds {
        let (pattern, base, offset) = if at < self.from {
            let offset = at.seconds() - self.from.seconds();
            (&self.weekly, offset.div_euclid(WEEK) * self.weekly.total, offset.rem_euclid(WEEK))
        } else if at < self.until {
            (&self.dated, 0, at.seconds() - self.from.seconds())
        } else {
            let offset = at.seconds() - self.until.seconds();
            (&self.weekly, self.dated.total + offset / WEEK * self.weekly.total, offset % WEEK)
        };
        base + pattern.worked(offset)
    }

    /// The latest moment with `W = work`: at a boundary, the start of the next interval.
    pub fn starts(&self, work: Seconds) -> Moment {
        if (0..self.dated.total).contains(&work) {
            return self.from.plus(self.dated.starts(work));
        }
        if self.weekly.total == 0 {
            return if work < 0 { Moment::BEFORE_ALL } else { Moment::NEVER };
        }
        let (base, rest) = if work < 0 { (self.from, work) } else { (self.until, work - self.dated.total) };
        let weeks = rest.div_euclid(self.weekly.total);
        base.plus(weeks.saturating_mul(WEEK).saturating_add(self.weekly.starts(rest.rem_euclid(self.weekly.total))))
    }

    /// The earliest moment with `W = work`: at a boundary, the end of the interval before.
    pub fn ends(&self, work: Seconds) -> Moment {
        let last = self.starts(work - 1);
        if last.is_real() { last.plus(1) } else { last }
    }

    /// Whether it works at a moment or has just stopped.
    pub fn works_or_just_stopped(&self, at: Moment) -> bool {
        let work = self.worked(at);
        self.starts(work) == at || self.ends(work) == at
    }

    /// When the first break of a date ends, between two stretches of its working time; `None` where it has no break.
    pub fn after_first_break(&self, date: Date) -> Option<Moment> {
        let (begins, ends) = (self.worked(date.midnight()), self.worked(date.plus(1).midnight()));
        // The next boundary behind the start of work lies where the clock and the working seconds part.
        let first = self.starts(begins);
        let (mut low, mut high) = (begins, ends);
        while low < high {
            let middle = low + (high - low) / 2;
            let without_break = self.starts(middle).seconds() - first.seconds() == middle - begins;
            if without_break { low = middle + 1 } else { high = middle }
        }
        (low < ends).then(|| self.starts(low))
    }

    /// Whether a date has any working time.
    pub fn open_on(&self, date: Date) -> bool {
        self.worked(date.plus(1).midnight()) > self.worked(date.midnight())
    }

    /// The `n`-th open day after a date (`n` = 0: the date itself); `None` where there are not so many.
    pub fn nth_open_day_after(&self, date: Date, n: u32) -> Option<Date> {
        (0..n).try_fold(date, |date, _| {
            let next = self.starts(self.worked(date.plus(1).midnight()));
            next.is_real().then(|| next.date())
        })
    }

    /// The last open day on a date or before it; the date itself where there is none.
    pub fn open_day_by(&self, date: Date) -> Date {
        let last = self.starts(self.worked(date.plus(1).midnight()) - 1);
        if last.is_real() { last.date() } else { date }
    }

    /// The first open day on a date or after it; the date itself where there is none.
    pub fn open_day_from(&self, date: Date) -> Date {
        let first = self.starts(self.worked(date.midnight()));
        if first.is_real() { first.date() } else { date }
    }

    /// The working seconds of two ordinary weeks; of a calendar that names dates alone, as its dates have on average.
    pub fn two_weeks_work(&self) -> Seconds {
        if self.weekly.total > 0 {
            return 2 * self.weekly.total;
        }
        let weeks = (self.until.seconds() - self.from.seconds()) / WEEK;
        2 * self.dated.total / weeks.max(1)
    }

    /// The times without work that are longer than two weeks and the weekend before: a closing of fourteen days that begins or
    /// ends with a weekend is none. Of those that begin before all work or never end the moment says so.
    pub fn long_rests(&self) -> Vec<(Moment, Moment)> {
        let weekend = if self.weekly.total > 0 { self.weekly.longest_rest_of_week() } else { 3 * DAY };
        let boundaries = self.dated.spans.iter().map(|(.., before)| *before).chain([self.dated.total]);
        let rests = boundaries.map(|work| (self.ends(work), self.starts(work)));
        rests.filter(|(from, until)| until.seconds() - from.seconds() > 2 * WEEK + weekend).collect()
    }

    /// The dates outside which the week repeats: what happens in between is all that can differ.
    pub fn dated_stretch(&self) -> (Date, Date) {
        (self.from.date(), self.until.date())
    }
}

/// The stretch outside which the week repeats: all dates that rows name, and whole weeks around them.
fn reach(rows: &[CalendarRow]) -> (Date, Date) {
    let dates = rows.iter().filter_map(|row| match row.days {
        DayRule::Dates(first, last) => Some((first, last)),
        DayRule::Weekdays(_) => None,
    });
    let (first, last) = dates
        .fold(None, |all: Option<(Date, Date)>, (first, last)| match all {
            Some((f, l)) => Some((f.min(first), l.max(last))),
            None => Some((first, last)),
        })
        .unwrap_or_default();
    (monday_of(first).plus(-7), monday_of(last).plus(21))
}

fn monday_of(date: Date) -> Date {
    date.plus(-i32::try_from(date.weekday()).must("a week has seven days"))
}

/// The working intervals of the dates `from..until`, in seconds after `origin`.
fn stretch(rows: &[CalendarRow], from: Date, until: Date, origin: Seconds) -> Pattern {
    let mut open = Vec::new();
    let mut closed = Vec::new();
    let weekly: Vec<&CalendarRow> = rows.iter().filter(|row| matches!(row.days, DayRule::Weekdays(_))).collect();
    let mut dated: HashMap<i32, Vec<&CalendarRow>> = HashMap::new();
    for row in rows {
        if let DayRule::Dates(first, last) = row.days {
            (first.days()..=last.days()).for_each(|day| dated.entry(day).or_default().push(row));
        }
    }
    // A day before: its hours may run past midnight.
    for date in (from.days() - 1..until.days()).map(Date::from_days) {
        let own = dated.get(&date.days()).map(Vec::as_slice).unwrap_or_default();
        let replaced = own.iter().any(|row| replaces_week(row));
        let of_week = weekly.iter().filter(|row| speaks_of(row.days, date));
        for row in own.iter().chain(of_week) {
            let Some((start, end)) = row.hours else { continue };
            let midnight = date.midnight().seconds() - origin;
            let span = (midnight + start, midnight + end);
            if !row.open {
                closed.push(span);
            } else if !replaced || matches!(row.days, DayRule::Dates(..)) {
                open.push(span);
            }
        }
    }
    let clip = (from.midnight().seconds() - origin, until.midnight().seconds() - origin);
    Pattern::new(open, &closed, clip)
}

/// A date's own rows replace the weekday's, except those that only take an interval out.
fn replaces_week(row: &CalendarRow) -> bool {
    matches!(row.days, DayRule::Dates(..)) && (row.open || row.hours.is_none())
}

fn speaks_of(days: DayRule, date: Date) -> bool {
    match days {
        DayRule::Weekdays(bits) => bits >> date.weekday() & 1 == 1,
        DayRule::Dates(first, last) => (first..=last).contains(&date),
    }
}
