//! What held and set-aside units would ask for: the plan supplies neither, and the buyer must know what is behind them.
//!
//! Rule `held-and-done`.

use crate::base::{DestId, PartId, Quantity, Total, UnitId};
use crate::check::{DestKind, ExtraFor, Plant, Source};
use crate::configure::{self, Configured};
use crate::explode::{self, Explosions, TooLarge};
use crate::line::Pace;
use std::collections::BTreeMap;

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
        match bought_for(plant, &mut explosions, unit, plant.units[unit.at()].issued, &mut asked) {
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

/// The bought parts of one unit's bill at stations behind the position up to which its material is issued, all make parts built
/// and no by-product taken.
///
/// # Errors
/// Where a quantity becomes too large.
pub fn bought_for(
    plant: &Plant,
    explosions: &mut Explosions<'_>,
    unit: UnitId,
    issued: u32,
    into: &mut Vec<(PartId, Quantity)>,
) -> Result<(), TooLarge> {
    let mut at_stations: BTreeMap<(DestId, PartId), Total> = BTreeMap::new();
    for path in explosions.paths_of(unit).filter(|path| !path.gives) {
        let there = matches!(plant.dest(path.station).what, DestKind::Station { position, .. } if position <= issued);
        if !there {
            *at_stations.entry((path.station, path.part)).or_default() += path.qty.into();
        }
    }
    let in_range =
        |((_, part), qty): ((DestId, PartId), Total)| Ok((part, qty.as_quantity().ok_or(TooLarge::Sum(part))?));
    let mut open: Vec<(PartId, Quantity)> = at_stations.into_iter().map(in_range).collect::<Result<_, _>>()?;
    while let Some((part, qty)) = open.pop() {
        match plant.part(part).source {
            Source::Buy => into.push((part, qty)),
            Source::Make(_) => open.extend(&explosions.below(Some(unit), part, qty)?.needs),
            Source::Phantom | Source::ByProduct => {}
        }
    }
    Ok(())
}
