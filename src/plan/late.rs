//! Whether something is late: there after it is needed, the late material of its jobs waited for.

use super::{Plan, There};
use crate::base::Moment;
use crate::netting::{Cover, Demand, Peg};

/// How late something is; the later, the more.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Late {
    /// It is there when it is needed.
    InTime,
    /// It is there so many minutes of the clock later, rounded up.
    By(i64),
    /// Nothing says when it is there.
    NotKnown,
}

impl Late {
    /// Of something that is there at one moment and needed at another.
    pub fn of(there: There, need: Moment) -> Self {
        match there {
            There::At(at) if at <= need => Self::InTime,
            There::At(at) => Self::By(need.minutes_until(at)),
            There::Unknown => Self::NotKnown,
        }
    }

    /// `late 20 min`, `late, no time known`; blank where it is in time.
    pub fn words(self) -> String {
        match self {
            Self::InTime => String::new(),
            Self::By(minutes) => format!("late {minutes} min"),
            Self::NotKnown => "late, no time known".to_owned(),
        }
    }
}

impl There {
    /// The moment, where one is known.
    pub fn moment(self) -> Option<Moment> {
        match self {
            Self::At(at) => Some(at),
            Self::Unknown => None,
        }
    }
}

impl Plan<'_> {
    /// When what a job builds is there, its late material waited for.
    pub fn job_there(&self, job: usize) -> There {
        self.there[job]
    }

    /// How late what a job builds is, its late material waited for.
    pub fn job_late(&self, job: usize) -> Late {
        Late::of(self.there[job], self.jobs[job].need)
    }

    /// How many jobs are late.
    pub fn late_jobs(&self) -> usize {
        (0..self.jobs.len()).filter(|job| self.job_late(*job) != Late::InTime).count()
    }

    /// When a piece of a demand is there, the late material of the job waited for that it comes from; `None` of one that lies there.
    pub fn piece_there(&self, demand: &Demand, cover: Cover, available: Option<Moment>) -> Option<There> {
        match cover {
            Cover::None => Some(There::Unknown),
            Cover::Job(job) => Some(self.job_there(job as usize)),
            Cover::ByProduct => available.map(|at| self.judge().delays.by_product(demand, at)),
            Cover::Receipt(_) => available.map(There::At),
            Cover::Reserved | Cover::Lineside | Cover::Stock => None,
        }
    }

    /// How late a piece of a demand is, the late material of the job waited for that it comes from.
    pub fn piece_late(&self, demand: &Demand, peg: &Peg) -> Late {
        self.piece_there(demand, peg.cover, peg.available).map_or(Late::InTime, |there| Late::of(there, demand.need))
    }
}
