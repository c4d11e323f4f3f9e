//! The changes of pulls, kit by kit and bulk delivery by bulk delivery; kits that change in nothing but their run by themselves.

use super::{Code, Notice, PullChange};
use crate::base::Moment;
use itertools::Itertools;
use std::collections::BTreeMap;

/// The lines of a kit or of a bulk delivery that changed.
pub type Delivery<'n> = Vec<&'n PullChange>;

/// A kit of which all that changed goes with another run, as it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OtherRun<'n> {
    /// The run it went with.
    pub was: Moment,
    /// Its lines, with the run they go with now.
    pub lines: Delivery<'n>,
}

/// All deliveries that changed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Deliveries<'n> {
    /// Those in which there is something to add, to take out, or that stands otherwise; by run, then place and unit.
    pub changed: Vec<Delivery<'n>>,
    /// Kits that go with another run; by the earlier of the two.
    pub other_run: Vec<OtherRun<'n>>,
}

impl<'n> Deliveries<'n> {
    /// Of a notice.
    pub fn of(notice: &'n Notice) -> Self {
        let kits = notice.pulls.iter().chunk_by(|change| (change.wave, &change.to, &change.unit, change.bulk));
        let all: Vec<Delivery<'n>> = kits.into_iter().map(|(_, lines)| lines.collect()).collect();
        let partner = partners(&all);
        let mut deliveries = Self::default();
        for (at, lines) in all.iter().enumerate() {
            match partner.get(&at) {
                Some(other) if *other > at => deliveries.other_run.push(other_run(lines, &all[*other])),
                Some(_) => {}
                None => deliveries.changed.push(lines.clone()),
            }
        }
        deliveries
    }
}

/// For each kit that goes with another run, the one it goes to or comes from.
fn partners(all: &[Delivery<'_>]) -> BTreeMap<usize, usize> {
    let mut kits: BTreeMap<(&Code, &Code), Vec<usize>> = BTreeMap::new();
    for (at, lines) in all.iter().enumerate() {
        let first = lines[0];
        if !first.bulk && !first.unit.is_blank() {
            kits.entry((&first.to, &first.unit)).or_default().push(at);
        }
    }
    let pairs = kits.into_values().filter_map(|kit| match kit[..] {
        [one, other] if goes_over(&all[one], &all[other]) || goes_over(&all[other], &all[one]) => Some((one, other)),
        _ => None,
    });
    pairs.flat_map(|(one, other)| [(one, other), (other, one)]).collect()
}

/// Whether all of one delivery is taken out and comes into another as it was.
fn goes_over(from: &Delivery<'_>, to: &Delivery<'_>) -> bool {
    let all = |lines: &Delivery<'_>, is: fn(&PullChange) -> bool| lines.iter().all(|line| is(line));
    let alike = |(one, other): (&&PullChange, &&PullChange)| {
        (&one.part, &one.uom, one.old) == (&other.part, &other.uom, other.new)
    };
    let whole = all(from, |line| line.new.is_zero()) && all(to, |line| line.old.is_zero());
    whole && from.len() == to.len() && from.iter().zip(to).all(alike)
}

fn other_run<'n>(one: &Delivery<'n>, other: &Delivery<'n>) -> OtherRun<'n> {
    let (from, to) = if one[0].new.is_zero() { (one, other) } else { (other, one) };
    OtherRun { was: from[0].wave, lines: to.clone() }
}
