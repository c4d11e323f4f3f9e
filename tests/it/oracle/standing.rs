//! How a unit stands, and the material of a job: the worst of their pegs.
//!
//! Rule `unit-states`.

use super::shops::Job;
use super::supply::Peg;

/// Clear, late or short, with what says so.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing {
    Clear,
    /// The part of the first late peg, and when the last of them is there.
    Late(String, i64),
    /// The part of the first short peg.
    Short(String),
}

/// The standing of a unit of some rank.
pub fn of_unit(pegs: &[Peg], rank: usize) -> Standing {
    of_pegs(pegs.iter().filter(|peg| peg.demand.rank == rank).collect())
}

/// The standing of a job's material: the unit's demands at the shop with the job's need.
pub fn of_material(pegs: &[Peg], job: &Job) -> Standing {
    let below = pegs.iter().filter(|peg| {
        let demand = &peg.demand;
        demand.rank == job.draft.demand.rank && demand.to == job.draft.shop && demand.need == job.material_need
    });
    of_pegs(below.collect())
}

fn of_pegs(mut pegs: Vec<&Peg>) -> Standing {
    pegs.sort_by_key(|peg| (peg.demand.need, peg.demand.part.clone()));
    if let Some(first) = pegs.iter().find(|peg| peg.is_short()) {
        return Standing::Short(first.demand.part.clone());
    }
    let late: Vec<&&Peg> = pegs.iter().filter(|peg| peg.late() > 0).collect();
    match late.first() {
        Some(first) => {
            let last = late.iter().filter_map(|peg| peg.available).max();
            Standing::Late(first.demand.part.clone(), last.expect("late pegs come"))
        }
        None => Standing::Clear,
    }
}
