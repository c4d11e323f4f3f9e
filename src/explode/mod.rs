//! Bills exploded: what each unit needs at which station, and what a job needs, gives and takes in time.
//!
//! Rules `active-lines`, `explosion`, `by-products`.

mod below;
mod bought;
mod guards;
mod paths;

pub use below::Below;
pub use guards::{GuardId, Guards};
pub use paths::{Path, Paths};

use crate::base::{ChangeId, PartId, Quantity, UnitId};
use crate::check::follow::{self, from_below};
use crate::check::{BillLine, Plant};
use crate::configure::Configured;
use crate::line::Pace;
use foldhash::fast::FixedState;
use std::collections::HashMap;
use std::sync::Arc;

/// Whose bill is exploded: a unit of the sequence, or nobody's in particular.
pub type Who = Option<UnitId>;

/// Whether a unit is inside a change.
pub type Reached<'r> = dyn Fn(UnitId, ChangeId) -> bool + Sync + 'r;

/// Why a sound plant can't be planned: a number or a list becomes too large.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TooLarge {
    /// A part's quantity, multiplied out down to the bill line on a row.
    Line(PartId, u32),
    /// A part's quantity, all that one job needs or all that is asked of a shop added up.
    Sum(PartId),
    /// The time of a job that makes a part.
    Time(PartId),
    /// The lists of what is below different jobs, all together.
    BelowJobs,
    /// More than `MOST_JOBS` of them.
    Jobs,
    /// Conditions (and sets of them), names and changes, so many, each with a truth for each unit.
    Truths(usize),
}

/// All explosions of a plan: every path down a floorplan's bill once, and for each unit which of them count.
pub struct Explosions<'a> {
    plant: &'a Plant,
    /// What must hold for lines and paths, and for whom it holds.
    pub guards: Guards,
    /// The paths of each floorplan.
    pub floorplans: Vec<Paths>,
    /// For each unit its floorplan, where it has a configuration.
    of_unit: Vec<Option<usize>>,
    below: HashMap<below::Key, Arc<Below>, FixedState>,
    /// How long their lists are together.
    below_in_all: usize,
    /// For each make part what its jobs depend on.
    asked_below: Vec<Vec<GuardId>>,
    /// For each part, whether any by-product comes off below it.
    yields: Vec<bool>,
}

/// Explodes the bills of all units that have a configuration.
///
/// # Errors
/// Where a quantity becomes too large.
pub fn explode<'a>(plant: &'a Plant, configured: &Configured, pace: &Pace) -> Result<Explosions<'a>, TooLarge> {
    explode_as(plant, configured, pace, &|unit, change| pace.reached(plant, unit, change))
}

/// The same with another answer to which unit is inside which change.
///
/// # Errors
/// Where a quantity becomes too large.
pub fn explode_as<'a>(
    plant: &'a Plant,
    configured: &Configured,
    pace: &Pace,
    reached: &Reached<'_>,
) -> Result<Explosions<'a>, TooLarge> {
    let mut guards = Guards::of_lines(plant);
    let floorplans: Vec<Paths> =
        (0..plant.floorplans.len()).map(|floorplan| Paths::of(plant, floorplan, &mut guards)).collect();
    guards.judge(plant, configured, pace, reached)?;
    let of_unit = configured.iter().zip(&plant.units).map(|(names, unit)| {
        let floorplan = unit.floorplan.as_ref().ok().filter(|_| names.is_some());
        floorplan.map(|floorplan| floorplan.at())
    });
    let mut explosions = Explosions {
        plant,
        guards,
        floorplans,
        of_unit: of_unit.collect(),
        below: HashMap::default(),
        below_in_all: 0,
        asked_below: Vec::new(),
        yields: from_below(plant, |_, bill, known| bill.iter().any(|line| line.gives || known[line.part.at()])),
    };
    explosions.find_asked_below();
    explosions.too_large().map_or(Ok(explosions), Err)
}

impl<'a> Explosions<'a> {
    /// The floorplan by which a unit is exploded; `None` for one that has no configuration.
    pub fn floorplan_of(&self, unit: UnitId) -> Option<usize> {
        self.of_unit[unit.at()]
    }

    /// Takes a unit's configuration away.
    pub fn set_aside(&mut self, unit: UnitId) {
        self.of_unit[unit.at()] = None;
    }

    /// The paths that count for a unit, in the order of the bills.
    pub fn paths_of(&self, unit: UnitId) -> impl Iterator<Item = &Path> {
        let floorplan = self.of_unit[unit.at()].map(|floorplan| &self.floorplans[floorplan]);
        let all = floorplan.into_iter().flat_map(|paths| &paths.all);
        all.filter(move |path| self.guards.holds(path.guard, Some(unit)))
    }

    /// The same without bought parts.
    pub fn made_for(&self, unit: UnitId) -> impl Iterator<Item = &Path> {
        let floorplan = self.of_unit[unit.at()].map(|floorplan| &self.floorplans[floorplan]);
        let made = floorplan.into_iter().flat_map(|paths| &paths.made);
        made.filter(move |path| self.guards.holds(path.guard, Some(unit)))
    }

    /// How much a line takes or gives for so much of its parent; nothing where it does not count, or nothing is left.
    fn taken(&self, who: Who, (at, line): (usize, &BillLine), parent: Quantity) -> Result<Option<Quantity>, TooLarge> {
        if !self.guards.holds(self.guards.of_line(at), who) {
            return Ok(None);
        }
        let qty = parent.times(line.factor).ok_or(TooLarge::Line(line.part, line.row))?;
        Ok(Some(qty).filter(|qty| qty.is_positive()))
    }

    /// The first part whose quantity is too large for some unit.
    fn too_large(&self) -> Option<TooLarge> {
        if self.floorplans.iter().all(|paths| paths.too_large.is_empty()) {
            return None;
        }
        let of_unit = |unit: usize| {
            let too_large = &self.floorplans[self.of_unit[unit]?].too_large;
            let holds = |guard| self.guards.holds(guard, Some(UnitId::of(unit)));
            too_large.iter().find(|(guard, ..)| holds(*guard)).map(|(_, part, row)| TooLarge::Line(*part, *row))
        };
        (0..self.of_unit.len()).find_map(of_unit)
    }

    /// Whether any by-product comes off below a part.
    pub fn yields(&self, part: PartId) -> bool {
        self.yields[part.at()]
    }

    /// All by-products below a quantity of a make part that is there already, along every path: phantoms and make parts of
    /// whichever shop are followed down.
    ///
    /// # Errors
    /// Where a quantity becomes too large.
    pub fn gives_of(
        &self,
        who: Who,
        part: PartId,
        qty: Quantity,
        into: &mut Vec<(PartId, Quantity)>,
    ) -> Result<(), TooLarge> {
        if !self.yields[part.at()] {
            return Ok(());
        }
        follow::try_down(self.plant, self.plant.part(part).bill.clone(), qty, &mut |at, line, above| {
            let Some(qty) = self.taken(who, (at, line), above)? else { return Ok(None) };
            if line.gives {
                into.push((line.part, qty));
            }
            Ok(Some(qty).filter(|_| !line.gives && self.yields[line.part.at()]))
        })
    }
}
