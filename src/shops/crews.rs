//! One shop's crews: jobs in turn forwards, then each as late as possible.

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

/// Places jobs on crews that are free from `now` on. The jobs come in the order that breaks ties of due; the first
/// `started` of them are taken before all others and start at their forward start.
pub fn schedule(jobs: &[Times], started: usize, crews: u32, now: Seconds) -> Vec<Slot> {
    // More crews than jobs would only stand by.
    let crews = crews.min(u32::try_from(jobs.len()).unwrap_or(u32::MAX)).max(1);
    let mut slots = vec![Slot::default(); jobs.len()];
    let mut taken: Vec<Vec<usize>> = vec![Vec::new(); crews as usize];
    let mut free: BinaryHeap<Reverse<(Seconds, u32)>> = (0..crews).map(|crew| Reverse((now, crew))).collect();
    let mut waiting: BinaryHeap<Reverse<(Seconds, usize)>> =
        (started..jobs.len()).map(|job| Reverse((jobs[job].release, job))).collect();
    let mut released: BinaryHeap<Reverse<(Seconds, usize)>> = BinaryHeap::new();
    let mut first = 0..started;
    while let Some(Reverse((mut clock, crew))) = free.pop() {
        let job = match first.next() {
            Some(job) => job,
            None => {
                if released.is_empty() {
                    let Some(Reverse((earliest, _))) = waiting.peek() else { break };
                    clock = clock.max(*earliest);
                }
                while let Some(Reverse((_, job))) = waiting.pop_if_by(clock) {
                    released.push(Reverse((jobs[job].due, job)));
                }
                let Some(Reverse((_, job))) = released.pop() else { break };
                job
            }
        };
        let start = clock.max(jobs[job].release);
        let turn = numbered(taken[crew as usize].len());
        slots[job] = Slot { crew, earliest: start, start, finish: start + jobs[job].length, turn };
        taken[crew as usize].push(job);
        free.push(Reverse((start + jobs[job].length, crew)));
    }
    taken.iter().for_each(|jobs_of_crew| push_back(jobs, started, jobs_of_crew, &mut slots));
    slots
}

/// From the last job of a crew back, each as late as the next one, its due and its forward finish allow.
fn push_back(jobs: &[Times], started: usize, order: &[usize], slots: &mut [Slot]) {
    let mut next = Seconds::MAX;
    for &job in order.iter().rev() {
        let slot = &mut slots[job];
        if job >= started {
            slot.finish = next.min(slot.finish.max(jobs[job].due));
            slot.start = slot.finish - jobs[job].length;
        }
        next = slot.start;
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
