//! Sums over all builds by independent parts of the options: how many there are, the least and the most of something.
//!
//! Options are put together in slots: a group of which a unit has one is one slot with a value for each of its options. What is
//! known of some slots is a table of what their values may be; slots are worked out one after the other (variable elimination:
//! R. Dechter, Bucket elimination, Artificial Intelligence 113, 1999), so that only those that speak of each other meet.
//!
//! Rule `proofs`.

use super::limit::Limit;
use itertools::Itertools;
use num_bigint::BigUint;
use std::collections::{BTreeMap, BTreeSet, HashMap};

/// A table may have so many rows; where joined ones had more, the values of a slot are taken one by one.
const MOST_ROWS: usize = 50_000;
/// All tables that are made for one sum may have so many rows.
pub const MOST_WORK: usize = 4_000_000;

/// What is summed.
pub trait Sum: Clone {
    /// Of two that hold together.
    fn with(&self, other: &Self) -> Self;
    /// Of two ways to the same.
    fn or(&self, other: &Self) -> Self;
}

/// How many ways there are.
impl Sum for BigUint {
    fn with(&self, other: &Self) -> Self {
        self * other
    }

    fn or(&self, other: &Self) -> Self {
        self + other
    }
}

/// The least and the most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Range {
    /// In the unit of what is summed.
    pub least: i128,
    /// In the same unit; never below the least.
    pub most: i128,
}

impl Range {
    /// One number.
    pub fn at(number: i128) -> Self {
        Self { least: number, most: number }
    }
}

impl Sum for Range {
    fn with(&self, other: &Self) -> Self {
        Self { least: self.least + other.least, most: self.most + other.most }
    }

    fn or(&self, other: &Self) -> Self {
        Self { least: self.least.min(other.least), most: self.most.max(other.most) }
    }
}

/// A table: which values its slots may have together, and what each comes to.
#[derive(Clone, Debug)]
pub struct Table<S> {
    /// Slots, ascending.
    pub slots: Vec<usize>,
    /// Values in the order of the slots.
    pub rows: Vec<(Box<[u32]>, S)>,
}

/// The sum over all that tables allow together. Each slot must be in a table, and rows of a table differ in their values.
pub fn sum<S: Sum>(tables: Vec<Table<S>>, unit: &S) -> Result<Outcome<S>, Limit> {
    let mut left = MOST_WORK;
    worked_out(tables, unit, &mut left).ok_or(Limit::Tables)
}

/// Slot by slot; `None` where no work is left.
fn worked_out<S: Sum>(mut tables: Vec<Table<S>>, unit: &S, left: &mut usize) -> Option<Outcome<S>> {
    let mut total = unit.clone();
    loop {
        if tables.iter().any(|table| table.rows.is_empty()) {
            return Some(Outcome::Nothing);
        }
        let (settled, open): (Vec<_>, Vec<_>) = tables.into_iter().partition(|table| table.slots.is_empty());
        total = settled.iter().fold(total, |total, table| total.with(&table.rows[0].1));
        tables = open;
        let Some(slot) = next_slot(&tables) else { return Some(Outcome::Of(total)) };
        let about = |table: &&Table<S>| table.slots.contains(&slot);
        if let Some(joined) = joined(tables.iter().filter(about).collect(), left) {
            tables.retain(|table| !about(&table));
            tables.push(without(&joined, slot));
        } else {
            let rest = value_by_value(&tables, unit, left)?;
            return Some(match rest {
                Outcome::Nothing => Outcome::Nothing,
                Outcome::Of(rest) => Outcome::Of(total.with(&rest)),
            });
        }
    }
}

/// All of some tables that share a slot; `None` where that is too large, or no work is left.
fn joined<S: Sum>(mut about: Vec<&Table<S>>, left: &mut usize) -> Option<Table<S>> {
    about.sort_by_key(|table| table.rows.len());
    let mut joined = about.remove(0).clone();
    while !about.is_empty() {
        // The one that adds fewest slots to what is joined so far keeps it small.
        let added = |table: &Table<S>| table.slots.iter().filter(|slot| !joined.slots.contains(slot)).count();
        let at = (0..about.len()).min_by_key(|i| (added(about[*i]), about[*i].rows.len()))?;
        joined = join(&joined, about.remove(at))?;
        *left = left.checked_sub(joined.rows.len())?;
    }
    Some(joined)
}

/// The values of the slot that most tables speak of, one by one.
fn value_by_value<S: Sum>(tables: &[Table<S>], unit: &S, left: &mut usize) -> Option<Outcome<S>> {
    let spoken = tables.iter().flat_map(|table| &table.slots).counts();
    let slot = *spoken.into_iter().max_by_key(|(slot, times)| (*times, std::cmp::Reverse(*slot)))?.0;
    let least = tables.iter().filter(|table| table.slots.contains(&slot)).min_by_key(|table| table.rows.len())?;
    let at = least.slots.iter().position(|own| *own == slot)?;
    let values: BTreeSet<u32> = least.rows.iter().map(|(row, _)| row[at]).collect();
    let mut sum: Outcome<S> = Outcome::Nothing;
    for value in values {
        let some: Vec<Table<S>> = tables.iter().map(|table| at_value(table, slot, value)).collect();
        *left = left.checked_sub(some.iter().map(|table| table.rows.len()).sum())?;
        sum = match (sum, worked_out(some, unit, left)?) {
            (Outcome::Of(a), Outcome::Of(b)) => Outcome::Of(a.or(&b)),
            (a, Outcome::Nothing) => a,
            (Outcome::Nothing, b) => b,
        };
    }
    Some(sum)
}

/// A table where a slot has a value.
fn at_value<S: Sum>(table: &Table<S>, slot: usize, value: u32) -> Table<S> {
    let Some(at) = table.slots.iter().position(|own| *own == slot) else { return table.clone() };
    let without = |row: &[u32]| row[..at].iter().chain(&row[at + 1..]).copied().collect();
    let rows = table.rows.iter().filter(|(row, _)| row[at] == value);
    Table {
        slots: table.slots.iter().copied().filter(|own| *own != slot).collect(),
        rows: rows.map(|(row, number)| (without(row), number.clone())).collect(),
    }
}

/// What a sum comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome<S> {
    /// Nothing is allowed.
    Nothing,
    /// This.
    Of(S),
}

/// The slot whose tables speak of the fewest others.
fn next_slot<S>(tables: &[Table<S>]) -> Option<usize> {
    let mut near: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for table in tables {
        for slot in &table.slots {
            near.entry(*slot).or_default().extend(&table.slots);
        }
    }
    let size = |mut near: Vec<usize>| {
        near.sort_unstable();
        near.dedup();
        near.len()
    };
    near.into_iter().map(|(slot, near)| (size(near), slot)).min().map(|(_, slot)| slot)
}

fn join<S: Sum>(a: &Table<S>, b: &Table<S>) -> Option<Table<S>> {
    let shared: Vec<(usize, usize)> = a
        .slots
        .iter()
        .enumerate()
        .filter_map(|(i, slot)| Some((i, b.slots.iter().position(|other| other == slot)?)))
        .collect();
    let mut slots: Vec<usize> = a.slots.iter().chain(&b.slots).copied().collect();
    slots.sort_unstable();
    slots.dedup();
    // Where each value of the joined row comes from.
    let from: Vec<(bool, usize)> = slots
        .iter()
        .map(|slot| match a.slots.iter().position(|own| own == slot) {
            Some(i) => (true, i),
            None => (false, b.slots.iter().position(|own| own == slot).unwrap_or(0)),
        })
        .collect();
    let mut index: HashMap<Vec<u32>, Vec<usize>> = HashMap::new();
    for (i, (row, _)) in b.rows.iter().enumerate() {
        index.entry(shared.iter().map(|(_, at)| row[*at]).collect()).or_default().push(i);
    }
    let mut rows = Vec::new();
    for (row, value) in &a.rows {
        let key: Vec<u32> = shared.iter().map(|(at, _)| row[*at]).collect();
        for other in index.get(&key).into_iter().flatten() {
            let (theirs, their_value) = &b.rows[*other];
            let values = from.iter().map(|(own, at)| if *own { row[*at] } else { theirs[*at] }).collect();
            rows.push((values, value.with(their_value)));
        }
        if rows.len() > MOST_ROWS {
            return None;
        }
    }
    Some(Table { slots, rows })
}

/// Without a slot: what agrees in all others is one.
fn without<S: Sum>(table: &Table<S>, slot: usize) -> Table<S> {
    let keep: Vec<usize> = (0..table.slots.len()).filter(|i| table.slots[*i] != slot).collect();
    let slots = keep.iter().map(|i| table.slots[*i]).collect();
    let mut rows: Vec<(Box<[u32]>, S)> =
        table.rows.iter().map(|(row, value)| (keep.iter().map(|i| row[*i]).collect(), value.clone())).collect();
    rows.sort_by(|a, b| a.0.cmp(&b.0));
    let mut merged: Vec<(Box<[u32]>, S)> = Vec::new();
    for (row, value) in rows {
        match merged.last_mut().filter(|last| last.0 == row) {
            Some(last) => last.1 = last.1.or(&value),
            None => merged.push((row, value)),
        }
    }
    Table { slots, rows: merged }
}
