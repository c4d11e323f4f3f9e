//! Puts the jobs of a shop on its crews: forward in turn, then as late as possible.
//!
//! Rules `begun`, `forward`, `as-late-as-possible`.

use super::sheets::Key;

/// A job as a crew sees it, in the shop's working seconds.
#[derive(Clone, Debug)]
pub struct Task {
    pub started: Option<usize>,
    pub release: i64,
    pub due: i64,
    pub length: i64,
    pub rank: usize,
    pub part: Key,
    pub to: Key,
    pub need: i64,
}

/// Where a task came to stand.
#[derive(Clone, Debug)]
pub struct Slot {
    /// The task's place in the list given.
    pub task: usize,
    /// From 0 on.
    pub crew: usize,
    pub earliest: i64,
    pub start: i64,
    pub finish: i64,
}

/// The slots in the order in which the crews take the tasks.
pub fn schedule(tasks: &[Task], crews: usize, now: i64) -> Vec<Slot> {
    let mut slots = forward(tasks, crews, now);
    for crew in 0..crews {
        as_late_as_possible(&mut slots, tasks, crew);
    }
    slots
}

fn forward(tasks: &[Task], crews: usize, now: i64) -> Vec<Slot> {
    let mut free = vec![now; crews];
    let mut waiting: Vec<usize> = (0..tasks.len()).collect();
    let mut slots = Vec::new();
    while !waiting.is_empty() {
        let crew = (0..crews).min_by_key(|crew| (free[*crew], *crew)).expect("a crew");
        let (task, earliest) = next_task(tasks, &waiting, free[crew]);
        let finish = earliest + tasks[task].length;
        slots.push(Slot { task, crew, earliest, start: earliest, finish });
        free[crew] = finish;
        waiting.retain(|other| *other != task);
    }
    slots
}

/// Begun tasks by row; then, of those released by then or at the earliest release, the most urgent.
fn next_task(tasks: &[Task], waiting: &[usize], free: i64) -> (usize, i64) {
    let begun = waiting.iter().filter(|task| tasks[**task].started.is_some());
    if let Some(first) = begun.min_by_key(|task| tasks[**task].started) {
        return (*first, free);
    }
    let earliest = waiting.iter().map(|task| tasks[*task].release).min().expect("a task");
    let time = free.max(earliest);
    let released = waiting.iter().filter(|task| tasks[**task].release <= time);
    let first = released.min_by_key(|task| {
        let task = &tasks[**task];
        (task.due, task.rank, &task.part, &task.to, task.need)
    });
    (*first.expect("a released task"), time)
}

fn as_late_as_possible(slots: &mut [Slot], tasks: &[Task], crew: usize) {
    let mut next_start: Option<i64> = None;
    for slot in slots.iter_mut().rev().filter(|slot| slot.crew == crew) {
        let task = &tasks[slot.task];
        if task.started.is_none() {
            let latest = task.due.max(slot.finish);
            slot.finish = next_start.map_or(latest, |next| next.min(latest));
            slot.start = slot.finish - task.length;
        }
        next_start = Some(slot.start);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn task(release: i64, due: i64, length: i64) -> Task {
        let (part, to) = ("p".to_string(), "s".to_string());
        Task { started: None, release, due, length, rank: 0, part, to, need: due }
    }

    fn starts(slots: &[Slot]) -> Vec<(usize, usize, i64, i64)> {
        slots.iter().map(|slot| (slot.task, slot.crew, slot.earliest, slot.start)).collect()
    }

    #[test]
    fn the_cabinet_shop_of_the_worked_example() {
        let mut tasks = [task(0, 45, 20), task(0, 105, 70), task(0, 165, 45), task(0, 225, 70)];
        tasks[0].started = Some(0);
        let expected = [(0, 0, 0, 0), (1, 0, 20, 35), (2, 0, 90, 110), (3, 0, 135, 155)];
        assert_eq!(starts(&schedule(&tasks, 1, 0)), expected);
    }

    #[test]
    fn two_crews_and_a_late_release() {
        // Crew 1 waits for the release at 5 and takes the first due; crew 2 takes the other.
        let tasks = [task(5, 30, 10), task(5, 20, 10), task(40, 45, 10)];
        let expected = [(1, 0, 5, 10), (0, 1, 5, 20), (2, 0, 40, 40)];
        assert_eq!(starts(&schedule(&tasks, 2, 0)), expected);
    }
}
