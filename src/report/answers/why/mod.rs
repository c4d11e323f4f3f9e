//! Why a unit needs a part, as text: the answer first, then every path, then what covers it.

mod answer;
mod cover;
mod effect;
mod jobs;
mod missed;
mod needed;
mod paths;
mod steps;
mod unit;

pub use unit::text as unit_text;

use crate::report::prose::Prose;
use crate::why::facts::{Outcome, Why};

/// In plain text: the answer in short, then every path, what covers it, and what would have to be otherwise.
pub fn text(why: &Why) -> String {
    let mut prose = Prose::default();
    answer::write(why, &mut prose);
    effect::write(why, &mut prose);
    paths::write(why, &mut prose);
    cover::write(why, &mut prose);
    let not = |outcome: &Outcome| matches!(outcome, Outcome::NotActive { .. } | Outcome::Nothing { .. });
    if answer::own(why).any(|path| !not(&path.outcome)) {
        jobs::write(&why.jobs, &mut prose);
    }
    prose.done()
}
