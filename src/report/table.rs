//! The tables of a plan: their columns, and a walk over their rows that holds none of them.

use super::names::{
    COVER_WORDS, ISSUE_WORDS, MATERIAL_WORDS, OUTCOME_WORDS, PULL_WORDS, UNIT_WORDS, cover_word, dest_code, issue_word,
    job_name, outcome_word, pull_status, unit_status,
};
use crate::base::{Date, Moment, OwnerId, Quantity};
use crate::netting::Cover;
use crate::plan::{Material, Plan, There, UnitState};
use crate::supply::Supply;
use itertools::Itertools;
use std::borrow::Cow;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Text of any kind.
    Text,
    /// Codes and words of a list: written to Parquet as a dictionary.
    Code(List),
    /// Decimals with six places.
    Quantity,
    /// Local dates and times.
    Moment,
    /// Dates.
    Date,
    /// Whole numbers.
    Whole,
}

/// A list that the codes of a column are taken from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum List {
    /// Units, and who else extras are for.
    Units,
    /// Lines.
    Lines,
    /// Floorplans.
    Floorplans,
    /// Parts.
    Parts,
    /// Stations and shops.
    Places,
    /// Units of measure.
    Uoms,
    /// Storage locations.
    Locations,
    /// Descriptions of parts.
    Descriptions,
    /// A few words.
    Words(&'static [&'static str]),
}

impl List {
    /// Everything that may stand in the column, each once.
    pub fn of<'p>(self, plan: &'p Plan<'_>) -> Vec<&'p str> {
        let plant = plan.plant;
        let all: Vec<&str> = match self {
            Self::Units => {
                let owners = plan.pace.owners.iter().map(|owner| owner.code.as_str());
                owners.chain(plan.units.iter().map(|unit| plant.units[unit.unit.at()].code.as_str())).collect()
            }
            Self::Lines => plant.lines.iter().map(|line| line.code.as_str()).collect(),
            Self::Floorplans => {
                let wrong = plant.units.iter().filter_map(|unit| unit.floorplan.as_ref().err());
                plant.floorplans.iter().map(|plan| &plan.code).chain(wrong).map(String::as_str).collect()
            }
            Self::Parts => plant.parts.iter().map(|part| part.code.as_str()).collect(),
            Self::Places => plant.dests.iter().map(|dest| dest.code.as_str()).collect(),
            Self::Uoms => plant.parts.iter().map(|part| part.uom.as_str()).collect(),
            Self::Locations => plant.parts.iter().map(|part| part.location.as_str()).collect(),
            Self::Descriptions => plant.parts.iter().map(|part| part.description.as_str()).collect(),
            Self::Words(words) => words.to_vec(),
        };
        all.into_iter().unique().collect()
    }
}

/// A value of a row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value<'a> {
    /// Nothing.
    Blank,
    /// Text.
    Text(Cow<'a, str>),
    /// An amount.
    Quantity(Quantity),
    /// A local date and time.
    Moment(Moment),
    /// A date.
    Date(Date),
    /// A whole number.
    Whole(i64),
}

impl<'a> From<&'a str> for Value<'a> {
    fn from(text: &'a str) -> Self {
        if text.is_empty() { Self::Blank } else { Self::Text(Cow::Borrowed(text)) }
    }
}

impl From<String> for Value<'_> {
    fn from(text: String) -> Self {
        if text.is_empty() { Self::Blank } else { Self::Text(Cow::Owned(text)) }
    }
}

impl From<Quantity> for Value<'_> {
    fn from(quantity: Quantity) -> Self {
        Self::Quantity(quantity)
    }
}

impl From<Moment> for Value<'_> {
    fn from(moment: Moment) -> Self {
        Self::Moment(moment)
    }
}

impl From<Date> for Value<'_> {
    fn from(date: Date) -> Self {
        Self::Date(date)
    }
}

impl From<i64> for Value<'_> {
    fn from(number: i64) -> Self {
        Self::Whole(number)
    }
}

impl<'a, T: Into<Value<'a>>> From<Option<T>> for Value<'a> {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Blank, Into::into)
    }
}

/// What a row is handed to.
pub type Visit<'v> = dyn FnMut(&[Value<'_>]) + 'v;

/// A table of the plan.
pub struct Table {
    /// Its name, and that of its file.
    pub name: &'static str,
    /// Its columns: name and what they hold.
    pub columns: &'static [(&'static str, Kind)],
    walk: Walk,
}

/// How a table's rows are walked.
enum Walk {
    /// All of them.
    Whole(fn(&Plan<'_>, &mut Visit<'_>)),
    /// Part by part.
    ByPart(fn(&Plan<'_>, &Supply, &mut Visit<'_>)),
}

impl Table {
    /// Hands each row over, in order.
    pub fn each_row(&self, plan: &Plan<'_>, visit: &mut Visit<'_>) {
        match self.walk {
            Walk::Whole(walk) => walk(plan, visit),
            Walk::ByPart(walk) => plan.each_supply(|supply| walk(plan, supply, visit)),
        }
    }

    /// Whether its rows follow from each part's supply alone.
    pub fn by_part(&self) -> bool {
        matches!(self.walk, Walk::ByPart(_))
    }

    /// Hands over the rows of one part, where the table is walked part by part.
    pub fn rows_of(&self, plan: &Plan<'_>, supply: &Supply, visit: &mut Visit<'_>) {
        if let Walk::ByPart(walk) = self.walk {
            walk(plan, supply, visit);
        }
    }
}

macro_rules! row {
    ($visit:expr; $($value:expr),* $(,)?) => { $visit(&[$(Value::from($value)),*]) };
}

/// All tables of a plan.
pub static TABLES: [Table; 7] = [
    Table {
        name: "units",
        columns: &[
            ("unit", Kind::Code(List::Units)),
            ("line", Kind::Code(List::Lines)),
            ("seq", Kind::Quantity),
            ("floorplan", Kind::Code(List::Floorplans)),
            ("options", Kind::Text),
            ("enters", Kind::Moment),
            ("leaves", Kind::Moment),
            ("status", Kind::Code(List::Words(&UNIT_WORDS))),
            ("first_part", Kind::Code(List::Parts)),
            ("clear_at", Kind::Moment),
        ],
        walk: Walk::Whole(units),
    },
    Table {
        name: "demands",
        columns: &[
            ("unit", Kind::Code(List::Units)),
            ("part", Kind::Code(List::Parts)),
            ("to", Kind::Code(List::Places)),
            ("need", Kind::Moment),
            ("qty", Kind::Quantity),
            ("uom", Kind::Code(List::Uoms)),
        ],
        walk: Walk::ByPart(demands),
    },
    Table {
        name: "pegs",
        columns: &[
            ("unit", Kind::Code(List::Units)),
            ("part", Kind::Code(List::Parts)),
            ("to", Kind::Code(List::Places)),
            ("need", Kind::Moment),
            ("qty", Kind::Quantity),
            ("cover", Kind::Code(List::Words(&COVER_WORDS))),
            ("source", Kind::Text),
            ("available", Kind::Moment),
            ("late_minutes", Kind::Whole),
        ],
        walk: Walk::ByPart(pegs),
    },
    Table {
        name: "jobs",
        columns: &[
            ("job", Kind::Text),
            ("shop", Kind::Code(List::Places)),
            ("crew", Kind::Whole),
            ("unit", Kind::Code(List::Units)),
            ("part", Kind::Code(List::Parts)),
            ("to", Kind::Code(List::Places)),
            ("qty", Kind::Quantity),
            ("release", Kind::Moment),
            ("due", Kind::Moment),
            ("earliest", Kind::Moment),
            ("start", Kind::Moment),
            ("finish", Kind::Moment),
            ("late_minutes", Kind::Whole),
            ("material", Kind::Code(List::Words(&MATERIAL_WORDS))),
            ("material_at", Kind::Moment),
        ],
        walk: Walk::Whole(jobs),
    },
    Table {
        name: "pulls",
        columns: &[
            ("wave", Kind::Moment),
            ("pick_start", Kind::Moment),
            ("location", Kind::Code(List::Locations)),
            ("part", Kind::Code(List::Parts)),
            ("description", Kind::Code(List::Descriptions)),
            ("qty", Kind::Quantity),
            ("uom", Kind::Code(List::Uoms)),
            ("to", Kind::Code(List::Places)),
            ("unit", Kind::Code(List::Units)),
            ("issue", Kind::Code(List::Words(&ISSUE_WORDS))),
            ("need", Kind::Moment),
            ("status", Kind::Code(List::Words(&PULL_WORDS))),
        ],
        walk: Walk::Whole(pulls),
    },
    Table {
        name: "balances",
        columns: &[
            ("part", Kind::Code(List::Parts)),
            ("date", Kind::Date),
            ("gross", Kind::Quantity),
            ("receipts", Kind::Quantity),
            ("available", Kind::Quantity),
            ("planned_receipt", Kind::Quantity),
            ("planned_release", Kind::Date),
        ],
        walk: Walk::ByPart(balances),
    },
    Table {
        name: "consequences",
        columns: &[
            ("unit", Kind::Code(List::Units)),
            ("part", Kind::Code(List::Parts)),
            ("to", Kind::Code(List::Places)),
            ("qty", Kind::Quantity),
            ("arrives", Kind::Moment),
            ("there_at", Kind::Moment),
            ("word", Kind::Code(List::Words(&OUTCOME_WORDS))),
            ("stop_minutes", Kind::Whole),
            ("hand_over_at", Kind::Code(List::Places)),
        ],
        walk: Walk::Whole(consequences),
    },
];

fn owner_code<'p>(plan: &'p Plan<'_>, owner: OwnerId) -> &'p str {
    &plan.pace.owners[owner.at()].code
}

fn units(plan: &Plan<'_>, visit: &mut Visit<'_>) {
    let plant = plan.plant;
    for planned in &plan.units {
        let unit = &plant.units[planned.unit.at()];
        let floorplan = match &unit.floorplan {
            Ok(id) => &plant.floorplans[id.at()].code,
            Err(text) => text,
        };
        let options = planned.options.iter().map(|option| plant.options[option.at()].code.as_str()).join(" ");
        let (first, clear_at) = match planned.state {
            UnitState::Late(part, at) => (Some(part), Some(at)),
            UnitState::Short(part) => (Some(part), None),
            _ => (None, None),
        };
        row!(visit;
            unit.code.as_str(), plant.lines[unit.line.at()].code.as_str(), unit.seq, floorplan.as_str(), options,
            planned.times.map(|times| times.0), planned.times.map(|times| times.1), unit_status(planned.state),
            first.map(|part| plant.part(part).code.as_str()), clear_at,
        );
    }
}

fn demands(plan: &Plan<'_>, supply: &Supply, visit: &mut Visit<'_>) {
    for demand in &supply.demands {
        let part = plan.plant.part(demand.part);
        row!(visit;
            owner_code(plan, demand.owner), part.code.as_str(), dest_code(plan, demand.to), demand.need, demand.qty,
            part.uom.as_str(),
        );
    }
}

fn pegs(plan: &Plan<'_>, supply: &Supply, visit: &mut Visit<'_>) {
    for peg in &supply.pegs {
        let demand = &supply.demands[peg.demand as usize];
        let source: Value<'_> = match peg.cover {
            Cover::Receipt(i) => plan.plant.receipts[i as usize].order.as_str().into(),
            Cover::Job(i) => job_name(plan, &plan.jobs[i as usize]).into(),
            _ => Value::Blank,
        };
        row!(visit;
            owner_code(plan, demand.owner), plan.plant.part(demand.part).code.as_str(), dest_code(plan, demand.to),
            demand.need, peg.qty, cover_word(peg.cover), source, peg.available, peg.late_minutes(demand.need),
        );
    }
}

fn jobs(plan: &Plan<'_>, visit: &mut Visit<'_>) {
    let plant = plan.plant;
    for &i in &plan.job_order {
        let job = &plan.jobs[i as usize];
        let calendar = plant.calendar(plant.shop(job.shop).calendar);
        let (material, at) = match plan.materials[i as usize] {
            Material::Ready => ("ready", None),
            Material::Late(at) => ("late", Some(at)),
            Material::Short => ("short", None),
            Material::Issued => ("issued", None),
        };
        row!(visit;
            job_name(plan, job), plant.shop_dest(job.shop).code.as_str(), i64::from(job.slot.crew) + 1,
            owner_code(plan, job.owner), plant.part(job.part).code.as_str(), dest_code(plan, job.to), job.qty,
            calendar.starts(job.times.release), calendar.starts(job.times.due), calendar.starts(job.slot.earliest),
            calendar.starts(job.slot.start), calendar.ends(job.slot.finish), job.need.minutes_until(job.available),
            material, at,
        );
    }
}

fn pulls(plan: &Plan<'_>, visit: &mut Visit<'_>) {
    plan.each_pull(|pull| {
        let part = plan.plant.part(pull.part);
        row!(visit;
            pull.run.leaves, pull.run.picked, part.location.as_str(), part.code.as_str(), part.description.as_str(),
            pull.qty, part.uom.as_str(), dest_code(plan, pull.to), pull.owner.map(|owner| owner_code(plan, owner)),
            issue_word(part.issue), pull.need, pull_status(pull.status),
        );
    });
}

fn consequences(plan: &Plan<'_>, visit: &mut Visit<'_>) {
    for row in &plan.consequences {
        let there = match row.there {
            There::At(at) => Some(at),
            There::Unknown => None,
        };
        row!(visit;
            owner_code(plan, row.owner), plan.plant.part(row.part).code.as_str(), dest_code(plan, row.to), row.qty,
            row.arrives, there, outcome_word(row.outcome), row.stop_minutes,
            row.hand_over_at.map(|station| dest_code(plan, station)),
        );
    }
}

fn balances(plan: &Plan<'_>, supply: &Supply, visit: &mut Visit<'_>) {
    for day in &supply.balances {
        row!(visit;
            plan.plant.part(day.part).code.as_str(), day.date, day.gross, day.receipts, day.available, day.planned,
            day.release,
        );
    }
}
