//! What each bin of a part holds while the pulls of the day and of the runs before it empty it, one run after the other.

use super::day::{Missing, Picked, Take};
use crate::base::{DestId, Moment, PartId, Quantity, StorageKey, UnitId, fold};
use crate::check::{Issue, Part, Plant, Stock};
use crate::netting::{Cover, Peg};
use crate::plan::Plan;
use crate::pulls::Traced;
use crate::supply::Pegged;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// A bin of one part.
#[derive(Clone, Debug)]
pub struct Bin<'p> {
    /// Where it is; blank where the book does not say.
    pub place: Cow<'p, str>,
    /// What lies in it for anyone.
    pub free: Quantity,
    /// What lies in it for single units.
    pub reserved: Vec<(UnitId, Quantity)>,
    /// What lies in it on hold.
    pub held: Vec<&'p Stock>,
}

impl<'p> Bin<'p> {
    fn at(place: Cow<'p, str>) -> Self {
        Self { place, free: Quantity::ZERO, reserved: Vec::new(), held: Vec::new() }
    }

    /// What it holds, without what is on hold.
    pub fn holds(&self) -> Quantity {
        self.free + self.reserved.iter().map(|(_, qty)| *qty).sum()
    }
}

/// The bins of a part at the as-of moment: its own location first, then others in the order one walks them.
pub fn of_part<'p>(plant: &'p Plant, part: &'p Part, rows: &[&'p Stock]) -> Vec<Bin<'p>> {
    let mut bins = vec![Bin::at(part.location.as_str().into())];
    for row in rows {
        let place: Cow<'p, str> = match (row.location.as_str(), row.lineside) {
            ("", Some(dest)) => format!("at {}", plant.dest(dest).code).into(),
            ("", None) => part.location.as_str().into(),
            (location, _) => location.into(),
        };
        let known = bins.iter().position(|bin| fold(&bin.place) == fold(&place));
        let at = known.unwrap_or_else(|| {
            bins.push(Bin::at(place));
            bins.len() - 1
        });
        let bin = &mut bins[at];
        match (&row.hold, row.reserved, row.lineside) {
            (Some(_), ..) => bin.held.push(row),
            (None, Some(unit), _) => bin.reserved.push((unit, row.qty)),
            // Lineside stock has left the stores; loose stock of a part built to order serves nobody.
            (None, None, Some(_)) => {}
            (None, None, None) if part.configured => {}
            (None, None, None) => bin.free += row.qty,
        }
    }
    bins[1..].sort_by_cached_key(|bin| (StorageKey::new(&bin.place), bin.place.to_lowercase()));
    bins
}

/// One part's bins while its pulls are picked.
pub struct Picking<'a, 'p> {
    plan: &'a Plan<'p>,
    pegged: Pegged<'a>,
    part: PartId,
    /// The bins, as they are now.
    pub bins: Vec<Bin<'p>>,
    /// What comes into the stores, soonest first, without what goes straight to a station; and how much of it is for somebody.
    arrivals: Vec<(Moment, Quantity, Quantity)>,
    arrived: usize,
    /// What lies in the bins for those who are not picked for yet.
    kept: Quantity,
    sent: BTreeMap<DestId, Quantity>,
}

impl<'a, 'p> Picking<'a, 'p> {
    /// Before the first pull. Of a bulk part all demands are wanted, since packs of one run serve what comes after it; of
    /// another those that go with the runs of its pulls and before them.
    pub fn new(plan: &'a Plan<'p>, part: PartId, pegged: Pegged<'a>, bins: Vec<Bin<'p>>, receipts: &[u32]) -> Self {
        let mut by_time: BTreeMap<Moment, (Quantity, Quantity)> = BTreeMap::new();
        for receipt in receipts.iter().map(|i| &plan.plant.receipts[*i as usize]) {
            by_time.entry(receipt.available).or_default().0 += receipt.qty;
        }
        let mut kept = Quantity::ZERO;
        for (demand, peg) in pegged.pieces() {
            match (peg.cover, plan.runs.serving(demand.need), peg.available) {
                (Cover::Stock, Some(_), _) => kept += peg.qty,
                (Cover::Receipt(_), Some(run), Some(available)) => {
                    let (comes, asked) = by_time.entry(available).or_default();
                    if available > run.picked { *comes -= peg.qty } else { *asked += peg.qty }
                }
                _ => {}
            }
        }
        let arrivals = by_time.into_iter().map(|(at, (comes, asked))| (at, comes, asked)).collect();
        Self { plan, pegged, part, bins, arrivals, arrived: 0, kept, sent: BTreeMap::new() }
    }

    /// Picks the next pull of the part.
    pub fn pick(&mut self, row: &Traced) -> Picked {
        let picked = row.pull.run.picked;
        while let Some((_, qty, asked)) = self.arrivals.get(self.arrived).filter(|(at, ..)| *at <= picked) {
            self.bins[0].free += (*qty).max(Quantity::ZERO);
            self.kept += *asked;
            self.arrived += 1;
        }
        let (reserved, loose, missing) = self.split(row);
        // Nearly always from one bin.
        let mut takes = Vec::with_capacity(1);
        let bulk = self.plan.plant.part(self.part).issue == Issue::Bulk;
        if bulk {
            let spare = self.loose() - self.kept_for_others(row.pull.to, picked);
            self.take_loose(row.pull.qty.min(spare), &mut takes);
        } else {
            let unit = row.pull.owner.and_then(|owner| self.plan.pace.owners[owner.at()].unit);
            self.take_reserved(unit, reserved, &mut takes);
            // Where all of it is there, what rounding up adds comes from the bin, too, as far as nobody else needs it.
            self.kept -= loose;
            let spare = (self.loose() - loose - self.kept).max(Quantity::ZERO);
            let more = if missing.is_empty() { row.pull.qty - reserved - loose } else { Quantity::ZERO };
            self.take_loose(loose + more.min(spare), &mut takes);
        }
        let taken = takes.iter().map(|take| take.qty).sum();
        *self.sent.entry(row.pull.to).or_default() += taken;
        let demands = row.demands.iter().map(|(number, _)| self.pegged.demands[*number as usize]).collect();
        Picked { pull: row.pull, taken, takes, missing, demands }
    }

    fn loose(&self) -> Quantity {
        self.bins.iter().map(|bin| bin.free).sum()
    }

    /// What of a pull is reserved, what is loose, and what is not there when its run is picked.
    fn split(&self, row: &Traced) -> (Quantity, Quantity, Vec<Missing>) {
        let (mut reserved, mut loose, mut missing) = (Quantity::ZERO, Quantity::ZERO, Vec::<Missing>::new());
        for (demand, _) in row.demands.iter().filter(|(_, follows)| *follows) {
            let need = self.pegged.demands[*demand as usize].need;
            for peg in self.pegged.pegs_of(*demand) {
                match peg.cover {
                    Cover::Reserved => reserved += peg.qty,
                    Cover::Stock => loose += peg.qty,
                    Cover::Receipt(_) if peg.available <= Some(row.pull.run.picked) => loose += peg.qty,
                    Cover::Receipt(_) | Cover::None => add(&mut missing, peg, need),
                    Cover::ByProduct | Cover::Lineside | Cover::Job(_) => {}
                }
            }
        }
        (reserved, loose, missing)
    }

    /// What other stations and shops need of what lies in the bins, before more comes in.
    fn kept_for_others(&self, to: DestId, picked: Moment) -> Quantity {
        let next = self.arrivals.get(self.arrived).map(|(at, ..)| *at);
        let mut needs: BTreeMap<DestId, Quantity> = BTreeMap::new();
        for (demand, peg) in self.pegged.pieces() {
            let here = match peg.cover {
                Cover::Stock => true,
                Cover::Receipt(_) => peg.available <= Some(picked),
                _ => false,
            };
            if here && demand.to != to && next.is_none_or(|next| demand.need < next) {
                *needs.entry(demand.to).or_default() += peg.qty;
            }
        }
        let open = |(dest, need): (DestId, Quantity)| {
            (need - self.sent.get(&dest).copied().unwrap_or_default()).max(Quantity::ZERO)
        };
        needs.into_iter().map(open).sum()
    }

    fn take_loose(&mut self, mut qty: Quantity, takes: &mut Vec<Take>) {
        for (i, bin) in self.bins.iter_mut().enumerate() {
            let taken = qty.min(bin.free);
            if taken.is_positive() {
                let before = bin.holds();
                bin.free -= taken;
                qty -= taken;
                takes.push(Take { bin: i as u32, qty: taken, before, left: bin.holds(), reserved: false });
            }
        }
    }

    fn take_reserved(&mut self, unit: Option<UnitId>, mut qty: Quantity, takes: &mut Vec<Take>) {
        for (i, bin) in self.bins.iter_mut().enumerate() {
            let before = bin.holds();
            let mut taken = Quantity::ZERO;
            for (_, stock) in bin.reserved.iter_mut().filter(|(owner, _)| Some(*owner) == unit) {
                let piece = qty.min(*stock);
                *stock -= piece;
                qty -= piece;
                taken += piece;
            }
            if taken.is_positive() {
                takes.push(Take { bin: i as u32, qty: taken, before, left: bin.holds(), reserved: true });
            }
        }
    }
}

fn add(missing: &mut Vec<Missing>, peg: &Peg, need: Moment) {
    let alike = |other: &&mut Missing| other.cover == peg.cover && other.available == peg.available;
    match missing.iter_mut().find(alike) {
        Some(other) => {
            other.qty += peg.qty;
            other.need = other.need.min(need);
        }
        None => missing.push(Missing { qty: peg.qty, cover: peg.cover, available: peg.available, need }),
    }
}
