//! The shortest way from the carts as they are picked to the carts as they should be: leave, move, bring back, pick.

use super::carts::{self, Held, Kit, Material};
use super::code::Code;
use super::rows::PlanRows;
use super::settled::{Settled, settle};
use crate::base::{Moment, Quantity, StorageKey};
use serde::Serialize;
use std::collections::BTreeMap;

/// What is done with some pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Act {
    /// They stay where they are.
    Leave,
    /// They go from one kit to another.
    Move,
    /// They go from a kit back to the stores.
    BringBack,
    /// They are taken from the stores.
    Pick,
}

impl Act {
    /// In a word or two.
    pub fn word(self) -> &'static str {
        match self {
            Self::Leave => "leave",
            Self::Move => "move",
            Self::BringBack => "bring back",
            Self::Pick => "pick",
        }
    }
}

/// What is done with pieces of one part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Task {
    /// What is done.
    pub act: Act,
    /// What is carried.
    pub part: Code,
    /// Its unit of measure.
    pub uom: Code,
    /// How much of it.
    pub qty: Quantity,
    /// The kit it is in; none where it is picked.
    pub from: Option<Kit>,
    /// The kit it goes to; none where it is brought back.
    pub to: Option<Kit>,
    /// When the kit it is for needs it first.
    pub need: Option<Moment>,
}

/// All that is to be carried between kits that are picked, and what can stay.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct CartTour {
    /// All runs up to this one are picked.
    pub through: Moment,
    /// What is done, part by part.
    pub tasks: Vec<Task>,
    /// What is no longer asked for because it is where it belongs.
    pub settled: Vec<Settled>,
}

/// Some pieces of a kit that are too many or too few.
struct Open<'c> {
    kit: &'c Kit,
    qty: Quantity,
    need: Moment,
}

/// The way from the old plan's carts to the new one's, all runs up to `through` picked.
///
/// What the new plan counts as used, delivered or issued stays out of it ([`settle`]). Of each part, what a kit has and should have stays; then what a kit has too much of goes to kits that have too little:
/// first to the same unit at another station, then to whoever needs it soonest, from the same station if there is some. What
/// is still too much is brought back, what still lacks is picked. No way handles fewer pieces: each piece too many must be
/// taken out and each that lacks put in, and a move does both at once, as often as there are both.
pub fn walk(old: &PlanRows, new: &PlanRows, through: Moment, as_of: Option<Moment>) -> CartTour {
    let (mut has, should) = (carts::picked(old, through), carts::picked(new, through));
    let settled = settle(&mut has, old, new, as_of);
    let mut tasks = Vec::new();
    let nothing = BTreeMap::new();
    let mut materials: Vec<&Material> = has.keys().chain(should.keys()).collect();
    materials.sort();
    materials.dedup();
    for material in materials {
        let has = has.get(material).unwrap_or(&nothing);
        let should = should.get(material).unwrap_or(&nothing);
        of_material(material, has, should, &mut tasks);
    }
    CartTour { through, tasks, settled }
}

/// Something to do with pieces of a material.
pub(super) fn task(
    act: Act,
    material: &Material,
    qty: Quantity,
    from: Option<&Kit>,
    to: Option<&Kit>,
    need: Option<Moment>,
) -> Task {
    let (part, uom) = (material.part.clone(), material.uom.clone());
    Task { act, part, uom, qty, from: from.cloned(), to: to.cloned(), need }
}

fn of_material(material: &Material, has: &BTreeMap<Kit, Held>, should: &BTreeMap<Kit, Held>, tasks: &mut Vec<Task>) {
    let amount = |kits: &BTreeMap<Kit, Held>, kit: &Kit| kits.get(kit).map_or(Quantity::ZERO, |held| held.qty);
    for (kit, held) in has {
        let stays = held.qty.min(amount(should, kit));
        if stays.is_positive() {
            let need = should.get(kit).map(|held| held.need);
            tasks.push(task(Act::Leave, material, stays, Some(kit), Some(kit), need));
        }
    }
    let mut over = beyond(has, |kit| amount(should, kit));
    let mut lack = beyond(should, |kit| amount(has, kit));
    over.sort_by_cached_key(|open| (StorageKey::new(open.kit.to.text()), open.kit));
    lack.sort_by_key(|open| (open.need, open.kit));
    give(material, &mut over, &mut lack, &[|over, lack| over.unit == lack.unit && !over.unit.is_blank()], tasks);
    give(material, &mut over, &mut lack, &[|over, lack| over.to == lack.to, |_, _| true], tasks);
    let left = |open: &&Open<'_>| open.qty.is_positive();
    for open in over.iter().filter(left) {
        tasks.push(task(Act::BringBack, material, open.qty, Some(open.kit), None, None));
    }
    for open in lack.iter().filter(left) {
        tasks.push(task(Act::Pick, material, open.qty, None, Some(open.kit), Some(open.need)));
    }
}

/// What kits have beyond what they have on the other side.
fn beyond<'c>(kits: &'c BTreeMap<Kit, Held>, other: impl Fn(&Kit) -> Quantity) -> Vec<Open<'c>> {
    let open = kits.iter().map(|(kit, held)| Open { kit, qty: held.qty - other(kit), need: held.need });
    open.filter(|open| open.qty.is_positive()).collect()
}

/// Whether what is too much in one kit is near enough to one that lacks it.
type Near = fn(&Kit, &Kit) -> bool;

/// Moves what is too much to what lacks: each lack in order takes from the nearest.
fn give(material: &Material, over: &mut [Open<'_>], lack: &mut [Open<'_>], near: &[Near], tasks: &mut Vec<Task>) {
    for lack in lack {
        for near in near {
            for over in over.iter_mut().filter(|over| near(over.kit, lack.kit)) {
                let qty = over.qty.min(lack.qty);
                if qty.is_positive() {
                    over.qty -= qty;
                    lack.qty -= qty;
                    tasks.push(task(Act::Move, material, qty, Some(over.kit), Some(lack.kit), Some(lack.need)));
                }
            }
        }
    }
}
