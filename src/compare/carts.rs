//! What stands on the carts of the runs picked so far: of each material, how much in which kit.

use super::code::Code;
use super::rows::PlanRows;
use super::runs::Runs;
use crate::base::{Moment, Quantity};
use serde::Serialize;
use std::collections::BTreeMap;

/// A part in a unit of measure.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Material {
    /// What lies on the cart.
    pub part: Code,
    /// Its unit of measure.
    pub uom: Code,
}

/// What a unit gets at a station or shop, with whichever run; without a unit it is bulk at that place, or for nobody.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Kit {
    /// The station or shop.
    pub to: Code,
    /// The unit; blank for bulk.
    pub unit: Code,
}

/// What a kit holds of a material.
#[derive(Clone, Debug)]
pub struct Held {
    /// How much is there.
    pub qty: Quantity,
    /// When the first of it is needed.
    pub need: Moment,
}

/// Of each material, which kits hold how much.
pub type Carts = BTreeMap<Material, BTreeMap<Kit, Held>>;

/// The carts of all runs up to one, that one included, with what was there when each was picked: all that is pulled, less
/// what nothing covers and what comes after its picking starts. Bulk counts in the packs that are pulled.
pub fn picked(rows: &PlanRows, through: Moment) -> Carts {
    let missing = missing(rows);
    let mut carts = Carts::new();
    for pull in rows.pulls.iter().filter(|pull| pull.wave <= through) {
        let lacking = missing.get(&(&pull.part, &pull.to, &pull.unit, pull.wave)).filter(|_| !pull.bulk());
        let qty = pull.qty - lacking.copied().unwrap_or_default();
        if !qty.is_positive() {
            continue;
        }
        let material = Material { part: pull.part.clone(), uom: pull.uom.clone() };
        let kit = Kit { to: pull.to.clone(), unit: pull.unit.clone() };
        let fresh = Held { qty: Quantity::ZERO, need: pull.need };
        let held = carts.entry(material).or_default().entry(kit).or_insert(fresh);
        held.qty += qty;
        held.need = held.need.min(pull.need);
    }
    carts
}

/// Part, destination, unit and run.
type Line<'r> = (&'r Code, &'r Code, &'r Code, Moment);

/// What is not there when a kit's run is picked.
fn missing(rows: &PlanRows) -> BTreeMap<Line<'_>, Quantity> {
    let runs = Runs::of(rows);
    let mut missing: BTreeMap<Line<'_>, Quantity> = BTreeMap::new();
    for peg in rows.pegs.iter().filter(|peg| matches!(peg.cover.text(), "none" | "receipt")) {
        let Some((wave, picking)) = runs.serving(&peg.part, &peg.to, &peg.unit, peg.need) else { continue };
        if peg.available.is_none_or(|available| available > picking) {
            *missing.entry((&peg.part, &peg.to, &peg.unit, wave)).or_default() += peg.qty;
        }
    }
    missing
}
