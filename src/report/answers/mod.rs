//! The answers of `why` and `uses` in words; what they tell is worked out in the modules of these names.

pub mod uses;
pub mod why;
