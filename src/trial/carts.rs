//! How much of what is picked a trial would have moved or brought back: what [`compare::walk`](crate::compare::walk) tells of
//! two plans of one plant, added up by the numbers of parts, places and units. Only `units` of the plant differ in a trial,
//! so that the numbers mean the same in both; the walk itself, in codes, is made for what is told.

use crate::base::{DestId, Moment, MustBe, OwnerId, PartId, Quantity, Total, UnitId};
use crate::check::{Issue, Plant};
use crate::netting::Cover;
use crate::plan::{Material, Plan, UnitPlan};
use crate::pulls::Pull;
use std::collections::{BTreeMap, BTreeSet};

/// For whom something is, by a number that is the same whatever the order of the sequence.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum For {
    /// Nobody in particular, or everybody: bulk.
    Nobody,
    /// A unit of the sequence.
    Unit(UnitId),
    /// A unit that only extras name, by the first of them.
    Extra(usize),
}

/// What a unit gets at a station or shop.
type Kit = (DestId, For);

/// A part in a kit.
type Line = (PartId, Kit);

/// How much of a part is in a kit, and when the first of it is needed; never where nothing was there.
#[derive(Clone, Copy, Debug)]
struct Held {
    qty: Quantity,
    need: Moment,
}

/// The carts of a plan's runs up to one, that one included, as they are picked.
pub struct Carts<'p> {
    through: Moment,
    as_of: Option<Moment>,
    held: BTreeMap<Line, Held>,
    /// The units of the plan.
    units: Vec<Option<&'p UnitPlan>>,
}

impl<'p> Carts<'p> {
    /// Of a plan; what was needed before `as_of` and is no longer asked for counts as used.
    pub fn of(plan: &'p Plan<'_>, through: Moment, as_of: Option<Moment>) -> Self {
        let (owners, lacking) = (owners(plan), lacking(plan, through));
        let mut held = BTreeMap::new();
        plan.each_pull(|pull| {
            if pull.run.leaves <= through {
                take(plan.plant, &owners, &lacking, pull, &mut held);
            }
        });
        held.retain(|_, held| held.qty.is_positive());
        Self { through, as_of, held, units: by_unit(plan) }
    }

    /// What must be taken out of the kits for these carts to become those of another plan.
    pub fn to_move(&self, plan: &Plan<'_>) -> Total {
        let (owners, lacking) = (owners(plan), lacking(plan, self.through));
        let mut should: BTreeMap<Line, Held> = BTreeMap::new();
        // What the runs up to the last one picked don't ask for, later ones may. Pulls come in order of their runs.
        let mut unasked: Option<BTreeSet<Line>> = None;
        let unasked_by = |should: &BTreeMap<Line, Held>| -> BTreeSet<Line> {
            self.held.keys().filter(|line| !should.contains_key(line)).copied().collect()
        };
        plan.each_pull(|pull| {
            if pull.run.leaves <= self.through {
                take(plan.plant, &owners, &lacking, pull, &mut should);
            } else {
                let unasked = unasked.get_or_insert_with(|| unasked_by(&should));
                if !unasked.is_empty() {
                    unasked.remove(&line(&owners, pull));
                }
            }
        });
        let mut unasked = unasked.unwrap_or_else(|| unasked_by(&should));
        self.keep_what_is_asked(plan, &owners, &mut unasked);
        let over = self.held.iter().filter(|(line, _)| !unasked.contains(line)).map(|(line, held)| {
            let should = should.get(line).map_or(Quantity::ZERO, |should| should.qty);
            (held.qty - should).max(Quantity::ZERO)
        });
        over.sum()
    }

    /// Leaves, of what another plan's pulls don't ask for, only what stays where it is: used, issued or delivered, as
    /// [`compare::settle`](crate::compare::settle) has it.
    fn keep_what_is_asked(&self, plan: &Plan<'_>, owners: &[For], unasked: &mut BTreeSet<Line>) {
        let used = |line: &Line| self.as_of.is_some_and(|as_of| self.held[line].need < as_of);
        let others: BTreeSet<Line> = unasked.iter().filter(|line| !used(line)).copied().collect();
        if others.is_empty() {
            return;
        }
        let begun: BTreeSet<Kit> = begun(plan, owners).collect();
        let now = by_unit(plan);
        let earlier = |of: For| matches!(of, For::Unit(unit) if moved_up(self.units[unit.at()], now[unit.at()]));
        let (delivered, wrong): (Vec<Line>, Vec<Line>) =
            others.into_iter().filter(|(_, kit)| !begun.contains(kit)).partition(|(_, (_, of))| earlier(*of));
        wrong.iter().for_each(|line| _ = unasked.remove(line));
        if delivered.is_empty() {
            return;
        }
        let kits: BTreeSet<Kit> = delivered.iter().map(|(_, kit)| *kit).collect();
        let needing = needing(plan, owners, &kits);
        delivered.iter().filter(|(_, kit)| needing.contains(kit)).for_each(|line| _ = unasked.remove(line));
    }
}

/// Whom each owner is.
fn owners(plan: &Plan<'_>) -> Vec<For> {
    let named = |owner: usize| plan.pace.extra_owners.iter().position(|other| other.at() == owner);
    let owners = plan.pace.owners.iter().enumerate().map(|(i, owner)| match owner.unit {
        Some(unit) => For::Unit(unit),
        None if owner.code.is_empty() => For::Nobody,
        None => For::Extra(named(i).must("an owner is neither a unit nor named by an extra")),
    });
    owners.collect()
}

fn line(owners: &[For], pull: &Pull) -> Line {
    (pull.part, (pull.to, pull.owner.map_or(For::Nobody, |owner| owners[owner.at()])))
}

/// Puts a pull into its kit, less what is not there when it is picked.
fn take(plant: &Plant, owners: &[For], lacking: &Lacking, pull: &Pull, held: &mut BTreeMap<Line, Held>) {
    let bulk = plant.part(pull.part).issue == Issue::Bulk;
    let lacks = pull.owner.filter(|_| !bulk).and_then(|owner| {
        let of_part = lacking.get(&pull.part)?;
        of_part.get(&(pull.run.leaves, pull.to, owner))
    });
    let qty = pull.qty - lacks.copied().unwrap_or_default();
    let there = if qty.is_positive() {
        Held { qty, need: pull.need }
    } else {
        Held { qty: Quantity::ZERO, need: Moment::NEVER }
    };
    let held = held.entry(line(owners, pull)).or_insert(Held { qty: Quantity::ZERO, need: Moment::NEVER });
    held.qty += there.qty;
    held.need = held.need.min(there.need);
}

/// What is not there when its run is picked: of each part, by run, destination and owner.
type Lacking = BTreeMap<PartId, BTreeMap<(Moment, DestId, OwnerId), Quantity>>;

fn lacking(plan: &Plan<'_>, through: Moment) -> Lacking {
    let mut lacking = Lacking::new();
    let until = plan.runs.end_of(|run| run.leaves <= through);
    for part in (0..plan.plant.parts.len()).map(PartId::of) {
        for doubt in plan.doubts_before(part, until) {
            let run = plan.runs.serving(doubt.demand.need);
            if let (Some(run), Cover::None | Cover::Receipt(_)) = (run, doubt.cover) {
                let of_part = lacking.entry(part).or_default();
                *of_part.entry((run.leaves, doubt.demand.to, doubt.demand.owner)).or_default() += doubt.qty;
            }
        }
    }
    lacking
}

/// Kits of jobs whose material is issued.
fn begun(plan: &Plan<'_>, owners: &[For]) -> impl Iterator<Item = Kit> {
    let jobs = plan.jobs.iter().zip(&plan.materials).filter(|(_, material)| **material == Material::Issued);
    jobs.map(|(job, _)| (plan.plant.shop(job.shop).dest, owners[job.owner.at()]))
}

/// Which of some kits need anything, however it is covered.
fn needing(plan: &Plan<'_>, owners: &[For], kits: &BTreeSet<Kit>) -> BTreeSet<Kit> {
    let mut needing = BTreeSet::new();
    plan.each_supply(|supply| {
        let of_part = supply.demands.iter().map(|demand| (demand.to, owners[demand.owner.at()]));
        needing.extend(of_part.filter(|kit| kits.contains(kit)));
    });
    needing
}

fn by_unit<'p>(plan: &'p Plan<'_>) -> Vec<Option<&'p UnitPlan>> {
    let mut units = vec![None; plan.plant.units.len()];
    plan.units.iter().for_each(|unit| units[unit.unit.at()] = Some(unit));
    units
}

/// Whether a unit is built as before, but earlier.
fn moved_up(old: Option<&UnitPlan>, new: Option<&UnitPlan>) -> bool {
    let Some((old, new)) = old.zip(new) else { return false };
    let times = old.times.zip(new.times);
    let earlier = times.is_some_and(|(old, new)| new.0 < old.0 || new.1 < old.1);
    earlier && old.options == new.options
}
