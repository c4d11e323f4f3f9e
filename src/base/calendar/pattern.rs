//! Intervals of working time, put together and counted.

use super::{Seconds, WEEK};

/// Sorted, merged intervals of seconds, each with the working seconds before it.
#[derive(Clone, Debug, Default)]
pub(super) struct Pattern {
    pub(super) spans: Vec<(Seconds, Seconds, Seconds)>,
    pub(super) total: Seconds,
}

impl Pattern {
    pub(super) fn new(open: Vec<(Seconds, Seconds)>, closed: &[(Seconds, Seconds)], clip: (Seconds, Seconds)) -> Self {
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
    pub(super) fn worked(&self, at: Seconds) -> Seconds {
        let next = self.spans.partition_point(|span| span.0 < at);
        match next.checked_sub(1).map(|i| self.spans[i]) {
            Some((start, end, before)) => before + end.min(at) - start,
            None => 0,
        }
    }

    /// The longest time without work of a week that repeats.
    pub(super) fn longest_rest_of_week(&self) -> Seconds {
        let first = self.spans.first().map(|(start, ..)| start + WEEK);
        let next = self.spans.iter().skip(1).map(|(start, ..)| *start).chain(first);
        self.spans.iter().zip(next).map(|((_, end, _), start)| start - end).max().unwrap_or(WEEK)
    }

    /// The latest second with `work` seconds before it, for `0 ≤ work < total`.
    pub(super) fn starts(&self, work: Seconds) -> Seconds {
        let span = self.spans[self.spans.partition_point(|span| span.2 <= work) - 1];
        span.0 + work - span.2
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
