//! When jobs are really done: each after the last of its material, of the jobs and of the by-products it waits for.

use super::delays::{Latest, Shops, There, delivered};
use crate::base::numbered;
use itertools::Itertools;
use std::collections::{HashMap, HashSet};

impl Shops<'_> {
    /// When what all jobs build is really there, given when their material is.
    pub(super) fn settled(self, materials: &Latest) -> Vec<There> {
        let numbers = (0..numbered(self.jobs.len())).collect_vec();
        self.settled_some(&numbers, |job| materials.last(job))
    }

    /// The same of the jobs of some owners, by their numbers in order: a job waits for nothing of others than its own.
    pub(super) fn settled_some(self, numbers: &[u32], material: impl Fn(u32) -> Option<There>) -> Vec<There> {
        let mut waits: Vec<(u32, For)> = Vec::new();
        for &number in numbers {
            let takers = self.takers(&delivered(self.job(number))).filter(|taker| *taker != number);
            waits.extend(takers.map(|taker| (taker, For::Job(number))));
        }
        let heaps =
            numbers.iter().flat_map(|number| self.links.heaps_from(self.job(*number))).sorted_unstable().dedup();
        for heap in heaps {
            let takers = self.links.heaps[heap as usize].takers.iter().flat_map(|demand| self.takers(demand));
            waits.extend(takers.map(|taker| (taker, For::Heap(heap))));
        }
        waits.sort_unstable();
        waits.dedup();
        let there = numbers.iter().map(|number| There::At(self.job(*number).available)).collect();
        let (state, heaps, circles) = (vec![State::New; numbers.len()], HashMap::new(), self.in_circles(&waits));
        let mut settling = Settling { shops: self, numbers, waits, state, there, heaps, circles };
        (0..numbers.len()).for_each(|at| _ = settling.settle(at, &material));
        settling.there
    }

    /// The heaps from which two jobs take that give to them: these wait for each other, and none of it is ever there.
    fn in_circles(self, waits: &[(u32, For)]) -> HashSet<u32> {
        let gives = |(taker, what): &(u32, For)| match *what {
            For::Heap(heap) if self.gives(*taker, heap) => Some(heap),
            _ => None,
        };
        let both = waits.iter().filter_map(gives).counts().into_iter();
        both.filter(|(_, jobs)| *jobs > 1).map(|(heap, _)| heap).collect()
    }

    /// Whether a job gives to a heap.
    fn gives(self, job: u32, heap: u32) -> bool {
        self.links.heaps[heap as usize].givers.binary_search(&job).is_ok()
    }
}

/// What a job waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum For {
    Job(u32),
    Heap(u32),
}

/// How far a job has been worked out.
#[derive(Clone, Copy)]
enum State {
    New,
    Open,
    Settled,
}

/// Jobs while it is worked out when they are done.
struct Settling<'s> {
    shops: Shops<'s>,
    numbers: &'s [u32],
    /// Who waits for what, by who waits.
    waits: Vec<(u32, For)>,
    state: Vec<State>,
    there: Vec<There>,
    /// When heaps are there, as far as that is known; never while it is worked out.
    heaps: HashMap<u32, There>,
    /// The heaps that are never there.
    circles: HashSet<u32>,
}

impl Settling<'_> {
    /// Moves on a job whose material is late, after what it waits for. One that waits for itself is never done.
    fn settle(&mut self, at: usize, material: &impl Fn(u32) -> Option<There>) -> There {
        match self.state[at] {
            State::Settled => return self.there[at],
            State::Open => return There::Unknown,
            State::New => self.state[at] = State::Open,
        }
        let number = self.numbers[at];
        let job = self.shops.job(number);
        let mut last = material(number);
        let first = self.waits.partition_point(|(taker, _)| *taker < number);
        for wait in first.. {
            let Some((_, what)) = self.waits.get(wait).copied().filter(|(taker, _)| *taker == number) else { break };
            last = last.max(match what {
                For::Job(giver) => self.giver(giver, material),
                For::Heap(heap) => self.heap(heap, number, material),
            });
        }
        if let Some(last) = last {
            self.there[at] = self.there[at].max(self.shops.done(job, last));
        }
        self.state[at] = State::Settled;
        self.there[at]
    }

    /// When a job is done, if it is one of these.
    fn giver(&mut self, job: u32, material: &impl Fn(u32) -> Option<There>) -> Option<There> {
        let at = self.numbers.binary_search(&job).ok()?;
        Some(self.settle(at, material))
    }

    /// When a heap is there for a job: what the job gives to it itself is left aside.
    fn heap(&mut self, heap: u32, taker: u32, material: &impl Fn(u32) -> Option<There>) -> Option<There> {
        if self.circles.contains(&heap) {
            return Some(There::Unknown);
        }
        if self.shops.gives(taker, heap) {
            return self.last_of(heap, Some(taker), material);
        }
        if let Some(known) = self.heaps.get(&heap) {
            return Some(*known);
        }
        // Whoever comes here again meanwhile waits for himself.
        self.heaps.insert(heap, There::Unknown);
        let last = self.last_of(heap, None, material)?;
        self.heaps.insert(heap, last);
        Some(last)
    }

    /// When the last of the jobs is done that give to a heap, but for one.
    fn last_of(&mut self, heap: u32, but: Option<u32>, material: &impl Fn(u32) -> Option<There>) -> Option<There> {
        let givers = self.shops.links.heaps[heap as usize].givers.iter().filter(|giver| Some(**giver) != but);
        givers.filter_map(|giver| self.giver(*giver, material)).max()
    }
}
