//! What late material does to jobs: each starts when the last of it is there, and what waits for the job waits longer.

use super::Plan;
use crate::base::{DestId, Moment, OwnerId, PartId};
use crate::check::{DestKind, Plant};
use crate::netting::{Cover, Demand, Peg};
use crate::shops::{self, Job};
use rayon::prelude::*;
use std::collections::{HashMap, HashSet};

/// When something is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum There {
    /// At a moment.
    At(Moment),
    /// Nothing says when.
    Unknown,
}

/// Bought material that is not there when the picking of its run starts: the demand, and when it is there.
type Material = (Demand, There);

/// Something that a job waits for.
#[derive(Clone, Copy)]
enum Input {
    Material(There),
    Job(u32),
}

/// How far a job has been worked out.
#[derive(Clone, Copy)]
enum State {
    New,
    Open,
    Settled,
}

/// When every job is really done, given when its material is there.
pub struct Delays<'p> {
    jobs: &'p [Job],
    plant: &'p Plant,
    there: Vec<There>,
    /// Jobs that have not begun, in order of unit, shop and when their material is needed, then of their numbers.
    by_material: Vec<(OwnerId, DestId, Moment, u32)>,
    /// Jobs from which a by-product of a unit comes off, by when it is there.
    givers: HashMap<(OwnerId, PartId, Moment), Vec<u32>>,
    materials: Vec<Material>,
    /// The demands that by-products of each job serve, and when those were to be there.
    taken: HashMap<u32, Vec<(Demand, Moment)>>,
}

impl<'p> Delays<'p> {
    /// Of all jobs of some owners, by their numbers: a job waits for nothing of others than its own.
    pub fn of(plan: &'p Plan<'_>, doubtful: &[(Demand, Peg)], numbers: &[u32]) -> Self {
        let (plant, jobs) = (plan.plant, plan.jobs.as_slice());
        let mut there = vec![There::Unknown; jobs.len()];
        numbers.iter().map(|number| *number as usize).for_each(|job| there[job] = There::At(jobs[job].available));
        let (by_material, givers, taken) = (Vec::new(), HashMap::new(), HashMap::new());
        let mut delays = Self { jobs, plant, there, by_material, givers, materials: Vec::new(), taken };
        delays.index(numbers);
        delays.read_pegs(plan, doubtful);
        let inputs = delays.inputs(numbers);
        let mut state = vec![State::New; jobs.len()];
        for number in numbers {
            delays.settle(*number as usize, &inputs, &mut state);
        }
        delays
    }

    fn index(&mut self, numbers: &[u32]) {
        for &number in numbers {
            let job = &self.jobs[number as usize];
            if !job.started {
                let (to, need) = (self.plant.shop(job.shop).dest, shops::material_need(self.plant, job));
                self.by_material.push((job.owner, to, need, number));
            }
            for (part, _) in &job.below.gives {
                self.givers.entry((job.owner, *part, job.available)).or_default().push(number);
            }
        }
        self.by_material.par_sort_unstable();
    }

    /// Finds the bought material that is not there, and who takes the by-products of jobs.
    fn read_pegs(&mut self, plan: &Plan<'_>, doubtful: &[(Demand, Peg)]) {
        for &(demand, peg) in doubtful {
            let at_shop = self.at_shop(&demand);
            let picked = || plan.runs.serving(demand.need).map_or(demand.need, |run| run.picked);
            match (peg.cover, peg.available) {
                (Cover::None, _) if at_shop => self.materials.push((demand, There::Unknown)),
                (Cover::Receipt(_), Some(at)) if at_shop && at > picked() => {
                    self.materials.push((demand, There::At(at)));
                }
                (Cover::ByProduct, Some(at)) => {
                    let givers = self.givers.get(&(demand.owner, demand.part, at));
                    for job in givers.into_iter().flatten() {
                        self.taken.entry(*job).or_default().push((demand, at));
                    }
                }
                _ => {}
            }
        }
    }

    /// What each job waits for: its material, the jobs that feed it, and those whose by-products it takes.
    fn inputs(&self, numbers: &[u32]) -> Vec<Vec<Input>> {
        let mut inputs: Vec<Vec<Input>> = vec![Vec::new(); self.jobs.len()];
        let mut add = |demand: &Demand, input: Input| {
            let others = |taker: &u32| !matches!(input, Input::Job(own) if own == *taker);
            self.takers(demand).into_iter().filter(others).for_each(|taker| inputs[taker as usize].push(input));
        };
        self.materials.iter().for_each(|(demand, there)| add(demand, Input::Material(*there)));
        for &number in numbers {
            add(&delivered(&self.jobs[number as usize]), Input::Job(number));
            self.taken_from(number).for_each(|(demand, _)| add(demand, Input::Job(number)));
        }
        inputs
    }

    /// Moves on a job whose material is late, after the jobs it waits for. One that waits for itself is never done.
    fn settle(&mut self, number: usize, inputs: &[Vec<Input>], state: &mut [State]) -> There {
        match state[number] {
            State::Settled => return self.there[number],
            State::Open => return There::Unknown,
            State::New => state[number] = State::Open,
        }
        for input in &inputs[number] {
            let there = match *input {
                Input::Material(there) => there,
                Input::Job(job) => self.settle(job as usize, inputs, state),
            };
            self.there[number] = self.there[number].max(self.done(&self.jobs[number], there));
        }
        state[number] = State::Settled;
        self.there[number]
    }

    /// The jobs that a demand at a shop is for.
    fn takers(&self, demand: &Demand) -> Vec<u32> {
        if !self.at_shop(demand) {
            return Vec::new();
        }
        let place = (demand.owner, demand.to, demand.need);
        let first = self.by_material.partition_point(|&(owner, to, need, _)| (owner, to, need) < place);
        let jobs = self.by_material[first..].iter().take_while(|&&(owner, to, need, _)| (owner, to, need) == place);
        let takes = |number: &u32| {
            self.jobs[*number as usize].below.needs.binary_search_by_key(&demand.part, |need| need.0).is_ok()
        };
        jobs.map(|(.., number)| *number).filter(takes).collect()
    }

    fn at_shop(&self, demand: &Demand) -> bool {
        matches!(self.plant.dest(demand.to).what, DestKind::Shop(_))
    }

    /// When what a job builds is there, if something it needs is there at a moment only.
    fn done(&self, job: &Job, material: There) -> There {
        let There::At(at) = material else { return There::Unknown };
        let shop = self.plant.shop(job.shop);
        let calendar = self.plant.calendar(shop.calendar);
        let start = job.slot.start.max(calendar.worked(at) + shop.ahead);
        There::At(calendar.ends(job.slot.finish + (start - job.slot.start) + shop.transit).max(job.available))
    }

    /// When what a job builds is really there.
    pub fn job(&self, job: usize) -> There {
        self.there[job]
    }

    /// The demands that a job's by-products serve.
    fn taken_from(&self, job: u32) -> impl Iterator<Item = &(Demand, Moment)> {
        self.taken.get(&job).into_iter().flatten()
    }

    /// When a by-product is really there that was to be there at a moment.
    pub fn by_product(&self, demand: &Demand, available: Moment) -> There {
        let givers = self.givers.get(&(demand.owner, demand.part, available)).into_iter().flatten();
        givers.map(|job| self.there[*job as usize]).max().unwrap_or(There::At(available))
    }

    /// The pieces at stations that wait for a material, by-products of its jobs among them: where, which part, its need,
    /// and when it is there.
    pub fn pieces_of(&self, demand: &Demand) -> Vec<(DestId, PartId, Moment, There)> {
        let (mut open, mut seen, mut found) = (self.takers(demand), HashSet::new(), Vec::new());
        while let Some(number) = open.pop() {
            if !seen.insert(number) {
                continue;
            }
            let job = delivered(&self.jobs[number as usize]);
            let by_products = self.taken_from(number).map(|(demand, at)| (*demand, self.by_product(demand, *at)));
            for (demand, there) in by_products.chain([(job, self.there[number as usize])]) {
                if matches!(self.plant.dest(demand.to).what, DestKind::Station { .. }) {
                    found.push((demand.to, demand.part, demand.need, there));
                } else {
                    open.extend(self.takers(&demand));
                }
            }
        }
        found
    }
}

/// What a job delivers, as the demand that it is for.
fn delivered(job: &Job) -> Demand {
    Demand { part: job.part, need: job.need, owner: job.owner, to: job.to, qty: job.qty }
}
