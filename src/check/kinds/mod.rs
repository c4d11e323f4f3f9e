//! The kinds of findings that reading and planning a plant can give, each with a fixed readable name.

mod choices;
mod every_order;
mod forecast;
mod looks;
mod misses;
mod names;
mod scale;
mod structure;

pub use choices::*;
pub use every_order::*;
pub use forecast::*;
pub use looks::*;
pub use misses::*;
pub use names::*;
pub use scale::*;
pub use structure::*;

use crate::base::Kind;
use itertools::Itertools;

/// All kinds of findings, those of reading files too, by name.
pub fn all() -> Vec<&'static Kind> {
    let parts = [crate::book::kinds::ALL, NAMES, STRUCTURE, CHOICES, LOOKS, EVERY_ORDER, FORECAST, SCALE, MISSES];
    parts.into_iter().flatten().copied().sorted_by_key(|kind| kind.name).collect()
}
