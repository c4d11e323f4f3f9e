//! The answers of `why`, `uses` and `weigh` in words; what they tell is worked out in the modules of these names.

pub mod uses;
pub mod weight_facts;
pub mod weights;
pub mod why;
