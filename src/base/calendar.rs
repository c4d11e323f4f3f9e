//! Working calendars: clock time to working seconds and back, without an end where the week repeats.
//!
//! Rules `calendar`, `working-seconds`.

use super::{Date, Moment, MustBe, Seconds};
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

/// Sorted, merged intervals of seconds, each with the working seconds before it.
#[derive(Clone, Debug, Default)]
struct Pattern {
    spans: Vec<(Seconds, Seconds, Seconds)>,
    total: Seconds,
}

impl Pattern {
    fn new(open: Vec<(Seconds, Seconds)>, closed: &[(Seconds, Seconds)], clip: (Seconds, Seconds)) -> Self {
        let mut pattern = Self::default();
        for (start, end) in without(merged(open), &merged(closed.to_vec())) {
            let (start, end) = (start.max(clip.0), end.min(clip.1));
            if start < end {
                pattern.spans.push((start, end, pattern.total));
                pattern.total += end - start;
            }
        }
        pattern
    }

    /// Working seconds before `at`.
    fn worked(&self, at: Seconds) -> Seconds {
        let next = self.spans.partition_point(|span| span.0 < at);
        match next.checked_sub(1).map(|i| self.spans[i]) {
            Some((start, end, before)) => before + end.min(at) - start,
            None => 0,
        }
    }

    /// The longest time without work of a week that repeats.
    fn longest_rest_of_week(&self) -> Seconds {
        let first = self.spans.first().map(|(start, ..)| start + WEEK);
        let next = self.spans.iter().skip(1).map(|(start, ..)| *start).chain(first);
        self.spans.iter().zip(next).map(|((_, end, _), start)| start - end).max().unwrap_or(WEEK)
    }

    /// The latest second with `work` seconds before it, for `0 ≤ work < total`.
    fn starts(&self, work: Seconds) -> Seconds {
        let span = self.spans[self.spans.partition_point(|span| span.2 <= work) - 1];
        span.0 + work - span.2
    }
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

fn merged(mut spans: Vec<(Seconds, Seconds)>) -> Vec<(Seconds, Seconds)> {
    spans.sort_unstable();
    let mut out: Vec<(Seconds, Seconds)> = Vec::with_capacity(spans.len());
    for (start, end) in spans {
        match out.last_mut() {
            Some(last) if start <= last.1 => last.1 = last.1.max(end),
            _ => out.push((start, end)),
        }
    }
    out
}

fn without(open: Vec<(Seconds, Seconds)>, closed: &[(Seconds, Seconds)]) -> Vec<(Seconds, Seconds)> {
    let mut out = Vec::with_capacity(open.len());
    let mut next = 0;
    for (mut start, end) in open {
        while next < closed.len() && closed[next].1 <= start {
            next += 1;
        }
        let mut cut = next;
        while cut < closed.len() && closed[cut].0 < end {
            if closed[cut].0 > start {
                out.push((start, closed[cut].0));
            }
            start = start.max(closed[cut].1);
            cut += 1;
        }
        if start < end {
            out.push((start, end));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn date(text: &str) -> Date {
        Date::parse(text).unwrap()
    }

    fn row(days: DayRule, hours: Option<(i64, i64)>, open: bool) -> CalendarRow {
        CalendarRow { days, hours: hours.map(|(start, end)| (start * 60, end * 60)), open }
    }

    const WORKDAYS: DayRule = DayRule::Weekdays(0b1_1111);

    fn two_halves() -> Calendar {
        Calendar::new(&[row(WORKDAYS, Some((360, 600)), true), row(WORKDAYS, Some((630, 870)), true)])
    }

    #[test]
    fn starts_is_the_latest_and_ends_the_earliest_moment() {
        let calendar = two_halves();
        let tuesday = date("2027-09-14");
        let origin = calendar.worked(tuesday.midnight());
        assert_eq!(calendar.starts(origin).to_string(), "2027-09-14T06:00:00");
        assert_eq!(calendar.ends(origin).to_string(), "2027-09-13T14:30:00");
        assert_eq!(calendar.starts(origin + 240 * 60).to_string(), "2027-09-14T10:30:00");
        assert_eq!(calendar.ends(origin + 240 * 60).to_string(), "2027-09-14T10:00:00");
        assert_eq!(calendar.starts(origin + 4 * 480 * 60).to_string(), "2027-09-20T06:00:00");
        assert_eq!(calendar.starts(origin - 1).to_string(), "2027-09-13T14:29:59");
    }

    #[test]
    fn a_week_repeats_for_ever_in_both_directions() {
        let calendar = two_halves();
        for start in ["1999-06-15", "2150-03-04"] {
            let monday = monday_of(date(start));
            let work = calendar.worked(monday.midnight());
            assert_eq!(calendar.starts(work), Moment::at(monday, 6 * 3600));
            assert_eq!(calendar.worked(monday.plus(7).midnight()) - work, 5 * 8 * 3600);
        }
    }

    #[test]
    fn a_dates_own_rows_replace_the_weekdays_and_breaks_are_taken_out() {
        let tuesday = DayRule::Dates(date("2027-09-14"), date("2027-09-14"));
        let closed = DayRule::Dates(date("2027-09-15"), date("2027-09-16"));
        let calendar = Calendar::new(&[
            row(WORKDAYS, Some((360, 870)), true),
            row(WORKDAYS, Some((600, 630)), false),
            row(tuesday, Some((480, 720)), true),
            row(closed, None, false),
        ]);
        let worked = |day: &str| calendar.worked(date(day).plus(1).midnight()) - calendar.worked(date(day).midnight());
        assert_eq!(worked("2027-09-13"), 480 * 60);
        assert_eq!(worked("2027-09-14"), 210 * 60);
        assert_eq!(worked("2027-09-15"), 0);
        assert_eq!(worked("2027-09-17"), 480 * 60);
        assert!(!calendar.open_on(date("2027-09-16")));
        assert_eq!(calendar.nth_open_day_after(date("2027-09-14"), 2), Some(date("2027-09-20")));
        assert_eq!(calendar.nth_open_day_after(date("2027-09-14"), 0), Some(date("2027-09-14")));
        // Wed and Thu are closed, Sat and Sun are.
        let days = ["2027-09-14", "2027-09-16", "2027-09-19"].map(date);
        assert_eq!(days.map(|day| calendar.open_day_by(day)), ["2027-09-14", "2027-09-14", "2027-09-17"].map(date));
        assert_eq!(days.map(|day| calendar.open_day_from(day)), ["2027-09-14", "2027-09-17", "2027-09-20"].map(date));
    }

    #[test]
    fn a_night_shift_runs_into_the_next_day() {
        let calendar = Calendar::new(&[row(WORKDAYS, Some((22 * 60, 30 * 60)), true)]);
        let saturday = date("2027-09-18");
        assert_eq!(calendar.worked(saturday.plus(1).midnight()) - calendar.worked(saturday.midnight()), 6 * 3600);
        assert!(calendar.works_or_just_stopped(Moment::at(saturday, 6 * 3600)));
        assert!(!calendar.works_or_just_stopped(Moment::at(saturday, 6 * 3600 + 1)));
    }

    #[test]
    fn dates_alone_come_to_an_end() {
        let calendar =
            Calendar::new(&[row(DayRule::Dates(date("2027-09-14"), date("2027-09-15")), Some((360, 420)), true)]);
        let work = calendar.worked(date("2027-09-14").midnight());
        assert_eq!(calendar.starts(work + 3600).to_string(), "2027-09-15T06:00:00");
        assert_eq!(calendar.starts(work + 7200), Moment::NEVER);
        assert_eq!(calendar.ends(work + 7200).to_string(), "2027-09-15T07:00:00");
        assert_eq!(calendar.starts(work - 1), Moment::BEFORE_ALL);
        assert!(calendar.works());
    }

    /// Source: numpy's business-day documentation (run): the first business day on or after 2011-10-01 is 2011-10-03, the
    /// one before 2012-03-01 is 2012-02-29, and 2011-01 has 21 business days, 2011 has 260.
    #[test]
    fn business_days_agree_with_numpy() {
        let calendar = two_halves();
        let days = |from: &str, to: &str| {
            (calendar.worked(date(to).midnight()) - calendar.worked(date(from).midnight())) / (8 * 3600)
        };
        assert_eq!(calendar.starts(calendar.worked(date("2011-10-01").midnight())).date(), date("2011-10-03"));
        assert_eq!(calendar.ends(calendar.worked(date("2012-03-01").midnight())).date(), date("2012-02-29"));
        assert_eq!(days("2011-01-01", "2011-02-01"), 21);
        assert_eq!(days("2011-01-01", "2012-01-01"), 260);
        let wednesdays = Calendar::new(&[row(DayRule::Weekdays(0b100), Some((360, 870)), true)]);
        let first = wednesdays.worked(date("2011-01-01").midnight());
        assert_eq!(wednesdays.starts(first + 2 * 510 * 60).date(), date("2011-01-19"));
    }
}
