//! Working time: which intervals a calendar works, and the three functions on them.
//!
//! Rules `calendar`, `working-seconds`.

use super::clock::{DAY, day_of, weekday};

/// What one row of the calendar table says, of the days it names.
#[derive(Clone, Debug)]
pub struct CalendarRow {
    pub days: Days,
    pub hours: Option<(i64, i64)>,
    pub open: bool,
}

#[derive(Clone, Debug)]
pub enum Days {
    Weekdays(Vec<i64>),
    Dates(i64, i64),
}

impl CalendarRow {
    fn names(&self, day: i64) -> bool {
        match &self.days {
            Days::Weekdays(list) => list.contains(&weekday(day)),
            Days::Dates(first, last) => (*first..=*last).contains(&day),
        }
    }

    fn is_dated(&self) -> bool {
        matches!(self.days, Days::Dates(..))
    }

    fn is_break(&self) -> bool {
        !self.open && self.hours.is_some()
    }

    /// The row's interval on a day; one that ends at or before its start ends the next day.
    fn interval(&self, day: i64) -> Option<(i64, i64)> {
        let (start, end) = self.hours?;
        let end = if end <= start { end + DAY } else { end };
        Some((day * DAY + start, day * DAY + end))
    }
}

/// A calendar laid out over a range of days as intervals that neither touch nor overlap.
#[derive(Debug)]
pub struct Calendar {
    spans: Vec<(i64, i64)>,
    worked_before: Vec<i64>,
}

impl Calendar {
    pub fn new(rows: &[CalendarRow], first_day: i64, last_day: i64) -> Calendar {
        let mut spans = Vec::new();
        for day in first_day..=last_day {
            for interval in intervals_of(rows, day) {
                spans.extend(without_breaks(rows, day, interval));
            }
        }
        let spans = merged(spans);
        let mut worked_before = Vec::new();
        let mut worked = 0;
        for (start, end) in &spans {
            worked_before.push(worked);
            worked += end - start;
        }
        Calendar { spans, worked_before }
    }

    /// `W(t)`: the working seconds before a clock time.
    pub fn worked(&self, clock: i64) -> i64 {
        let begun = self.spans.partition_point(|span| span.0 < clock);
        match begun.checked_sub(1) {
            Some(last) => {
                let (start, end) = self.spans[last];
                self.worked_before[last] + clock.min(end) - start
            }
            None => 0,
        }
    }

    /// The latest clock time before which so much is worked.
    pub fn starts(&self, worked: i64) -> i64 {
        let span = self.worked_before.partition_point(|before| *before <= worked);
        self.clock_in(span, worked)
    }

    /// The earliest clock time before which so much is worked.
    pub fn ends(&self, worked: i64) -> i64 {
        let span = self.worked_before.partition_point(|before| *before < worked);
        self.clock_in(span, worked)
    }

    fn clock_in(&self, one_past: usize, worked: i64) -> i64 {
        let span = one_past.saturating_sub(1);
        self.spans[span].0 + worked - self.worked_before[span]
    }

    /// Whether the calendar works at a moment or has just stopped.
    pub fn works_or_has_just_stopped(&self, clock: i64) -> bool {
        let begun = self.spans.partition_point(|span| span.0 <= clock);
        begun > 0 && clock <= self.spans[begun - 1].1
    }

    /// The first working moment of a date, where it has one.
    pub fn first_moment(&self, day: i64) -> Option<i64> {
        let midnight = day * DAY;
        let ahead = self.spans.partition_point(|span| span.1 <= midnight);
        let first = self.spans.get(ahead)?.0.max(midnight);
        (day_of(first) == day).then_some(first)
    }
}

/// What a day's rows give: its own dated rows, or else those of its weekday.
fn intervals_of(rows: &[CalendarRow], day: i64) -> Vec<(i64, i64)> {
    let of_day = |dated: bool| -> Vec<&CalendarRow> {
        let named = rows.iter().filter(|row| row.names(day) && !row.is_break());
        named.filter(|row| row.is_dated() == dated).collect()
    };
    let dated = of_day(true);
    let rows = if dated.is_empty() { of_day(false) } else { dated };
    rows.iter().filter_map(|row| row.interval(day)).collect()
}

/// Takes every break that can reach an interval of a day out of it.
fn without_breaks(rows: &[CalendarRow], day: i64, interval: (i64, i64)) -> Vec<(i64, i64)> {
    let mut left = vec![interval];
    for near in day - 1..=day + 1 {
        for row in rows.iter().filter(|row| row.is_break() && row.names(near)) {
            let stop = row.interval(near).expect("a break has hours");
            left = left.into_iter().flat_map(|span| without(span, stop)).collect();
        }
    }
    left
}

fn without(span: (i64, i64), stop: (i64, i64)) -> Vec<(i64, i64)> {
    let before = (span.0, span.1.min(stop.0));
    let after = (span.0.max(stop.1), span.1);
    [before, after].into_iter().filter(|(start, end)| start < end).collect()
}

fn merged(mut spans: Vec<(i64, i64)>) -> Vec<(i64, i64)> {
    spans.sort();
    let mut result: Vec<(i64, i64)> = Vec::new();
    for (start, end) in spans {
        match result.last_mut() {
            Some(last) if start <= last.1 => last.1 = last.1.max(end),
            _ => result.push((start, end)),
        }
    }
    result
}
