//! One run of all shops: each after those it supplies, so that all that is asked of it is known.
//!
//! Rules `two-shares`, `job-length`, `due-and-release`, `begun`, `there`, `need-in-a-shop`.

use super::begun::started;
use super::crews::{Slot, Times, schedule};
use super::{ForShops, Wanted};
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity, Seconds, ShopId, numbered};
use crate::check::amounts::too_much;
use crate::check::limits::MOST_JOBS;
use crate::check::{Plant, Source};
use crate::explode::{Explosions, TooLarge, Who};
use crate::line::Pace;
use crate::netting::{Cover, Demand, Lot, Lots, Netting, Peg, Stocks, in_order};
use itertools::Itertools;
use rayon::prelude::*;
use std::collections::{BTreeMap, HashMap};
use std::sync::Arc;

pub use crate::explode::Below;

/// The due of a job that is tried first lies so long before the as-of moment: ahead of all that are late already.
const AHEAD_OF_ALL: Seconds = 28 * 86_400;

/// A job of a feeder shop.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its shop.
    pub shop: ShopId,
    /// What it builds.
    pub part: PartId,
    /// For whom.
    pub owner: OwnerId,
    /// Where to.
    pub to: DestId,
    /// When that is needed.
    pub need: Moment,
    /// How much.
    pub qty: Quantity,
    /// Whether it has begun.
    pub started: bool,
    /// Length, release and due in the shop's working seconds.
    pub times: Times,
    /// Where it is placed.
    pub slot: Slot,
    /// How many jobs of the part its owner has before it, by need and destination.
    pub number: u32,
    /// What it needs, gives and takes in time.
    pub below: Arc<Below>,
    /// When what it builds is there.
    pub available: Moment,
}

/// A make part's demands and what covers them.
#[derive(Debug, Default)]
pub struct Made {
    /// In the order they are served.
    pub demands: Vec<Demand>,
    /// In the order it is taken.
    pub pegs: Vec<Peg>,
    /// The stock that the demands can use; see [`Netting::on_hand`].
    pub on_hand: Quantity,
}

/// What a run of the shops gives.
#[derive(Debug, Default)]
pub struct Run {
    /// All jobs, by shop in planning order.
    pub jobs: Vec<Job>,
    /// The make parts that are demanded.
    pub makes: BTreeMap<PartId, Made>,
    /// By-products that jobs need.
    pub by_products: Vec<Demand>,
    /// By-products, soonest first.
    pub lots: Lots,
    /// Indices of the rows of `Started` that no job fits.
    pub no_such_job: Vec<usize>,
}

pub(super) struct Shops<'a, 'p> {
    pub(super) plant: &'p Plant,
    pace: &'a Pace,
    explosions: &'a mut Explosions<'p>,
    wanted: &'a Wanted,
    stocks: Vec<Stocks>,
    /// For each shop the demands for its parts, until its turn comes.
    pending: Vec<BTreeMap<PartId, Vec<Demand>>>,
    /// For each shop the rows of `Started` with its parts, in order, and whose jobs they mean.
    pub(super) started: Vec<Vec<(usize, OwnerId)>>,
    /// When the last of each owner's by-products is there, as far as known.
    last_lots: HashMap<(OwnerId, PartId), Moment>,
    pub(super) found: Run,
}

/// Runs the shops once.
pub fn run<'p>(
    plant: &'p Plant,
    pace: &Pace,
    explosions: &mut Explosions<'p>,
    asked: &ForShops,
    wanted: &Wanted,
) -> Result<Run, TooLarge> {
    let found = Run { lots: asked.lots.clone(), ..Run::default() };
    let (stocks, pending) = (Stocks::of_all(plant), vec![BTreeMap::new(); plant.shops.len()]);
    let started = started(plant, pace);
    let last = |lots: &Vec<Lot>| lots.iter().map(|(free, _)| *free).max();
    let last_lots = asked.lots.iter().filter_map(|(whose, lots)| Some((*whose, last(lots)?))).collect();
    let mut shops = Shops { plant, pace, explosions, wanted, stocks, pending, started, last_lots, found };
    asked.makes.iter().for_each(|demand| shops.ask(*demand));
    for &shop in &plant.shop_order {
        shops.run_shop(shop)?;
    }
    shops.number_jobs();
    shops.find_rows_without_job();
    shops.found.lots.values_mut().for_each(|lots| lots.sort_unstable());
    Ok(shops.found)
}

impl Shops<'_, '_> {
    /// Takes a demand for a part that is made.
    fn ask(&mut self, demand: Demand) {
        if let Source::Make(shop) = self.plant.part(demand.part).source {
            self.pending[shop.at()].entry(demand.part).or_default().push(demand);
        }
    }

    fn run_shop(&mut self, shop: ShopId) -> Result<(), TooLarge> {
        let first_job = self.found.jobs.len();
        for (part, demands) in std::mem::take(&mut self.pending[shop.at()]) {
            self.net(shop, part, demands)?;
        }
        self.place(shop, first_job);
        self.take_and_give(shop, first_job)
    }

    /// Covers the demands for a part from stock; what is left of each becomes a job.
    fn net(&mut self, shop: ShopId, part: PartId, mut demands: Vec<Demand>) -> Result<(), TooLarge> {
        if too_much(demands.iter().map(|demand| demand.qty).sum()) {
            return Err(TooLarge::Sum(part));
        }
        in_order(&mut demands);
        let mut pegs = Vec::new();
        let mut netting = Netting::new(std::mem::take(&mut self.stocks[part.at()]), &self.pace.owners);
        for (i, demand) in demands.iter().enumerate().map(|(i, demand)| (numbered(i), demand)) {
            let left = netting.serve(i, demand, &mut pegs);
            self.give_at_once(demand.owner, part, demand.qty - left)?;
            if !left.is_positive() {
                continue;
            }
            let job = numbered(self.found.jobs.len());
            pegs.push(Peg { demand: i, qty: left, cover: Cover::Job(job), available: None });
            let job = self.new_job(shop, demand, left)?;
            self.found.jobs.push(job);
            if self.found.jobs.len() > MOST_JOBS {
                return Err(TooLarge::Jobs);
            }
        }
        self.found.makes.insert(part, Made { demands, pegs, on_hand: netting.on_hand() });
        Ok(())
    }

    /// Adds a by-product.
    fn give(&mut self, owner: OwnerId, part: PartId, lot: Lot) {
        if give(&mut self.found.lots, self.pace, owner, part, lot) {
            let last = self.last_lots.entry((owner, part)).or_insert(lot.0);
            *last = lot.0.max(*last);
        }
    }

    /// By-products below what is there already are free at the as-of moment.
    fn give_at_once(&mut self, owner: OwnerId, part: PartId, qty: Quantity) -> Result<(), TooLarge> {
        let who = who(self.explosions, self.pace, owner);
        let mut gives = Vec::new();
        self.explosions.gives_of(who, part, qty, &mut gives)?;
        for (part, qty) in gives {
            self.give(owner, part, (self.plant.as_of, qty));
        }
        Ok(())
    }

    fn new_job(&mut self, shop: ShopId, demand: &Demand, qty: Quantity) -> Result<Job, TooLarge> {
        let who = who(self.explosions, self.pace, demand.owner);
        let below = self.explosions.below(who, demand.part, qty)?;
        let known = self.plant.shop(shop);
        let calendar = self.plant.calendar(known.calendar);
        let now = calendar.worked(self.plant.as_of);
        let before_line = |at: Moment| calendar.worked(at) - known.transit;
        let wanted = below.gives.iter().filter_map(|(part, _)| self.wanted.get(&(demand.owner, *part)));
        let first = self
            .plant
            .first_jobs
            .iter()
            .any(|(code, part)| *part == demand.part && *code == self.pace.owners[demand.owner.at()].code);
        let need = if first { now.min(before_line(demand.need)) - AHEAD_OF_ALL } else { before_line(demand.need) };
        let due = wanted.map(|at| before_line(*at)).fold(need, Seconds::min);
        let last = below.not_bought.iter().filter_map(|(part, _)| self.last_lots.get(&(demand.owner, *part)));
        let release = last.map(|free| calendar.worked(*free) + known.ahead).fold(now, Seconds::max);
        Ok(Job {
            shop,
            part: demand.part,
            owner: demand.owner,
            to: demand.to,
            need: demand.need,
            qty,
            started: false,
            times: Times { length: below.length, release, due },
            slot: Slot::default(),
            number: 0,
            below,
            available: Moment::NEVER,
        })
    }

    /// Places the shop's jobs on its crews.
    fn place(&mut self, shop: ShopId, first_job: usize) {
        let started = self.begin(shop, first_job);
        let known = self.plant.shop(shop);
        let calendar = self.plant.calendar(known.calendar);
        let jobs = &mut self.found.jobs[first_job..];
        let rest = (0..jobs.len()).filter(|i| !jobs[*i].started);
        let in_turn = rest.sorted_by_key(|i| (jobs[*i].owner, jobs[*i].part, jobs[*i].to, jobs[*i].need));
        let order = started.iter().copied().chain(in_turn).collect_vec();
        let times = order.iter().map(|i| jobs[*i].times).collect_vec();
        let now = calendar.worked(self.plant.as_of);
        let away = self.plant.crews_less.iter().find(|less| less.shop == shop);
        let away = away.map(|less| (calendar.worked(less.from), calendar.worked(less.until)));
        let slots = schedule(&times, started.len(), known.crews, now, away);
        for (i, slot) in order.into_iter().zip(slots) {
            jobs[i].slot = slot;
            jobs[i].available = calendar.ends(slot.finish + known.transit);
        }
    }

    /// What the shop's jobs need at their start, and what comes off when they are finished.
    fn take_and_give(&mut self, shop: ShopId, first_job: usize) -> Result<(), TooLarge> {
        let known = self.plant.shop(shop);
        for i in first_job..self.found.jobs.len() {
            let job = &self.found.jobs[i];
            if job.below.gives.is_empty() && job.below.not_bought.is_empty() {
                continue;
            }
            let job = job.clone();
            for &(part, qty) in &job.below.gives {
                self.give(job.owner, part, (job.available, qty));
            }
            if job.started {
                // Its material is issued: what other shops made for it is there already.
                let who = who(self.explosions, self.pace, job.owner);
                for (part, qty) in self.explosions.made_for_job(who, job.part, job.qty)? {
                    self.give_at_once(job.owner, part, qty)?;
                }
                continue;
            }
            let need = material_need(self.plant, &job);
            for &(part, qty) in &job.below.not_bought {
                let source = self.plant.part(part).source;
                let demand = Demand { part, need, owner: job.owner, to: known.dest, qty };
                if matches!(source, Source::Make(_)) {
                    self.ask(demand);
                } else if source == Source::ByProduct {
                    self.found.by_products.push(demand);
                }
            }
        }
        Ok(())
    }

    /// Numbers each owner's jobs of a part by need and destination, and tells their pegs when they are there.
    fn number_jobs(&mut self) {
        let jobs = &mut self.found.jobs;
        let places = jobs.iter().enumerate().map(|(i, job)| (job.owner, job.part, job.need, job.to, i));
        let mut order = places.collect_vec();
        order.par_sort_unstable();
        for alike in order.chunk_by(|a, b| (a.0, a.1) == (b.0, b.1)) {
            alike.iter().zip(0..).for_each(|((.., i), number)| jobs[*i].number = number);
        }
        for made in self.found.makes.values_mut() {
            for peg in &mut made.pegs {
                if let Cover::Job(job) = peg.cover {
                    peg.available = Some(jobs[job as usize].available);
                }
            }
        }
    }
}

/// When a job's material is needed in its shop.
pub fn material_need(plant: &Plant, job: &Job) -> Moment {
    let shop = plant.shop(job.shop);
    plant.calendar(shop.calendar).starts(job.slot.start - shop.ahead)
}

/// The unit by whose configuration an owner's bills are exploded; nobody's for those that only extras name.
fn who(explosions: &Explosions<'_>, pace: &Pace, owner: OwnerId) -> Who {
    let owner = &pace.owners[owner.at()];
    owner.unit.filter(|unit| owner.planned && explosions.floorplan_of(*unit).is_some())
}

/// Adds a by-product, and says whether it did; what comes off for nobody in particular goes nowhere.
pub fn give(lots: &mut Lots, pace: &Pace, owner: OwnerId, part: PartId, lot: (Moment, Quantity)) -> bool {
    let somebody = !pace.owners[owner.at()].code.is_empty() && lot.1.is_positive();
    if somebody {
        lots.entry((owner, part)).or_default().push(lot);
    }
    somebody
}
