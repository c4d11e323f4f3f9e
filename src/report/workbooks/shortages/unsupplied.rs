//! What held and set-aside units would ask for: the plan supplies neither, and the buyer must know what is behind them.
//!
//! Rule `held-and-done`.

use crate::base::{Total, UnitId};
use crate::check::{ExtraFor, Plant};
use crate::configure::{self, Configured};
use crate::explode;
use crate::line::Pace;

/// What the bills of units that the plan does not supply ask for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Unsupplied {
    /// For each part what they would need, stock not counted; bought parts only.
    pub needs: Vec<Total>,
    /// The units whose order is wrong: what they need is not known.
    pub unknown: Vec<UnitId>,
}

/// Explodes the bills of units that the plan does not supply: held ones, and those that are set aside.
pub fn unsupplied(plant: &Plant, pace: &Pace, held: &[UnitId], set_aside: &[UnitId]) -> Unsupplied {
    let mut found = Unsupplied { needs: vec![Total::ZERO; plant.parts.len()], unknown: Vec::new() };
    let mut configured: Configured = vec![None; plant.units.len()];
    for &unit in held.iter().chain(set_aside) {
        configured[unit.at()] = configure::order(plant, &plant.units[unit.at()]);
        if configured[unit.at()].is_none() {
            found.unknown.push(unit);
        }
    }
    let Ok(mut explosions) = explode::explode(plant, &configured, pace) else {
        found.unknown = held.iter().chain(set_aside).copied().collect();
        return found;
    };
    for &unit in held.iter().chain(set_aside) {
        let mut asked = Vec::new();
        match explosions.bought_for(unit, plant.units[unit.at()].issued, &mut asked) {
            Ok(()) => asked.into_iter().for_each(|(part, qty)| found.needs[part.at()] += qty.into()),
            Err(_) => found.unknown.push(unit),
        }
    }
    // What extras ask for held units is in the plan; a set-aside unit's are set aside with it.
    for extra in &plant.extras {
        if matches!(&extra.owner, ExtraFor::Unit(unit) if set_aside.contains(unit)) && plant.part(extra.part).bought() {
            found.needs[extra.part.at()] += extra.qty.into();
        }
    }
    found
}
