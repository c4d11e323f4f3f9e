//! Conditions of bill lines: single options, one and not another, series; as a bit mask for the generator's own use.

use crate::options::Catalogue;
use fastrand::Rng;

/// A condition over names by number.
#[derive(Clone, Copy, PartialEq)]
pub enum When {
    Always,
    Is(usize),
    Not(usize),
    AndNot(usize, usize),
    And(usize, usize),
    Or(usize, usize),
}

use When::{Always, And, AndNot, Is, Not, Or};

impl When {
    /// As real bills have them: half of the conditions name a single option.
    pub fn draw(catalogue: &Catalogue, rng: &mut Rng) -> Self {
        let a = catalogue.any_option(rng);
        let mut b = catalogue.any_option(rng);
        while b == a {
            b = catalogue.any_option(rng);
        }
        match rng.u32(..100) {
            0..50 => Is(a),
            50..70 => AndNot(a, b),
            70..80 => Or(a, b),
            80..87 => And(a, catalogue.any_series(rng)),
            87..92 => Not(a),
            92..96 => Is(catalogue.any_series(rng)),
            _ => And(a, b),
        }
    }

    pub fn holds(self, names: u128) -> bool {
        let has = |n: usize| names >> n & 1 == 1;
        match self {
            Always => true,
            Is(a) => has(a),
            Not(a) => !has(a),
            AndNot(a, b) => has(a) && !has(b),
            And(a, b) => has(a) && has(b),
            Or(a, b) => has(a) || has(b),
        }
    }

    pub fn text(self, catalogue: &Catalogue) -> String {
        let name = |n: usize| &catalogue.names[n];
        match self {
            Always => String::new(),
            Is(a) => name(a).clone(),
            Not(a) => format!("not {}", name(a)),
            AndNot(a, b) => format!("{} and not {}", name(a), name(b)),
            And(a, b) => format!("{} and {}", name(a), name(b)),
            Or(a, b) => format!("{} or {}", name(a), name(b)),
        }
    }
}
