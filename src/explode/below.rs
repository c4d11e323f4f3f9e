//! What is below a make part that is built in one job: worked out once for all units for which the same lines count.
//!
//! Rules `explosion`, `job-length`, `by-products`, `two-shares`.

use super::guards::GuardId;
use super::{Explosions, TooLarge, Who};
use crate::base::{PartId, Quantity, Ratio, Seconds, add_equals};
use crate::check::amounts::too_much;
use crate::check::follow::{self, Stands, once, stands};
use crate::check::limits::{LONGEST_JOB, MOST_BELOW_JOBS};
use crate::check::{BillLine, Source};
use itertools::Itertools;
use std::sync::Arc;

/// What is below a quantity of a make part that is built in one job.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Below {
    /// Needed at the job's start: bought parts, by-products, and make parts of other shops.
    pub needs: Vec<(PartId, Quantity)>,
    /// Those of them that are not bought.
    pub not_bought: Vec<(PartId, Quantity)>,
    /// By-products that come off.
    pub gives: Vec<(PartId, Quantity)>,
    /// The job's length.
    pub length: Seconds,
}

/// What decides what is below a job: the part, how much of it, and which of the guards below it hold.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub(super) struct Key {
    part: PartId,
    qty: Quantity,
    holds: Vec<u64>,
}

impl Explosions<'_> {
    /// For each make part the guards of the lines that are built in its jobs.
    pub(super) fn find_asked_below(&mut self) {
        let plant = self.plant;
        let asked = plant.parts.iter().map(|part| {
            let Source::Make(shop) = part.source else { return Vec::new() };
            let in_the_job = |line: &BillLine| stands(plant, line.part, Some(shop)) != Stands::ForItself;
            let lines = once(plant, [part.bill.clone()], in_the_job).into_iter();
            let guards = lines.map(|(at, _)| self.guards.of_line(at)).filter(|guard| *guard != 0);
            guards.sorted_unstable().dedup().collect()
        });
        self.asked_below = asked.collect();
    }

    /// What is below a quantity of a make part, for a unit or for nobody in particular; worked out once.
    ///
    /// # Errors
    /// Where a quantity becomes too large.
    pub fn below(&mut self, who: Who, part: PartId, qty: Quantity) -> Result<Arc<Below>, TooLarge> {
        let key = Key { part, qty, holds: self.hold_below(who, part) };
        if let Some(known) = self.below.get(&key) {
            return Ok(Arc::clone(known));
        }
        let mut found = Below::default();
        let minutes = self.in_job(who, part, qty, &mut found)?;
        let seconds = minutes.times(Ratio::whole(60)).and_then(Ratio::ceiling).filter(|length| *length <= LONGEST_JOB);
        found.length = seconds.ok_or(TooLarge::Time(part))?;
        merge(&mut found.needs)?;
        merge(&mut found.gives)?;
        found.not_bought = found.needs.iter().filter(|(part, _)| !self.plant.part(*part).bought()).copied().collect();
        self.below_in_all += found.needs.len() + found.not_bought.len() + found.gives.len();
        if self.below_in_all > MOST_BELOW_JOBS {
            return Err(TooLarge::BelowJobs);
        }
        let found = Arc::new(found);
        self.below.insert(key, Arc::clone(&found));
        Ok(found)
    }

    /// What other shops make for a job, line by line: nobody asks for it where the job's material is issued, so that no two lines are
    /// one demand, and each is followed down along its own path.
    ///
    /// # Errors
    /// Where a quantity becomes too large.
    pub fn made_for_job(&self, who: Who, part: PartId, qty: Quantity) -> Result<Vec<(PartId, Quantity)>, TooLarge> {
        let mut found = Below::default();
        self.in_job(who, part, qty, &mut found)?;
        found.needs.retain(|(part, _)| matches!(self.plant.part(*part).source, Source::Make(_)));
        Ok(found.needs)
    }

    /// A bit for each guard below a part.
    fn hold_below(&self, who: Who, part: PartId) -> Vec<u64> {
        let word = |guards: &[GuardId]| {
            guards.iter().rev().fold(0, |word, guard| word << 1 | u64::from(self.guards.holds(*guard, who)))
        };
        self.asked_below[part.at()].chunks(64).map(word).collect()
    }

    /// Adds what a quantity of a part needs and gives in a job of its shop; gives the minutes.
    fn in_job(&self, who: Who, part: PartId, qty: Quantity, into: &mut Below) -> Result<Ratio, TooLarge> {
        let plant = self.plant;
        let job_of = match plant.part(part).source {
            Source::Make(shop) => Some(shop),
            _ => None,
        };
        let mut minutes = self.minutes(part, qty)?;
        follow::try_down(plant, plant.part(part).bill.clone(), qty, &mut |at, line, above| {
            let Some(qty) = self.taken(who, (at, line), above)? else { return Ok(None) };
            match stands(plant, line.part, job_of) {
                Stands::ForItsLines => return Ok(Some(qty)),
                Stands::InTheJob => {
                    let inner = self.minutes(line.part, qty)?;
                    minutes = minutes.plus(inner).ok_or(TooLarge::Time(line.part))?;
                    return Ok(Some(qty));
                }
                Stands::ForItself if line.gives => into.gives.push((line.part, qty)),
                Stands::ForItself => into.needs.push((line.part, qty)),
            }
            Ok(None)
        })?;
        Ok(minutes)
    }

    /// Set-up and minutes of so much of a part; nothing where it is not made.
    fn minutes(&self, part: PartId, qty: Quantity) -> Result<Ratio, TooLarge> {
        let known = self.plant.part(part);
        match known.source {
            Source::Make(_) => {
                exact(qty).and_then(|qty| known.minutes.times(qty)?.plus(known.setup)).ok_or(TooLarge::Time(part))
            }
            _ => Ok(Ratio::ZERO),
        }
    }
}

fn exact(qty: Quantity) -> Option<Ratio> {
    Ratio::new(i128::from(qty.millionths()), i128::from(Quantity::SCALE))
}

/// Sorts by part and adds up equals.
fn merge(items: &mut Vec<(PartId, Quantity)>) -> Result<(), TooLarge> {
    items.sort_by_key(|(part, _)| *part);
    for same in items.chunk_by(|a, b| a.0 == b.0).filter(|same| same.len() > 1) {
        if too_much(same.iter().map(|(_, qty)| *qty).sum()) {
            return Err(TooLarge::Sum(same[0].0));
        }
    }
    add_equals(items);
    Ok(())
}
