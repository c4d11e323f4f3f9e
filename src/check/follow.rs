//! Bills followed down: the one place that goes from a line to the bill of its part.
//!
//! Whoever follows a bill says at each line whether it goes on below it, and collects what it wants; how far one may go is said by
//! [`stands`]. [`down`] takes every path, as often as it is there, and carries along it what depends on it: the quantity, cut line by
//! line, the station, what must hold, what stands above. [`once`] takes every bill once, however many paths lead to it, and is for what
//! does not depend on the path. [`from_below`] works a part out after all that stand on its bill.
//!
//! The bills of a checked plant have no circle and no more than a hundred levels, which `structure` proves: it alone goes down by
//! itself, before anybody may. In a plant that is not checked yet only [`once`] comes to an end. Two go on from what others found
//! on the way down: `weigh` along the ways of `every_order`, and `explode/bought.rs` from job to job.
//!
//! Rule `explosion`.

use super::plant::{BillLine, Plant, Source};
use crate::base::{PartId, ShopId};
use std::collections::HashSet;
use std::convert::Infallible;
use std::ops::Range;

/// What a part is on the way down, seen from a station or from a job.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// A phantom: its lines stand in its place.
    ForItsLines,
    /// A make part of the job's own shop: built in the same job, with its lines.
    InTheJob,
    /// Bought, a by-product, or a make part with jobs of its own: needed there, or coming off.
    ForItself,
}

/// What a part is, seen from a job of a shop, or from a station where there is none.
pub fn stands(plant: &Plant, part: PartId, job_of: Option<ShopId>) -> Stands {
    match plant.part(part).source {
        Source::Phantom => Stands::ForItsLines,
        Source::Make(shop) if Some(shop) == job_of => Stands::InTheJob,
        _ => Stands::ForItself,
    }
}

/// Follows every path down a bill, in the order of the bills. `step` is given a line, by its index, and what was carried to its
/// parent; it gives what is carried below the line, or nothing where the path is not followed further.
pub fn down<T: Copy>(
    plant: &Plant,
    bill: Range<usize>,
    carried: T,
    mut step: impl FnMut(usize, &BillLine, T) -> Option<T>,
) {
    let Ok(()) = try_down(plant, bill, carried, &mut |at, line, carried| Ok::<_, Infallible>(step(at, line, carried)));
}

/// The same where a step can fail.
///
/// # Errors
/// That of the first step that fails.
pub fn try_down<T: Copy, E>(
    plant: &Plant,
    bill: Range<usize>,
    carried: T,
    step: &mut impl FnMut(usize, &BillLine, T) -> Result<Option<T>, E>,
) -> Result<(), E> {
    for at in bill {
        let line = &plant.bills[at];
        if let Some(carried) = step(at, line, carried)? {
            try_down(plant, plant.part(line.part).bill.clone(), carried, step)?;
        }
    }
    Ok(())
}

/// The lines of some bills and of all below that are followed, each with its index; every bill once, in no order that means anything.
pub fn once(
    plant: &Plant,
    bills: impl IntoIterator<Item = Range<usize>>,
    mut goes_on: impl FnMut(&BillLine) -> bool,
) -> Vec<(usize, &BillLine)> {
    // With the stack in the heap: before they are checked bills may be deeper than the machine's own.
    let (mut found, mut seen, mut open) = (Vec::new(), HashSet::new(), Vec::from_iter(bills));
    while let Some(bill) = open.pop() {
        for at in bill {
            let line = &plant.bills[at];
            found.push((at, line));
            if goes_on(line) && seen.insert(line.part) {
                open.push(plant.part(line.part).bill.clone());
            }
        }
    }
    found
}

/// The lines of a bill, phantoms replaced by theirs; each once.
pub fn without_phantoms(plant: &Plant, bill: Range<usize>) -> impl Iterator<Item = &BillLine> {
    let phantom = |line: &BillLine| plant.part(line.part).source == Source::Phantom;
    let lines = once(plant, [bill], phantom).into_iter().map(|(_, line)| line);
    lines.filter(move |line| !phantom(line))
}

/// For each part what is worked out of its bill and of what is known of the parts on it.
pub fn from_below<T: Clone + Default>(plant: &Plant, mut of: impl FnMut(PartId, &[BillLine], &[T]) -> T) -> Vec<T> {
    let mut known = vec![T::default(); plant.parts.len()];
    for &part in &plant.from_below {
        known[part.at()] = of(part, plant.bill(part), &known);
    }
    known
}

/// For each part whether it is one of those, or has one below it.
pub fn leading_to(plant: &Plant, those: impl Fn(PartId) -> bool) -> Vec<bool> {
    from_below(plant, |part, bill, leads| those(part) || bill.iter().any(|line| leads[line.part.at()]))
}
