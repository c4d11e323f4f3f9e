//! What late material does to jobs: each starts when the last of it is there, and what waits for the job waits longer.

use super::Plan;
use crate::base::{DestId, Moment, OwnerId, PartId, Quantity};
use crate::check::{DestKind, Plant};
use crate::netting::{Cover, Demand, Peg};
use crate::shops::{self, Job};
use std::collections::{HashMap, HashSet};

/// When something is there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum There {
    /// At a moment.
    At(Moment),
    /// Nothing says when.
    Unknown,
}

/// Material that is not there when the picking of its run starts: the demand, how much of it, and when it is there.
type Material = (Demand, Quantity, There);

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
    /// Jobs that have not begun, by unit, shop and when their material is needed.
    by_material: HashMap<(OwnerId, DestId, Moment), Vec<u32>>,
    /// Jobs from which a by-product of a unit comes off, by when it is there.
    givers: HashMap<(OwnerId, PartId, Moment), Vec<u32>>,
    materials: Vec<Material>,
}

impl<'p> Delays<'p> {
    /// Of a plan.
    pub fn of(plan: &'p Plan<'_>, doubtful: &[(Demand, Peg)]) -> Self {
        let (plant, jobs) = (plan.plant, plan.jobs.as_slice());
        let there = jobs.iter().map(|job| There::At(job.available)).collect();
        let (by_material, givers, materials) = (HashMap::new(), HashMap::new(), Vec::new());
        let mut delays = Self { jobs, plant, there, by_material, givers, materials };
        delays.index();
        let taken = delays.read_pegs(plan, doubtful);
        let inputs = delays.inputs(&taken);
        let mut state = vec![State::New; jobs.len()];
        for number in 0..jobs.len() {
            delays.settle(number, &inputs, &mut state);
        }
        delays
    }

    fn index(&mut self) {
        for (job, number) in self.jobs.iter().zip(0_u32..) {
            if !job.started {
                let key = (job.owner, self.plant.shop(job.shop).dest, shops::material_need(self.plant, job));
                self.by_material.entry(key).or_default().push(number);
            }
            for (part, _) in &job.below.gives {
                self.givers.entry((job.owner, *part, job.available)).or_default().push(number);
            }
        }
    }

    /// Finds the material that is not there; gives the by-products that jobs take, by the job they come off.
    fn read_pegs(&mut self, plan: &Plan<'_>, doubtful: &[(Demand, Peg)]) -> HashMap<u32, Vec<Demand>> {
        let mut taken: HashMap<u32, Vec<Demand>> = HashMap::new();
        let at_shops =
            doubtful.iter().filter(|(demand, _)| matches!(self.plant.dest(demand.to).what, DestKind::Shop(_)));
        for &(demand, peg) in at_shops {
            let picked = plan.runs.serving(demand.need).map_or(demand.need, |run| run.picked);
            match (peg.cover, peg.available) {
                (Cover::None, _) => self.materials.push((demand, peg.qty, There::Unknown)),
                (Cover::Receipt(_), Some(at)) if at > picked => {
                    self.materials.push((demand, peg.qty, There::At(at)));
                }
                (Cover::ByProduct, Some(at)) => {
                    let givers = self.givers.get(&(demand.owner, demand.part, at));
                    givers.into_iter().flatten().for_each(|job| taken.entry(*job).or_default().push(demand));
                }
                _ => {}
            }
        }
        taken
    }

    /// What each job waits for: its material, the jobs that feed it, and those whose by-products it takes.
    fn inputs(&self, taken: &HashMap<u32, Vec<Demand>>) -> Vec<Vec<Input>> {
        let mut inputs: Vec<Vec<Input>> = vec![Vec::new(); self.jobs.len()];
        let mut add = |demand: &Demand, input: Input| {
            let others = |taker: &u32| !matches!(input, Input::Job(own) if own == *taker);
            self.takers(demand).into_iter().filter(others).for_each(|taker| inputs[taker as usize].push(input));
        };
        self.materials.iter().for_each(|(demand, _, there)| add(demand, Input::Material(*there)));
        for (job, number) in self.jobs.iter().zip(0_u32..) {
            add(&delivered(job), Input::Job(number));
            taken.get(&number).into_iter().flatten().for_each(|demand| add(demand, Input::Job(number)));
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
        let jobs = self.by_material.get(&(demand.owner, demand.to, demand.need)).into_iter().flatten().copied();
        let takes = |number: &u32| {
            self.jobs[*number as usize].below.needs.binary_search_by_key(&demand.part, |need| need.0).is_ok()
        };
        jobs.filter(takes).collect()
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

    /// When a by-product is really there.
    pub fn by_product(&self, demand: &Demand, peg: &Peg) -> There {
        let Some(available) = peg.available else { return There::At(demand.need) };
        let givers = self.givers.get(&(demand.owner, demand.part, available)).into_iter().flatten();
        givers.map(|job| self.there[*job as usize]).max().unwrap_or(There::At(available))
    }

    /// Material of jobs that is not there when the picking of its run starts.
    pub fn materials(&self) -> impl Iterator<Item = Material> {
        self.materials.iter().copied()
    }

    /// The pieces at stations that wait for a material: where, which part, its need, and when it is there.
    pub fn pieces_of(&self, demand: &Demand) -> Vec<(DestId, PartId, Moment, There)> {
        let (mut open, mut seen, mut found) = (self.takers(demand), HashSet::new(), Vec::new());
        while let Some(number) = open.pop() {
            if !seen.insert(number) {
                continue;
            }
            let job = &self.jobs[number as usize];
            if matches!(self.plant.dest(job.to).what, DestKind::Station { .. }) {
                found.push((job.to, job.part, job.need, self.there[number as usize]));
            } else {
                open.extend(self.takers(&delivered(job)));
            }
        }
        found
    }
}

/// What a job delivers, as the demand that it is for.
fn delivered(job: &Job) -> Demand {
    Demand { part: job.part, need: job.need, owner: job.owner, to: job.to, qty: job.qty }
}
