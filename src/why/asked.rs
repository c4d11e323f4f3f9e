//! What is asked: one unit and one part, with all of the plan that an answer draws on.

use crate::base::{ChangeId, DestId, Moment, NameId, OwnerId, PartId, Place, Seconds, UnitId};
use crate::book::{Book, Table};
use crate::check::follow::leading_to;
use crate::check::written::{self, Line};
use crate::check::{BillLine, DestKind, Part, Plant, Source};
use crate::configure::{self, Origins};
use crate::expression::NameSet;
use crate::plan::Plan;
use crate::shops::{self, Job};
use crate::supply::Supply;
use std::borrow::Cow;
use std::collections::BTreeMap;

/// A unit, and what is true for it.
pub struct Asked<'p> {
    /// The whole plan, of which only this unit is told.
    pub plan: &'p Plan<'p>,
    /// What the plan was made of.
    pub plant: &'p Plant,
    /// The book, for its cells.
    pub book: &'p Book,
    /// The unit asked about.
    pub unit: UnitId,
    /// It as one who needs material, where it is that.
    pub owner: Option<OwnerId>,
    /// What is true for it, and where its options come from; none where its order is wrong or it is done.
    pub has: Option<(NameSet, Origins)>,
    reached: Vec<bool>,
}

impl<'p> Asked<'p> {
    /// About a unit.
    pub fn new(plan: &'p Plan<'p>, book: &'p Book, unit: UnitId) -> Self {
        let plant = plan.plant;
        let owner = plan.pace.owners.iter().position(|owner| owner.unit == Some(unit)).map(OwnerId::of);
        let row = &plant.units[unit.at()];
        let aside = plan.units.iter().any(|u| u.unit == unit && u.state == crate::plan::UnitState::SetAside);
        let has = (!row.done && !aside).then(|| configure::traced(plant, row)).flatten();
        let changes = (0..plant.changes.len()).map(ChangeId::of);
        let reached = changes.map(|change| plan.pace.reached(plant, unit, change)).collect();
        Self { plan, plant, book, unit, owner, has, reached }
    }

    /// Whether the unit is on the plan and supplied.
    pub fn supplied(&self) -> bool {
        self.has.is_some() && self.plant.units[self.unit.at()].hold.is_none()
    }

    /// Whether the unit has reached a change.
    pub fn reached(&self, change: ChangeId) -> bool {
        self.reached[change.at()]
    }

    /// Whether a name is true for the unit.
    pub fn is(&self, name: NameId) -> bool {
        self.has.as_ref().is_some_and(|(names, _)| names.contains(name))
    }

    /// Whether a condition holds for the unit.
    pub fn holds(&self, condition: u32) -> bool {
        let names = self.has.as_ref().map(|(names, _)| names);
        self.plant.always(condition)
            || names.is_some_and(|names| self.plant.conditions[condition as usize].holds(names))
    }

    /// Whether a bill line is active for the unit.
    pub fn active(&self, line: &BillLine) -> bool {
        line.counts(|when| self.holds(when), |change| self.reached(change))
    }

    /// The code of the unit's floorplan.
    pub fn floorplan(&self) -> &'p str {
        match &self.plant.units[self.unit.at()].floorplan {
            Ok(id) => &self.plant.floorplans[id.at()].code,
            Err(text) => text,
        }
    }

    /// A part's demands and what covers them. The one place where answers look into a plan's supply.
    pub fn supply(&self, part: PartId) -> Cow<'p, Supply> {
        supply(self.plan, part)
    }

    /// The unit's jobs, by their indices.
    pub fn jobs(&self) -> impl Iterator<Item = (u32, &'p Job)> {
        let jobs = self.plan.jobs.iter().zip(0..).map(|(job, i)| (i, job));
        jobs.filter(|(_, job)| Some(job.owner) == self.owner)
    }

    /// Whether the unit has the material of a station already.
    pub fn issued(&self, station: DestId) -> bool {
        self.plant.issued(self.unit, station)
    }

    /// When a run left with material for a need that has been delivered.
    pub fn delivered(&self, part: &Part, need: Moment) -> Option<Moment> {
        let run = self.plan.runs.serving(need)?;
        (part.bought() && self.plant.delivered_to.is_some_and(|to| run.leaves <= to)).then_some(run.leaves)
    }

    /// When a job's material is needed.
    pub fn job_need(&self, job: &Job) -> Moment {
        shops::material_need(self.plant, job)
    }

    /// The bill lines that rows hold, as written.
    pub fn written(&self, rows: impl Iterator<Item = u32>) -> BTreeMap<u32, Line> {
        written::bill_lines(self.book, &rows.collect())
    }

    /// A row of a table.
    pub fn row(&self, table: Table, row: u32) -> Place {
        self.plant.place(table, row, "")
    }
}

/// A part's demands and what covers them.
pub fn supply<'p>(plan: &'p Plan<'_>, part: PartId) -> Cow<'p, Supply> {
    plan.supply(part)
}

/// How long before the unit arrives or a job starts material is wanted.
pub fn ahead(plant: &Plant, dest: DestId) -> Seconds {
    match plant.dest(dest).what {
        DestKind::Station { ahead, .. } => ahead,
        DestKind::Shop(shop) => plant.shop(shop).ahead,
    }
}

/// For each part whether it is the one asked about or has it below.
pub fn holding(plant: &Plant, part: PartId) -> Vec<bool> {
    leading_to(plant, |other| other == part)
}

/// Where a part comes from, in the book's word.
pub fn source_word(source: Source) -> &'static str {
    match source {
        Source::Buy => "buy",
        Source::Make(_) => "make",
        Source::Phantom => "phantom",
        Source::ByProduct => "by-product",
    }
}
