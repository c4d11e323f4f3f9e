//! The crew arithmetic: the load of jobs by their due against the crew time until then, and what is missing.

use super::facts::{ShopFacts, Timed};
use crate::base::{Date, Seconds};
use itertools::Itertools;
use std::collections::BTreeMap;

/// All jobs due at one time, and the sums up to it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ByDue {
    /// In the shop's working seconds: when they must leave it.
    pub due: Seconds,
    /// How many jobs are due at it.
    pub jobs: usize,
    /// Their crew time.
    pub load: Seconds,
    /// The crew time of all jobs due by it.
    pub load_so_far: Seconds,
    /// Crews times the working time from now to it.
    pub time_so_far: Seconds,
}

impl ByDue {
    /// The crew time that is missing: at least so much must be added before this due. Below zero where some is left.
    pub fn missing(&self) -> Seconds {
        self.load_so_far - self.time_so_far
    }
}

/// A day's load and crew time.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ByDay {
    /// How many jobs are due.
    pub jobs: usize,
    /// Their crew time.
    pub load: Seconds,
    /// Crews times the day's working time, as far as it is not over.
    pub time: Seconds,
    /// The least that a job due on it has to lose.
    pub tightest: Option<Seconds>,
}

/// Sums by due, soonest first. What is due before now counts with no crew time; a job whose material is late counts when it is done,
/// and where nothing says when that is, it is left out.
pub fn by_due(jobs: &[Timed<'_>], crews: u32, now: Seconds) -> Vec<ByDue> {
    let mut found: Vec<ByDue> = Vec::new();
    let mut so_far = 0;
    let counts = jobs.iter().filter_map(|job| Some((job.counts_by()?, job.job.times.length)));
    for (due, length) in counts.sorted_by_key(|(due, _)| *due) {
        so_far += length;
        if found.last().is_none_or(|last| last.due != due) {
            let time_so_far = i64::from(crews) * (due - now).max(0);
            found.push(ByDue { due, time_so_far, ..ByDue::default() });
        }
        if let Some(last) = found.last_mut() {
            last.jobs += 1;
            last.load += length;
            last.load_so_far = so_far;
        }
    }
    found
}

/// The first due before which crew time is missing, and the one before which most is.
pub fn missing(by_due: &[ByDue]) -> Option<(&ByDue, &ByDue)> {
    let first = by_due.iter().find(|row| row.missing() > 0)?;
    let most = by_due.iter().rev().max_by_key(|row| row.missing())?;
    Some((first, most))
}

/// Load and crew time of each day that has any, from the as-of date to the last due.
pub fn by_day(shop: &ShopFacts<'_>, jobs: &[Timed<'_>], today: Date) -> BTreeMap<Date, ByDay> {
    let mut days: BTreeMap<Date, ByDay> = BTreeMap::new();
    for job in jobs {
        // The day on which the last working second before the due lies.
        let Some(due) = job.counts_by() else { continue };
        let date = shop.calendar.starts(due - 1).date().max(today);
        let day = days.entry(date).or_default();
        day.jobs += 1;
        day.load += job.job.times.length;
        day.tightest = [day.tightest, job.slack()].into_iter().flatten().min();
    }
    let last = days.last_key_value().map_or(today, |(date, _)| *date);
    for date in (today.days()..=last.days()).map(Date::from_days) {
        let from = shop.calendar.worked(date.midnight()).max(shop.now);
        let time = i64::from(shop.shop.crews) * (shop.calendar.worked(date.plus(1).midnight()) - from).max(0);
        if time > 0 || days.contains_key(&date) {
            days.entry(date).or_default().time = time;
        }
    }
    days
}
