//! Covers each part's demands, one after the other, and says by what: the pegs.
//!
//! Rules `cover-order`, `receipts`, `pegs`.

use std::collections::BTreeMap;

use super::numbers::Millionths;
use super::plant::{ReceiptRow, Source};
use super::sheets::{Key, key};
use super::shops::{Job, Run};
use super::stock::{Lying, Shelf, take_from};
use super::wants::{DemandKey, Demands, Free, View};

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cover {
    ByProduct,
    Lying(Lying),
    Receipt(String),
    Job(String),
    Nothing,
}

/// A piece of a demand and what covers it.
#[derive(Clone, Debug)]
pub struct Peg {
    pub demand: DemandKey,
    pub qty: Millionths,
    pub cover: Cover,
    pub available: Option<i64>,
    /// For a by-product, the demands of the jobs that it comes with.
    pub givers: Vec<DemandKey>,
}

impl Peg {
    /// Seconds by which it comes after its need.
    pub fn late(&self) -> i64 {
        self.available.map_or(0, |available| (available - self.demand.need).max(0))
    }

    /// Minutes late, rounded up.
    pub fn late_minutes(&self) -> i64 {
        (self.late() + 59) / 60
    }

    pub fn is_short(&self) -> bool {
        self.cover == Cover::Nothing
    }
}

/// The names of the jobs by the demands they cover.
pub type JobNames = BTreeMap<DemandKey, String>;

/// The pegs of all demands, in the order in which they are taken.
pub fn pegs(view: &View, run: &Run, demands: &Demands, names: &JobNames) -> Vec<Peg> {
    let mut pegs = Vec::new();
    for part in view.plant.parts.keys() {
        let mut supply = Supply::of(view, run, part);
        for (demand, qty) in demands.iter().filter(|(demand, _)| demand.part == *part) {
            pegs.extend(alike_as_one(supply.cover(view, run, names, demand, *qty)));
        }
    }
    pegs
}

/// What is left of one part's supply.
struct Supply {
    frees: Vec<Free>,
    shelf: Shelf,
    receipts: Vec<ReceiptRow>,
}

impl Supply {
    fn of(view: &View, run: &Run, part: &str) -> Supply {
        let mut frees: Vec<Free> = run.frees.iter().filter(|free| free.part == part).cloned().collect();
        frees.sort_by_key(|free| free.available);
        let is_bought = view.plant.parts[part].source == Source::Buy;
        let receipts = view.plant.receipts.iter().filter(|row| is_bought && row.part == part);
        let mut receipts: Vec<ReceiptRow> = receipts.cloned().collect();
        receipts.sort_by_key(|row| (row.available, key(&row.order)));
        Supply { frees, shelf: Shelf::of(view.plant, part), receipts }
    }

    fn cover(&mut self, view: &View, run: &Run, names: &JobNames, demand: &DemandKey, qty: Millionths) -> Vec<Peg> {
        let mut left = qty;
        let mut pegs = self.by_products(demand, &mut left);
        let taker = &view.crowd.takers[demand.rank];
        let loose = view.takes_loose_stock(demand);
        for (lying, qty) in self.shelf.take(taker, &demand.to, left, loose) {
            left -= qty;
            pegs.push(peg(demand, qty, Cover::Lying(lying), None));
        }
        pegs.extend(self.receipts(demand, &mut left));
        if let Some(job) = job_for(run, demand) {
            assert_eq!(job.draft.qty, left, "a job is what is left of its demand");
            let name = names[demand].clone();
            pegs.push(peg(demand, left, Cover::Job(name), Some(job.available)));
            left = 0;
        }
        if left > 0 {
            pegs.push(peg(demand, left, Cover::Nothing, None));
        }
        pegs
    }

    fn by_products(&mut self, demand: &DemandKey, left: &mut Millionths) -> Vec<Peg> {
        let all = self.frees.clone();
        let own = self.frees.iter_mut().filter(|free| free.rank == demand.rank);
        let pieces = own.map(|free| {
            let qty = take_from(&mut free.qty, left);
            // What is there at the same moment is one heap: nobody can say which of it is taken.
            let heap = all.iter().filter(|other| (other.rank, other.available) == (free.rank, free.available));
            let givers = heap.filter_map(|other| other.giver.clone()).collect();
            Peg { givers, ..peg(demand, qty, Cover::ByProduct, Some(free.available)) }
        });
        pieces.filter(|peg| peg.qty > 0).collect()
    }

    fn receipts(&mut self, demand: &DemandKey, left: &mut Millionths) -> Vec<Peg> {
        let pieces = self.receipts.iter_mut().map(|row| {
            let qty = take_from(&mut row.qty, left);
            peg(demand, qty, Cover::Receipt(row.order.clone()), Some(row.available))
        });
        pieces.filter(|peg| peg.qty > 0).collect()
    }
}

fn peg(demand: &DemandKey, qty: Millionths, cover: Cover, available: Option<i64>) -> Peg {
    Peg { demand: demand.clone(), qty, cover, available, givers: Vec::new() }
}

fn job_for<'a>(run: &'a Run, demand: &DemandKey) -> Option<&'a Job> {
    run.jobs.iter().find(|job| job.draft.demand == *demand)
}

/// Pegs of one demand alike in all but quantity are one.
fn alike_as_one(pegs: Vec<Peg>) -> Vec<Peg> {
    let mut result: Vec<Peg> = Vec::new();
    for peg in pegs {
        let alike = |other: &&mut Peg| other.cover == peg.cover && other.available == peg.available;
        match result.iter_mut().find(alike) {
            Some(other) => other.qty += peg.qty,
            None => result.push(peg),
        }
    }
    result
}

/// The jobs' names: the unit and the part, numbered from that unit's second job of the part on.
pub fn job_names(view: &View, run: &Run) -> JobNames {
    let mut jobs: Vec<&DemandKey> = run.jobs.iter().map(|job| &job.draft.demand).collect();
    jobs.sort_by_key(|demand| (demand.need, demand.to.clone()));
    let mut counts: BTreeMap<(usize, Key), usize> = BTreeMap::new();
    let mut names = JobNames::new();
    for demand in jobs {
        let count = counts.entry((demand.rank, demand.part.clone())).or_default();
        *count += 1;
        let unit = &view.crowd.takers[demand.rank].name;
        let part = &view.plant.parts[&demand.part].code;
        let number = if *count > 1 { count.to_string() } else { String::new() };
        let words = [unit.as_str(), part, &number];
        let words: Vec<&str> = words.into_iter().filter(|word| !word.is_empty()).collect();
        names.insert(demand.clone(), words.join(" "));
    }
    names
}
