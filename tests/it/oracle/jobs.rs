//! A job: one demand for a make part less what stock covers, with all that is built inside it.
//!
//! Rules `explosion`, `two-shares`, `job-length`, `due-and-release`, `need-in-a-shop`.

use super::numbers::{Millionths, Ratio, seconds_up};
use super::plant::{Part, Source};
use super::sheets::Key;
use super::wants::{DemandKey, Free, View};

/// A job before it has its place on a crew.
#[derive(Clone, Debug)]
pub struct Draft {
    pub demand: DemandKey,
    pub qty: Millionths,
    pub shop: Key,
    pub length: i64,
    /// The row of the started jobs that names it.
    pub started: Option<usize>,
    /// Parts needed in the shop when the job starts.
    pub takes: Vec<(Key, Millionths)>,
    /// By-products that come with the finished job.
    pub gives: Vec<(Key, Millionths)>,
    /// By-products below what a started job already has at hand.
    pub frees: Vec<Free>,
}

/// What one job holds, summed up while its bill is walked.
#[derive(Default)]
struct Contents {
    minutes: Option<Ratio>,
    takes: Vec<(Key, Millionths)>,
    gives: Vec<(Key, Millionths)>,
}

impl View<'_> {
    /// The job that covers so much of a demand.
    pub fn draft(&self, demand: &DemandKey, qty: Millionths) -> Draft {
        let shop = &self.plant.parts[&demand.part].shop;
        let mut contents = Contents::default();
        self.build(demand.rank, &demand.part, qty, shop, &mut contents);
        Draft {
            demand: demand.clone(),
            qty,
            shop: shop.clone(),
            length: seconds_up(contents.minutes.expect("the part itself is built")),
            started: None,
            takes: contents.takes,
            gives: contents.gives,
            frees: Vec::new(),
        }
    }

    /// Adds the work on a part of the job's shop, and goes on below it.
    fn build(&self, rank: usize, part: &str, qty: Millionths, shop: &str, contents: &mut Contents) {
        let work = work_on(&self.plant.parts[part], qty);
        contents.minutes = Some(contents.minutes.map_or(work, |minutes| minutes.plus(work)));
        self.build_below(rank, part, qty, shop, contents);
    }

    fn build_below(&self, rank: usize, parent: &str, qty: Millionths, shop: &str, contents: &mut Contents) {
        for line in self.active(rank, parent) {
            let qty = line.quantity(qty);
            let part = &self.plant.parts[&line.part];
            match part.source {
                _ if qty == 0 => {}
                _ if line.gives => contents.gives.push((line.part.clone(), qty)),
                Source::Phantom => self.build_below(rank, &line.part, qty, shop, contents),
                Source::Make if part.shop == shop => {
                    self.build(rank, &line.part, qty, shop, contents);
                }
                _ => contents.takes.push((line.part.clone(), qty)),
            }
        }
    }

    /// A job that has been begun: its material is issued, its length is what is left.
    pub fn begin(&self, draft: &mut Draft, row: usize) {
        draft.started = Some(row);
        draft.length = self.plant.started[row].left;
        for (part, qty) in std::mem::take(&mut draft.takes) {
            if self.plant.parts[&part].source == Source::Make {
                draft.frees.extend(self.free_below(draft.demand.rank, &part, qty));
            }
        }
    }
}

fn work_on(part: &Part, qty: Millionths) -> Ratio {
    let pieces = Ratio::new(qty, 1_000_000);
    part.setup.plus(part.minutes.times(pieces))
}
