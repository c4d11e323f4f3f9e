//! One shop's crews: jobs in turn forwards, then each as late as possible.
//!
//! Rules `begun`, `forward`, `as-late-as-possible`.

use crate::base::{Seconds, numbered};
use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// A job's times in its shop's working seconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Times {
    /// How long it takes.
    pub length: Seconds,
    /// It can't start before this.
    pub release: Seconds,
    /// It should be finished by this.
    pub due: Seconds,
}

/// Where a job is placed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Slot {
    /// Which crew, from 0.
    pub crew: u32,
    /// The forward start: the earliest.
    pub earliest: Seconds,
    /// The start as late as possible.
    pub start: Seconds,
    /// `start` plus the length.
    pub finish: Seconds,
    /// How many jobs the crew takes before it.
    pub turn: u32,
}

/// A stretch of a shop's working seconds in which its last crew is away: from one, up to another.
pub type Away = (Seconds, Seconds);

/// Places jobs on crews that are free from `now` on. The jobs come in the order that breaks ties of due; the first
/// `started` of them are taken before all others and start at their forward start. Where the last crew is away for a while, the job that
/// it has begun by then goes on with the crew that is free first, before any other.
pub fn schedule(jobs: &[Times], started: usize, crews: u32, now: Seconds, away: Option<Away>) -> Vec<Slot> {
    let most = u32::try_from(jobs.len()).unwrap_or(u32::MAX);
    // More crews than jobs would only stand by; so does the one that is away.
    let away = away.filter(|_| crews <= most);
    let crews = crews.min(most).max(1);
    let mut shop = Shop { jobs, started, crews, away, ..Shop::default() };
    shop.forward(now);
    (0..crews).for_each(|crew| shop.push_back(crew));
    shop.slots
}

/// A piece of work of a crew: a job, and where it stands fast, its start.
type Stint = (usize, Option<Seconds>);

/// A shop while its jobs are placed.
#[derive(Default)]
struct Shop<'j> {
    jobs: &'j [Times],
    started: usize,
    crews: u32,
    away: Option<Away>,
    slots: Vec<Slot>,
    /// What each crew takes, in turn.
    taken: Vec<Vec<Stint>>,
    /// The job that was begun by the crew that is away, and what is left of it.
    left: Option<(usize, Seconds)>,
}

impl Shop<'_> {
    /// Crews take jobs in turn.
    fn forward(&mut self, now: Seconds) {
        let (jobs, started) = (self.jobs, self.started);
        self.slots = vec![Slot::default(); jobs.len()];
        self.taken = vec![Vec::new(); self.crews as usize];
        let mut free: BinaryHeap<Reverse<(Seconds, u32)>> = (0..self.crews).map(|crew| Reverse((now, crew))).collect();
        let mut waiting: BinaryHeap<Reverse<(Seconds, usize)>> =
            (started..jobs.len()).map(|job| Reverse((jobs[job].release, job))).collect();
        let mut released: BinaryHeap<Reverse<(Seconds, usize)>> = BinaryHeap::new();
        let mut first = 0..started;
        // A crew that was free sooner has stood by until now.
        let mut reached = now;
        while let Some(Reverse((since, crew))) = free.pop() {
            let mut clock = since.max(reached);
            if let Some(back) = self.away_at(crew, clock) {
                free.push(Reverse((back, crew)));
                continue;
            }
            let idle = first.is_empty() && released.is_empty();
            let next =
                if idle { waiting.peek().map_or(Seconds::MAX, |Reverse((earliest, _))| *earliest) } else { clock };
            if let Some(end) = self.go_on(crew, clock, next) {
                free.push(Reverse((end, crew)));
                continue;
            }
            if idle && !waiting.is_empty() {
                clock = clock.max(next);
            }
            reached = clock;
            if let Some(back) = self.away_at(crew, clock) {
                free.push(Reverse((back, crew)));
                continue;
            }
            let job = first.next().or_else(|| {
                while let Some(Reverse((_, job))) = waiting.pop_if_by(clock) {
                    released.push(Reverse((jobs[job].due, job)));
                }
                released.pop().map(|Reverse((_, job))| job)
            });
            let Some(job) = job else { break };
            let end = self.take(job, crew, clock);
            free.push(Reverse((end, crew)));
        }
    }

    /// When a crew is back that is away at a moment.
    fn away_at(&self, crew: u32, clock: Seconds) -> Option<Seconds> {
        let (from, until) = self.away.filter(|_| crew + 1 == self.crews)?;
        (from..until).contains(&clock).then_some(until)
    }

    /// A crew that is free goes on with what is left of a begun job, once that is left; gives when that is done. It waits for it where it
    /// has nothing else to do before: `next` is when there is something.
    fn go_on(&mut self, crew: u32, clock: Seconds, next: Seconds) -> Option<Seconds> {
        let ((from, _), (job, length)) = self.away.zip(self.left)?;
        if clock.max(next) < from {
            return None;
        }
        self.left = None;
        let start = clock.max(from);
        self.taken[crew as usize].push((job, Some(start)));
        self.slots[job].finish = start + length;
        Some(start + length)
    }

    /// A crew takes a job; gives when it is free again.
    fn take(&mut self, job: usize, crew: u32, clock: Seconds) -> Seconds {
        let Times { length, release, .. } = self.jobs[job];
        let start = clock.max(release);
        let taken = &mut self.taken[crew as usize];
        let cut = self.away.filter(|(from, until)| {
            crew + 1 == self.crews && from < until && (start + 1..start + length).contains(from)
        });
        let fast = job < self.started || cut.is_some();
        self.slots[job] = Slot { crew, earliest: start, start, finish: start + length, turn: numbered(taken.len()) };
        taken.push((job, fast.then_some(start)));
        match cut {
            Some((from, until)) => {
                self.left = Some((job, start + length - from));
                until
            }
            None => start + length,
        }
    }

    /// From the last job of a crew back, each as late as the next one, its due and its forward finish allow; what is done by the time at
    /// which the crew goes away stays so.
    fn push_back(&mut self, crew: u32) {
        let away = self.away.filter(|_| crew + 1 == self.crews);
        let mut next = Seconds::MAX;
        for &(job, fast) in self.taken[crew as usize].iter().rev() {
            let slot = &mut self.slots[job];
            next = match (fast, away) {
                (None, Some((from, _))) if slot.finish <= from => next.min(from),
                _ => next,
            };
            if fast.is_none() {
                slot.finish = next.min(slot.finish.max(self.jobs[job].due));
                slot.start = slot.finish - self.jobs[job].length;
            }
            next = fast.unwrap_or(slot.start);
        }
    }
}

/// Takes the top of the heap where it is released by a moment.
trait PopIfBy {
    fn pop_if_by(&mut self, clock: Seconds) -> Option<Reverse<(Seconds, usize)>>;
}

impl PopIfBy for BinaryHeap<Reverse<(Seconds, usize)>> {
    fn pop_if_by(&mut self, clock: Seconds) -> Option<Reverse<(Seconds, usize)>> {
        if self.peek()?.0.0 <= clock { self.pop() } else { None }
    }
}
