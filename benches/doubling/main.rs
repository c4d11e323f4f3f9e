//! What grows with what: books that grow in one direction only, each three times, the second twice and the third four times as
//! large as the first. `cargo bench --bench doubling`, or `-- WORD` for those whose name holds the word; nothing is written.
//!
//! Doubling may take a little more than twice the time. What takes more than three times is marked: time that grows
//! with the square takes four times.

#![allow(clippy::disallowed_methods, reason = "a benchmark looks at the clock")]

mod books;
mod codes;
mod orders;
mod plant;
mod shops;
mod supply;

use std::io::Write;
use std::time::{Duration, Instant};

/// One direction in which a book may grow.
#[derive(Clone, Copy)]
pub struct Direction {
    /// What there is more of.
    pub name: &'static str,
    /// How much of it there is at first.
    pub first: usize,
    /// Makes a book with so many, and gives how long it takes to read, check and plan it, or to do with it what grows.
    pub run: fn(usize) -> Duration,
}

/// How often each is run; the best counts.
const TIMES: usize = 3;
/// What takes longer is run once.
const LONG: Duration = Duration::from_secs(1);
/// What doubling may take.
const MOST: f64 = 3.0;

fn main() -> std::io::Result<()> {
    let word = std::env::args().skip(1).find(|word| !word.starts_with('-')).unwrap_or_default();
    let all = [supply::DIRECTIONS, shops::DIRECTIONS, orders::DIRECTIONS, codes::DIRECTIONS].concat();
    let mut out = std::io::stdout();
    for direction in all.iter().filter(|direction| direction.name.contains(&word)) {
        let sizes = [1, 2, 4].map(|times| direction.first * times);
        let seconds = sizes.map(|size| best(direction, size).as_secs_f64());
        let ratios = [seconds[1] / seconds[0], seconds[2] / seconds[1]];
        let told = sizes.iter().zip(seconds).map(|(size, s)| format!("{size:>7}: {s:7.3} s")).collect::<Vec<_>>();
        let mark = if ratios[1] > MOST { "  grows too fast" } else { "" };
        let [first, second] = ratios;
        writeln!(out, "{:44} {}   x {first:.1}, x {second:.1}{mark}", direction.name, told.join(" "))?;
    }
    Ok(())
}

/// The best of a few times; what takes long is run once.
fn best(direction: &Direction, size: usize) -> Duration {
    let first = (direction.run)(size);
    let more = if first > LONG { 0 } else { TIMES - 1 };
    (0..more).map(|_| (direction.run)(size)).fold(first, Duration::min)
}

/// How long it takes.
pub fn timed<T>(what: impl FnOnce() -> T) -> Duration {
    let start = Instant::now();
    let made = what();
    let took = start.elapsed();
    drop(made);
    took
}
